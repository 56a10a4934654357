"""Two films of the same teeth, taken apart in time: how far angulation alone moves the bone crest.

Both exposures are estimated in one mouth. The bone of the earlier film is then projected under
both: what differs is not of the bone. The later film's crests teach nothing about its exposure,
since the bone may have changed.
"""

from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from bitewright.estimation.allowances import allowed_mm
from bitewright.estimation.estimate import Estimate
from bitewright.estimation.exposure_unknowns import NAMES, Whereabouts, exposures_at, pose_of
from bitewright.explanation.correction import COVERAGE, SD_TO_END, Estimated, Part
from bitewright.explanation.needed_amounts import POSE_OF, grain_of
from bitewright.explanation.unusual_mouths import widening
from bitewright.exposing.exposure import Exposures, expose, station
from bitewright.exposing.landmarks import Landmarks, Status
from bitewright.exposing.project import Shapes, project_shapes
from bitewright.exposing.targets import Targets
from bitewright.planning.best_aim import Setting

Floats = NDArray[np.float64]

EARLIER, LATER = 0, 1
"""Places of the two films in their estimate."""

COMPARABLE_MM = 0.5
"""Where angulation alone could account for less, a site's two crest heights are comparable. Our
choice. [mm]"""

PAIRS = 150
"""Draws of exposures and mouth, each with its mirror image about the best fit. Our choice."""

CREST_DEPTH_MM = 2.5
"""The crest that a reader sees lies anywhere within this to the cheek or the tongue side of the
tooth's middle: septa of premolars and molars are 6 to 10 mm wide from cheek to tongue (from
memory), and which of their edges shows best is not known. Our choice. [mm]"""

TOLD = (Part.SWING, Part.VERTICAL, Part.TURN, Part.TILT, Part.ROLL)
"""What differs between two exposures that can move a crest against its junction."""

CREST, JUNCTION = ".crest", ".cej"


@dataclass(frozen=True, slots=True, kw_only=True)
class RecallSite:
    """One surface whose junction and crest are marked on both films.

    Parameters
    ----------
    name : str
        Its landmark name, such as "16.mesial".
    by_angulation : Estimated
        Crest height of the same bone on the later film less that on the earlier one. [mm]
    earlier_mm, later_mm : float
        Crest heights as marked: from the cemento-enamel junction straight to the crest, on the
        image. [mm]
    measured : Estimated
        The later less the earlier, as marked. [mm]
    mostly_by : Part
        Which movement between the exposures would narrow ``by_angulation`` most, were there none.
    """

    name: str
    by_angulation: Estimated
    earlier_mm: float
    later_mm: float
    measured: Estimated
    mostly_by: Part

    @property
    def at_most_mm(self) -> float:
        """How much angulation alone could account for, the interval's further end. [mm]"""
        return _furthest(self.by_angulation)

    @property
    def is_comparable(self) -> bool:
        """Whether that is less than `COMPARABLE_MM`."""
        return self.at_most_mm < COMPARABLE_MM


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Recall:
    """Two films of the same teeth beside each other.

    ``stood``: how the earlier and the later exposure stood, by part, along the earlier film's
    region; the tube's swing from straight at the side of the mouth. ``differs``: the later
    exposure less the earlier one. [deg] ``repeated`` sets the earlier geometry again,
    ``repeated_sure`` tells its swing and its vertical angle with intervals.
    """

    sites: tuple[RecallSite, ...]
    stood: tuple[dict[Part, Estimated], dict[Part, Estimated]]
    differs: dict[Part, Estimated]
    repeated: Setting
    repeated_sure: dict[Part, Estimated]
    exposure: Exposures
    estimate: Estimate

    @property
    def from_later(self) -> dict[Part, Estimated]:
        """Which way the tube goes from where it stood for the later film. [deg]

        Better known than where it stood: of what outlines leave out of a mouth, both films show
        the same.
        """
        return {part: _turned_round(self.differs[part]) for part in (Part.SWING, Part.VERTICAL)}


def without_crests(landmarks: Landmarks) -> Landmarks:
    """The same with no crest marked: bone that may have changed tells nothing of the exposure."""
    is_crest = np.array([name.endswith(CREST) for name in landmarks.names])
    status = np.where(is_crest, Status.UNMARKED, landmarks.status).astype(np.int8)
    return replace(landmarks, status=status)


def shared_sites(earlier: Landmarks, later: Landmarks) -> tuple[str, ...]:
    """Surfaces whose junction and crest are both marked on both films."""
    names = [name.removesuffix(CREST) for name in earlier.names if name.endswith(CREST)]
    return tuple(
        sorted(
            name
            for name in names
            if all(_is_marked(film, name + of) for film in (earlier, later) for of in ENDS)
        )
    )


def recall(found: Estimate, later: Landmarks, generator: np.random.Generator) -> Recall:
    """How far the same bone looks different on two films by their exposures alone.

    Our model: exposures and mouth drawn from their joint estimate; junction and crest lie off the
    outlines as far as marks of real crowns do (`allowances`), the crest in depth by
    `CREST_DEPTH_MM`. An interval holds the middle nine tenths of the draws. An unusual mouth bears
    on both exposures alike, so that it widens where the earlier one stood, not what differs; what
    outlines leave out of a mouth likewise (`grain_of`).

    Parameters
    ----------
    found : Estimate
        Of the earlier film and of the later one `without_crests`, in one mouth.
    later : Landmarks
        The later film's, with its crests.
    generator : numpy Generator
    """
    earlier = found.films[EARLIER].landmarks
    names = shared_sites(earlier, later)
    states = _drawn(found, generator)
    bone = _bone(found, states, generator)
    change = _changes(found, states, names, bone)
    alike = {part: _changes(found, _alike(found, states, part), names, bone) for part in TOLD}
    own = [_poses(found, states, film) for film in (EARLIER, LATER)]
    sites = []
    for k, name in enumerate(names):
        before, after = (_height(film, name) for film in (earlier, later))
        left = {part: _furthest(_estimated(alike[part][:, k])) for part in TOLD}
        sites.append(
            RecallSite(
                name=name,
                by_angulation=_estimated(change[:, k]),
                earlier_mm=before[0],
                later_mm=after[0],
                measured=_about(after[0] - before[0], float(np.hypot(before[1], after[1]))),
                mostly_by=min(left, key=lambda part: left[part]),
            )
        )
    setting, exposure = _repeated(found)
    stood = tuple(
        {part: _beside_outlines(_of(poses, part), part, found, film) for part in TOLD}
        for film, poses in zip((EARLIER, LATER), own, strict=True)
    )
    return Recall(
        sites=tuple(sites),
        stood=(stood[EARLIER], stood[LATER]),
        differs={
            part: _estimated(_of(own[LATER], part) - _of(own[EARLIER], part)) for part in TOLD
        },
        repeated=setting,
        repeated_sure={part: stood[EARLIER][part] for part in (Part.SWING, Part.VERTICAL)},
        exposure=exposure,
        estimate=found,
    )


ENDS = (JUNCTION, CREST)


def _is_marked(landmarks: Landmarks, name: str) -> bool:
    return int(landmarks.status_of(name)[0]) == Status.SEEN


def _height(landmarks: Landmarks, name: str) -> tuple[float, float]:
    """Crest height as marked and its standard deviation. [mm]"""
    columns = [landmarks.column[name + end] for end in ENDS]
    junction, crest = landmarks.points_receptor[0, columns]
    height = float(np.linalg.norm(crest - junction))
    if landmarks.covariance_mm2 is None or height == 0.0:
        return height, 0.0
    along = (crest - junction) / height
    both = np.concatenate([-along, along])
    rows = np.array([[2 * column, 2 * column + 1] for column in columns]).ravel()
    return height, float(np.sqrt(both @ landmarks.covariance_mm2[np.ix_(rows, rows)] @ both))


def _drawn(found: Estimate, generator: np.random.Generator) -> Floats:
    """States (2 PAIRS, 20 + N) from every solution by its share, in mirrored pairs."""
    shares = np.array([each.share for each in found.solutions])
    whose = generator.choice(len(shares), size=PAIRS, p=shares)
    drawn = []
    for k in whose:
        of = found.solutions[k]
        noise = generator.standard_normal(len(of.state))
        away = np.linalg.cholesky(of.covariance) @ noise
        drawn += [of.state + away, of.state - away]
    return np.stack(drawn)


def _bone(found: Estimate, states: Floats, generator: np.random.Generator) -> Shapes:
    """The points of each drawn mouth (D), off the outlines' as real ones may be."""
    own, count = found.shapes.targets, len(NAMES) * len(found.films)
    shapes = found.shapes.of(states[:, count:], _points_of(found))
    names = own.names[len(own.flanks_mouth) :]
    spread = np.array([allowed_mm(name)[1] for name in names])
    off = spread[:, None] * generator.standard_normal((len(states), len(names), 3))
    tongue = found.films[EARLIER].station.seating.frame.tongue_mouth
    depth = CREST_DEPTH_MM * np.array([name.endswith(CREST) for name in names])
    deep = depth * generator.uniform(-1.0, 1.0, (len(states), len(names)))
    return Shapes(shapes.flanks_mouth, shapes.points_mouth + off + deep[:, :, None] * tongue)


def _points_of(found: Estimate) -> Targets:
    """Cusps, junctions and crests alone."""
    return found.shapes.targets.only((), ())


def _changes(found: Estimate, states: Floats, names: tuple[str, ...], bone: Shapes) -> Floats:
    """Crest heights under the later exposures less those under the earlier, (D, sites). [mm]"""
    heights = []
    for film in (EARLIER, LATER):
        exposures = exposures_at(found.films[film].station, _unknowns(states, film))
        marks, _ = project_shapes(
            exposures, _points_of(found), bone, mouth_of=np.arange(len(states))
        )
        heights.append(crest_heights(marks, names))
    return np.asarray(heights[LATER] - heights[EARLIER])


def crest_heights(landmarks: Landmarks, names: tuple[str, ...]) -> Floats:
    """Crest heights (E, sites): from each junction straight to its crest, on the image. [mm]"""
    ends = [[landmarks.column[name + end] for name in names] for end in ENDS]
    junctions, crests = (landmarks.points_receptor[:, columns] for columns in ends)
    return np.asarray(np.linalg.norm(crests - junctions, axis=-1))


def _unknowns(states: Floats, film: int) -> Floats:
    return states[:, len(NAMES) * film : len(NAMES) * (film + 1)]


def _alike(found: Estimate, states: Floats, part: Part) -> Floats:
    """States (D) with the later exposure's part brought to the earlier one's."""
    differ = _of(_poses(found, states, LATER), part) - _of(_poses(found, states, EARLIER), part)
    changed = states.copy()
    changed[:, len(NAMES) * LATER + NAMES.index(POSE_OF[part])] -= differ
    return changed


def _poses(found: Estimate, states: Floats, film: int) -> Whereabouts:
    """Where a film's drawn exposures stand, along the earlier film's region."""
    frame = found.films[EARLIER].station.seating.frame
    exposures = exposures_at(found.films[film].station, _unknowns(states, film))
    return pose_of(exposures, frame.front_mouth, frame.tongue_mouth)


def _of(poses: Whereabouts, part: Part) -> Floats:
    return np.asarray(getattr(poses, POSE_OF[part]))


def _repeated(found: Estimate) -> tuple[Setting, Exposures]:
    """The setting of the earlier exposure in the estimated mouth, and what it sets.

    The estimate's numbers count from the population's middle mouth; those a hand sets, from this
    one. How the receptor is rolled and how high it stands are left as the holder has them.
    """
    at = found.films[EARLIER].station
    there = station(found.shapes.outlines, at.region, at.receptor, at.holder, at.tube)
    own = dict(zip(NAMES, found.unknowns[EARLIER].tolist(), strict=True))
    frame = there.seating.frame
    along = (frame.front_mouth, frame.tongue_mouth)
    setting = Setting(
        forward_mm=own["forward_mm"],
        lingual_mm=max(own["lingual_mm"], 0.0),
        turn_deg=own["turn_deg"],
        ring_offset_deg=own["azimuth_deg"] - own["turn_deg"],
        vertical_deg=own["vertical_deg"],
        tilt_deg=own["tilt_deg"],
    )
    stood = pose_of(exposures_at(at, found.unknowns[EARLIER][None]), *along)
    first = pose_of(expose(there, setting.placement(), setting.aim()), *along)

    def further(name: str) -> float:
        return float((getattr(stood, name) - getattr(first, name))[0])

    setting = replace(
        setting,
        forward_mm=setting.forward_mm + further("forward_mm"),
        lingual_mm=max(setting.lingual_mm + further("lingual_mm"), 0.0),
        turn_deg=setting.turn_deg + further("turn_deg"),
    )
    return setting, expose(there, setting.placement(), setting.aim())


def _furthest(amount: Estimated) -> float:
    """How far from nought the interval reaches."""
    return max(abs(amount.low), abs(amount.high))


def _beside_outlines(draws: Floats, part: Part, found: Estimate, film: int) -> Estimated:
    """As wide as an explanation tells it: with what outlines leave out, more if a mouth is odd."""
    drawn = _estimated(draws)
    grain = SD_TO_END * grain_of(found.films[film].station.region).get(part, 0.0)
    either = widening(found) * float(np.hypot(0.5 * (drawn.high - drawn.low), grain))
    return Estimated(value=drawn.value, low=drawn.value - either, high=drawn.value + either)


def _estimated(draws: Floats) -> Estimated:
    """The draws' average, and their middle nine tenths."""
    low, high = np.quantile(draws, [0.5 * (1.0 - COVERAGE), 0.5 * (1.0 + COVERAGE)])
    return Estimated(value=float(np.mean(draws)), low=float(low), high=float(high))


def _turned_round(amount: Estimated) -> Estimated:
    return Estimated(value=-amount.value, low=-amount.high, high=-amount.low)


def _about(value: float, sd: float) -> Estimated:
    return Estimated(value=value, low=value - SD_TO_END * sd, high=value + SD_TO_END * sd)


__all__ = [
    "COMPARABLE_MM",
    "TOLD",
    "Recall",
    "RecallSite",
    "crest_heights",
    "recall",
    "shared_sites",
    "without_crests",
]
