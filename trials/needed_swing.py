"""The swing that other anatomy than outlines asks for, and how explanations are scored by it.

Of such anatomy the contacts alone are known. The swing needed leads to where the planner's own
measure is best, the contacts being that anatomy's and all else the outlines'; beside it stands the
swing to where the worst contact overlaps least above its own least, which asks no planner.
"""

from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from bitewright.estimation.exposure_unknowns import pose_of
from bitewright.explanation.correction import Part, Verdict
from bitewright.explanation.explanation import Explanation
from bitewright.exposing.aim import Aim
from bitewright.exposing.exposure import Exposures, aimed
from bitewright.planning.best_aim import Plan, setting_cost
from bitewright.quality.predicted import asked, predict
from bitewright.quality.rating import rate
from trials.known_films import KnownFilm, within_reach

Floats = NDArray[np.float64]

TUBES_DEG = np.arange(-30.0, 60.1, 1.0)
"""Where a tube may stand beside a row of teeth. Our choice."""

FINE_DEG = 0.1

NEEDED_DEG = 5.0
"""Direction counts where more than this is needed."""


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class OpenTogether:
    """How far contacts are from open, by the tube's direction.

    Parameters
    ----------
    azimuths_deg : (A,) float array
        Nought straight from the patient's side, positive to the front; evenly rising.
    worst_mm : (A,) float array
        Overlap of the worst contact above its own least.
    least_mm : tuple of C float
        The least overlap of each contact, wherever that is; negative is a space.
    planned_deg : float or None
        Where the planner's measure is best; None where it was not asked.
    """

    azimuths_deg: Floats
    worst_mm: Floats
    least_mm: tuple[float, ...]
    planned_deg: float | None = None

    @classmethod
    def of(cls, azimuths_deg: Floats, overlaps_mm: Floats) -> "OpenTogether":
        """From finite overlaps (A, C) at rising azimuths; between them they run straight."""
        steps = round(float(np.ptp(azimuths_deg)) / FINE_DEG)
        fine = np.linspace(azimuths_deg[0], azimuths_deg[-1], steps + 1)
        overlap = np.stack([np.interp(fine, azimuths_deg, each) for each in overlaps_mm.T], axis=1)
        least = overlap.min(axis=0)
        return cls(
            azimuths_deg=fine,
            worst_mm=(overlap - least).max(axis=1),
            least_mm=tuple(least.tolist()),
        )

    @classmethod
    def of_plan(cls, plan: Plan) -> "OpenTogether":
        """Of the contacts of a plan's own outlines, seen from its receptor."""
        of = asked(plan.view, plan.station)
        overlap = predict(swung(plan, TUBES_DEG), of).measurements.overlap_mm
        return cls.of(TUBES_DEG, overlap)

    @property
    def azimuth_deg(self) -> float:
        """Where the worst contact overlaps least above its own. [deg]"""
        return float(self.azimuths_deg[self.worst_mm.argmin()])

    @property
    def best_deg(self) -> float:
        """Where the planner's measure is best, or else where the worst contact is. [deg]"""
        return self.azimuth_deg if self.planned_deg is None else self.planned_deg

    def beyond_best_mm(self, azimuth_deg: float) -> float:
        """How much more the worst contact overlaps there than at best. [mm]"""
        here = float(np.interp(azimuth_deg, self.azimuths_deg, self.worst_mm))
        return here - float(self.worst_mm.min())


def swung(plan: Plan, azimuths_deg: Floats) -> Exposures:
    """A plan's exposure with the tube swung to other directions; nothing else changes.

    One that no tube reaches from the receptor is taken for the last that one does.
    """
    ring = plan.setting.ring_offset_deg + azimuths_deg - azimuth_deg(plan, plan.exposure)
    aim = Aim(
        ring_offset_deg=within_reach("ring_offset_deg", ring),
        vertical_deg=plan.setting.vertical_deg,
    )
    return aimed(plan.station, plan.exposure.seat, aim)


def planned_azimuth_deg(plan: Plan, pairs: Sequence[tuple[int, int]], overlaps_mm: Floats) -> float:
    """Where the planner would swing a plan's tube, were its contacts these; all else stays. [deg]

    Parameters
    ----------
    plan : Plan
    pairs : sequence of C pairs
    overlaps_mm : (A, C) float array
        At `TUBES_DEG`. Crowns that reach into one another at best count from there. [mm]
    """
    exposures = swung(plan, TUBES_DEG)
    outlined = predict(exposures, asked(plan.view, plan.station)).measurements
    overlap = outlined.overlap_mm.copy()
    for own, pair in zip(overlaps_mm.T, pairs, strict=True):
        overlap[:, outlined.wanted.contacts.index(pair)] = own - max(float(own.min()), 0.0)
    rating = rate(replace(outlined, overlap_mm=overlap))
    cost = np.log(setting_cost(replace(plan.prediction, rating=rating), exposures))
    k = int(np.clip(cost.argmin(), 1, len(cost) - 2))
    below, here, above = cost[k - 1 : k + 2]
    bend = below - 2.0 * here + above
    shift = 0.5 * (below - above) / bend if np.isfinite(bend) and bend > 0.0 else 0.0
    return float(TUBES_DEG[k] + np.clip(shift, -1.0, 1.0) * (TUBES_DEG[1] - TUBES_DEG[0]))


def azimuth_deg(plan: Plan, exposure: Exposures) -> float:
    """The tube's direction in one exposure in a plan's mouth. [deg]"""
    frame = plan.station.seating.frame
    return float(pose_of(exposure, frame.front_mouth, frame.tongue_mouth).azimuth_deg[0])


def without_marks(film: KnownFilm, *features: str) -> KnownFilm:
    """The same film without marks of some features, such as "cej"."""
    old, covariance = film.landmarks, film.landmarks.covariance_mm2
    kept = [row for row, name in enumerate(old.names) if _feature(name) not in features]
    places = np.array([[2 * row, 2 * row + 1] for row in kept], dtype=np.intp).ravel()
    marks = {name: mark for name, mark in film.film.marks.items() if _feature(name) not in features}
    return replace(
        film,
        film=replace(film.film, marks=marks),
        landmarks=replace(
            old,
            names=tuple(old.names[row] for row in kept),
            points_receptor=old.points_receptor[:, kept],
            status=old.status[:, kept],
            frame_margin_mm=old.frame_margin_mm[:, kept],
            beam_margin_mm=old.beam_margin_mm[:, kept],
            covariance_mm2=None if covariance is None else covariance[np.ix_(places, places)],
        ),
    )


def _feature(name: str) -> str:
    return name.rsplit(".", 1)[1]


@dataclass(frozen=True, slots=True, kw_only=True)
class SwingJudged:
    """The swing an explanation told beside the one needed. [deg]

    ``worst_needed_deg`` and ``worst_covered``: by the worst contact alone.
    ``before_mm``, ``after_mm``: how much more the worst contact overlaps than at best, with the
    tube as it was and swung as told. ``is_unlike``: told as a direction alone.
    """

    needed_deg: float
    worst_needed_deg: float
    told_deg: float
    covered: bool
    worst_covered: bool
    verdict: Verdict
    is_unlike: bool
    before_mm: float
    after_mm: float

    @property
    def error_deg(self) -> float:
        """Told less needed. [deg]"""
        return self.told_deg - self.needed_deg


def swing_judged(film: KnownFilm, said: Explanation, at_best: OpenTogether) -> SwingJudged:
    """Set the swing told beside that from the film's tube to where the contacts are open."""
    now = azimuth_deg(film.best, film.exposure)
    worst = at_best.azimuth_deg - now
    needed = at_best.best_deg - now
    told = said.correction.of(Part.SWING).needed
    return SwingJudged(
        needed_deg=needed,
        worst_needed_deg=worst,
        told_deg=told.value,
        covered=told.low <= needed <= told.high,
        worst_covered=told.low <= worst <= told.high,
        verdict=said.correction.verdict,
        is_unlike=said.correction.is_unlike,
        before_mm=at_best.beyond_best_mm(now),
        after_mm=at_best.beyond_best_mm(now + told.value),
    )


@dataclass(frozen=True, slots=True, kw_only=True)
class SwingScore:
    """Swings of n films. Shares are NaN where there is no film to take them of.

    ``worst_...`` by the worst contact alone; ``mean_deg`` keeps the sign: positive where too much
    to the front is told.
    """

    n: int
    median_deg: float
    p90_deg: float
    mean_deg: float
    right_share: float
    covered_share: float
    worst_median_deg: float
    worst_covered_share: float
    cannot_tell_share: float
    unlike_share: float
    before_mm: float
    after_mm: float

    @classmethod
    def of(cls, judged: Sequence[SwingJudged]) -> "SwingScore":
        """Score at least one film; millimetres are medians."""
        error = np.array([each.error_deg for each in judged])
        needing = [each for each in judged if abs(each.needed_deg) > NEEDED_DEG]
        right = [each.told_deg * each.needed_deg > 0.0 for each in needing]
        cannot = [each.verdict is Verdict.CANNOT_TELL for each in judged]
        return cls(
            n=len(judged),
            median_deg=float(np.median(np.abs(error))),
            p90_deg=float(np.quantile(np.abs(error), 0.9)),
            mean_deg=float(error.mean()),
            right_share=float(np.mean(right)) if right else float("nan"),
            covered_share=float(np.mean([each.covered for each in judged])),
            worst_median_deg=float(
                np.median([abs(each.told_deg - each.worst_needed_deg) for each in judged])
            ),
            worst_covered_share=float(np.mean([each.worst_covered for each in judged])),
            cannot_tell_share=float(np.mean(cannot)),
            unlike_share=float(np.mean([each.is_unlike for each in judged])),
            before_mm=float(np.median([each.before_mm for each in judged])),
            after_mm=float(np.median([each.after_mm for each in judged])),
        )


__all__ = [
    "TUBES_DEG",
    "OpenTogether",
    "SwingJudged",
    "SwingScore",
    "azimuth_deg",
    "planned_azimuth_deg",
    "swing_judged",
    "swung",
    "without_marks",
]
