"""Films of known exposures in mouths nobody estimated: what estimates are judged on.

The mouths differ from those the estimator believes in: both sides are unlike, arches lie askew,
teeth settle against each other, cusps and bone lie off their usual places by long-tailed amounts.
Marks carry noise, a wrong pixel size, and gaps.
"""

from dataclasses import dataclass, replace
from functools import cache

import numpy as np
from numpy.typing import NDArray

from bitewright.equipment.catalogue import packaged_catalogue
from bitewright.equipment.holders import Holder
from bitewright.equipment.receptors import Receptor
from bitewright.equipment.tubes import Tube
from bitewright.estimation.mouth_prior import directions, mean_mouth, moved
from bitewright.explanation.correction import CauseName
from bitewright.exposing.aim import LIMITS, Aim
from bitewright.exposing.exposure import Exposures, Station, expose, station
from bitewright.exposing.landmarks import Landmarks
from bitewright.exposing.placement import Placement
from bitewright.exposing.project import project
from bitewright.exposing.targets import Targets, targets
from bitewright.marking.marked_landmarks import landmarks_from_marks
from bitewright.marking.marks import MarkedFilm, MarkStatus
from bitewright.marking.simulated_marker import marked_by_simulation
from bitewright.mouth.mouth import Mouth
from bitewright.mouth.outlines import build_outlines
from bitewright.mouth.population_mouth import Regularity, population_mouth
from bitewright.mouth.settled_teeth import with_settled_teeth
from bitewright.planning.best_aim import Plan, Setting, best_aim
from bitewright.quality.views import View
from bitewright.row_bands import ALONE, Threads

Floats = NDArray[np.float64]

MARK_SD_MM = 0.15
PIXEL_SD_SHARE = 0.01
PIXEL_MM = 0.02

SWING_DEG = 20.0
"""Aims lie evenly within this of the best one."""

SLIPS = {
    "forward_mm": 3.0,
    "height_mm": 1.0,
    "turn_deg": 4.0,
    "tilt_deg": 3.0,
    "roll_deg": 3.0,
}
"""Standard deviations of the receptor's place about the best one. Our choice."""

LINGUAL_MM, VERTICAL_DEG = 1.5, 5.0

SLIPS_TRIED = 40
"""Then the slip that found most room is taken."""

OFF_MM = {"cusp": 0.2, "cej": 0.2, "crest": 0.15}
"""How far points lie off, along each axis: this times a t of four degrees of freedom."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Equipment:
    """What every film is taken with."""

    receptor: Receptor
    holder: Holder
    tube: Tube

    @classmethod
    @cache
    def usual(cls) -> "Equipment":
        """A rigid size 2 sensor in a ring holder, a rectangular tube at 300 mm."""
        known = packaged_catalogue()
        return cls(
            receptor=known.receptor("sensor-2"),
            holder=known.holder("ring-holder"),
            tube=known.tube("rectangular-300"),
        )


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class SetUp:
    """Where a hand put receptor and tube."""

    placement: Placement
    aim: Aim

    def exposed(self, at: Station) -> Exposures:
        """What comes of it in a mouth."""
        return expose(at, self.placement, self.aim)


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class KnownFilm:
    """One film, its marks as landmarks, and the truth behind it; ``set_up``: what the hand did."""

    view: View
    station: Station
    exposure: Exposures
    best: Plan
    film: MarkedFilm
    landmarks: Landmarks
    set_up: SetUp | None = None


def strange_mouth(generator: np.random.Generator, *, spread: float = 1.0) -> Mouth:
    """A mouth drawn from a population with terms the estimator's own does not have.

    Its sides differ, its arches lie askew, teeth stand out with heavy tails and settle against each
    other. ``spread``: a `Regularity`'s, 1 as the source's people and 0.6 calmer; or 2 for a mouth
    beyond the population, every spread doubled, which the estimator's own directions make.
    """
    if spread in {each.value for each in Regularity}:
        seed = int(generator.integers(2**31))
        mouth = population_mouth(seed, regularity=Regularity(spread), may_lack_teeth=False)
        return replace(mouth, name="held-out mouth")
    along = directions()
    mouth = moved(mean_mouth(), spread * generator.standard_normal(len(along)), along)
    return replace(with_settled_teeth(mouth, mean_mouth()), name="held-out mouth")


def known_film(
    mouth: Mouth,
    view: View,
    equipment: Equipment,
    generator: np.random.Generator,
    *,
    missing_share: float = 0.0,
    threads: Threads = ALONE,
) -> KnownFilm:
    """Plan the best exposure of a mouth, slip from it, take the film and mark it."""
    at = station(
        build_outlines(mouth), view.region, equipment.receptor, equipment.holder, equipment.tube
    )
    best = best_aim(view, at, threads=threads)
    set_up = slipped_set_up(best, generator)
    exposure = set_up.exposed(at)
    film = marked(view, at, exposure, best, generator, missing_share=missing_share)
    return replace(film, set_up=set_up)


def slipped(best: Plan, generator: np.random.Generator) -> Exposures:
    """An exposure off the best one in everything."""
    return slipped_set_up(best, generator).exposed(best.station)


def slipped_set_up(best: Plan, generator: np.random.Generator) -> SetUp:
    """A set-up off the best one in everything, slipped again until the mouth has room for it.

    An upright receptor that slips to the front may meet the canine and be pushed so far across that
    it would lie inside the teeth of the other side: of such a place no film is taken. Where the
    best one itself finds no room, as much as it has must do.
    """
    least = min(float(best.exposure.seat.across_gap_mm[0]), 0.0)
    tried = []
    for _ in range(SLIPS_TRIED):
        set_up = _slipped_once(best, generator)
        room = float(set_up.exposed(best.station).seat.across_gap_mm[0])
        if room >= least:
            return set_up
        tried.append((room, set_up))
    return max(tried, key=lambda each: each[0])[1]


def _slipped_once(best: Plan, generator: np.random.Generator) -> SetUp:
    setting = best.setting
    slip = {name: generator.normal(0.0, spread) for name, spread in SLIPS.items()}
    return SetUp(
        placement=Placement(
            forward_mm=setting.forward_mm + slip["forward_mm"],
            lingual_mm=setting.lingual_mm + abs(generator.normal(0.0, LINGUAL_MM)),
            height_mm=slip["height_mm"],
            turn_deg=setting.turn_deg + slip["turn_deg"],
            tilt_deg=slip["tilt_deg"],
            roll_deg=slip["roll_deg"],
        ),
        aim=Aim(
            ring_offset_deg=within_reach(
                "ring_offset_deg",
                setting.ring_offset_deg
                - slip["turn_deg"]
                + generator.uniform(-SWING_DEG, SWING_DEG),
            ),
            vertical_deg=setting.vertical_deg + generator.normal(0.0, VERTICAL_DEG),
        ),
    )


def within_reach(name: str, wanted: float | Floats) -> Floats:
    """A field of an aim, no further than a tube is aimed at a receptor. [deg]"""
    return np.clip(wanted, *LIMITS[name])


@dataclass(frozen=True, slots=True, kw_only=True)
class SingleFault:
    """One fault: the field of placement or aim, how far off, and what may be named first."""

    field: str
    off: float
    causes: tuple[CauseName, ...]


SINGLE_FAULTS = {
    "tube 10 degrees to the front": SingleFault(
        field="ring_offset_deg", off=10.0, causes=(CauseName.TUBE_TOO_FAR_FORWARD,)
    ),
    "tube 10 degrees to the back": SingleFault(
        field="ring_offset_deg", off=-10.0, causes=(CauseName.TUBE_TOO_FAR_BACK,)
    ),
    "tube 12 degrees too high": SingleFault(
        field="vertical_deg", off=12.0, causes=(CauseName.TUBE_TOO_HIGH,)
    ),
    "tube 12 degrees too low": SingleFault(
        field="vertical_deg", off=-12.0, causes=(CauseName.TUBE_TOO_LOW,)
    ),
    "receptor 5 mm to the front": SingleFault(
        field="forward_mm", off=5.0, causes=(CauseName.RECEPTOR_TOO_FAR_FORWARD,)
    ),
    "receptor 5 mm to the back": SingleFault(
        field="forward_mm", off=-5.0, causes=(CauseName.RECEPTOR_TOO_FAR_BACK,)
    ),
    "receptor 3 mm too high": SingleFault(
        field="height_mm", off=3.0, causes=(CauseName.RECEPTOR_TOO_HIGH, CauseName.NOT_CLOSED)
    ),
    "receptor 3 mm too low": SingleFault(
        field="height_mm", off=-3.0, causes=(CauseName.RECEPTOR_TOO_LOW, CauseName.NOT_CLOSED)
    ),
    "receptor's front 8 degrees down": SingleFault(
        field="roll_deg", off=8.0, causes=(CauseName.RECEPTOR_ROLLED_FRONT_DOWN,)
    ),
    "receptor's front 8 degrees up": SingleFault(
        field="roll_deg", off=-8.0, causes=(CauseName.RECEPTOR_ROLLED_FRONT_UP,)
    ),
}
"""Where palate or floor holds a receptor that was set too high or too low, it ends in its place and
the teeth stay apart: geometry cannot split the two, so either may be named.
"""


FAULT_SHARES = (1.0, 0.8, 0.6, 0.4)
"""A fault is as large as the mouth has room for: the first of these of it that fits."""


def single_fault(
    name: str,
    mouth: Mouth,
    view: View,
    equipment: Equipment,
    generator: np.random.Generator,
    *,
    meant: Setting | None = None,
) -> KnownFilm:
    """A set-up with one fault, and the little slips of a careful hand in the rest.

    ``meant``: the set-up that the hand follows; without it the best one of the mouth.
    """
    at = station(
        build_outlines(mouth), view.region, equipment.receptor, equipment.holder, equipment.tube
    )
    best = best_aim(view, at)
    fault = SINGLE_FAULTS[name]
    values = {each: generator.normal(0.0, slip) for each, slip in CAREFUL.items()}
    setting = best.setting if meant is None else meant
    for each in ("forward_mm", "turn_deg", "ring_offset_deg", "vertical_deg"):
        values[each] += getattr(setting, each)

    def at_fault(share: float) -> SetUp:
        off = values | {fault.field: values[fault.field] + share * fault.off}
        placement = {each: off[each] for each in SLIPS}
        return SetUp(
            placement=Placement(lingual_mm=setting.lingual_mm, **placement),
            aim=Aim(ring_offset_deg=off["ring_offset_deg"], vertical_deg=off["vertical_deg"]),
        )

    least = min(float(best.exposure.seat.across_gap_mm[0]), 0.0)
    every = [at_fault(share) for share in FAULT_SHARES]
    exposed = [each.exposed(at) for each in every]
    has_room = [float(each.seat.across_gap_mm[0]) >= least for each in exposed]
    which = has_room.index(True) if any(has_room) else -1
    return replace(
        marked(view, at, exposed[which], best, generator),
        set_up=every[which],
    )


CAREFUL = {
    "forward_mm": 0.7,
    "height_mm": 0.3,
    "turn_deg": 1.0,
    "tilt_deg": 1.0,
    "roll_deg": 0.7,
    "ring_offset_deg": 1.0,
    "vertical_deg": 1.0,
}
"""Standard deviations of a careful hand's slips. Our choice."""


def marked(
    view: View,
    at: Station,
    exposure: Exposures,
    best: Plan,
    generator: np.random.Generator,
    *,
    missing_share: float = 0.0,
) -> KnownFilm:
    """Project an exposure and mark it as a person would, some marks left out."""
    true = points_off(targets(at.outlines, at.region), generator)
    landmarks, _ = project(exposure, true)
    return marked_landmarks(
        view, at, exposure, best, landmarks, generator, missing_share=missing_share
    )


def marked_landmarks(
    view: View,
    at: Station,
    exposure: Exposures,
    best: Plan,
    landmarks: Landmarks,
    generator: np.random.Generator,
    *,
    missing_share: float = 0.0,
) -> KnownFilm:
    """Mark what an exposure projects, with noise, a wrong pixel size, and gaps."""
    wrong = 1.0 + generator.normal(0.0, PIXEL_SD_SHARE)
    landmarks = replace(landmarks, points_receptor=wrong * landmarks.points_receptor)
    film = marked_by_simulation(
        landmarks,
        view,
        pixel_mm=PIXEL_MM,
        image_name="held-out.png",
        receptor=at.receptor.name,
        sd_mm=MARK_SD_MM,
        generator=generator,
    )
    kept = {
        name: mark
        for name, mark in film.marks.items()
        if mark.status is not MarkStatus.SEEN or generator.random() >= missing_share
    }
    film = replace(film, marks=kept)
    return KnownFilm(
        view=view,
        station=at,
        exposure=exposure,
        best=best,
        film=film,
        landmarks=landmarks_from_marks(film, view, pixel_mm=PIXEL_MM, receptor=at.receptor),
    )


def points_off(of: Targets, generator: np.random.Generator) -> Targets:
    """Cusps, junctions and crests off their places as `OFF_MM` says."""
    names = of.names[len(of.flanks_mouth) :]
    spread = np.array([OFF_MM[name.rsplit(".", 1)[1]] for name in names])
    off = spread[:, None] * generator.standard_t(4, size=of.points_mouth.shape)
    return replace(of, points_mouth=of.points_mouth + off)


__all__ = [
    "SINGLE_FAULTS",
    "Equipment",
    "KnownFilm",
    "SingleFault",
    "known_film",
    "marked",
    "marked_landmarks",
    "points_off",
    "single_fault",
    "slipped",
    "slipped_set_up",
    "strange_mouth",
    "within_reach",
]
