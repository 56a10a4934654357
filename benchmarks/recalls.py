"""How far angulation alone moves the crest at recall: is it as said, and is the geometry repeated?

Simulated pairs of films of one mouth that nobody knows (`trials.known_films`: both sides unlike,
teeth settled, junctions and crests off their usual places, crests anywhere across the septum),
marked with 0.15 mm and a wrong pixel size. The later tube stands up to 10 degrees from the earlier
one in a direction drawn at random, the receptor is placed anew, and each site has lost 0 to 2 mm
of bone.

The truth of a site: the earlier bone projected by the later exposure as it truly was, less by the
earlier one. Of the geometry: the angle between the earlier central ray and that of the card's
setting, rounded as the card rounds it, carried out in the true mouth; and that of the later tube
moved, from where it truly stood, as the card says.

    python -m benchmarks.recalls --pairs 300 --run 1 --processes 2 --out recalls.jsonl

One line a pair as it is made; with ``--out`` a run goes on where it was stopped. ``--run`` 0 is for
tuning, every other has mouths of its own.
"""

import argparse
import tempfile
import time
from dataclasses import replace
from pathlib import Path
from typing import Any

import numpy as np
from numpy.typing import NDArray

from bitewright.estimation.estimate import FilmEvidence, estimate
from bitewright.estimation.exposure_unknowns import Whereabouts, pose_of
from bitewright.estimation.mouth_belief import population
from bitewright.estimation.mouth_prior import mean_mouth
from bitewright.estimation.mouth_shapes import mouth_shapes
from bitewright.explanation.correction import Part
from bitewright.exposing.aim import Aim
from bitewright.exposing.exposure import Exposures, Station, expose, station
from bitewright.exposing.landmarks import Landmarks
from bitewright.exposing.placement import Placement
from bitewright.exposing.project import project
from bitewright.exposing.targets import Targets, targets
from bitewright.mouth.outlines import build_outlines
from bitewright.planning.best_aim import Plan, Setting, best_aim
from bitewright.quality.views import view
from bitewright.visit.recall import Recall, crest_heights, recall, without_crests
from trials.kept_lines import run_cases
from trials.known_films import (
    LINGUAL_MM,
    SLIPS,
    VERTICAL_DEG,
    Equipment,
    marked_landmarks,
    points_off,
    strange_mouth,
    within_reach,
)
from trials.recall_tables import all_tables

Floats = NDArray[np.float64]

FIRST_SEED = 910_000
VIEWS = ("right-premolar", "right-molar", "left-premolar", "left-molar")
SPREADS = (1.0, 0.6)
SWING_DEG = 8.0
"""Earlier aims lie evenly within this of the best one. Our choice."""

APART_DEG, LOST_MM = 10.0, 2.0

DEEP_MM = 2.5
"""The crest that is seen lies evenly within this to the cheek or tongue side of the tooth's middle,
on both films at one place. Septa are 6 to 10 mm wide (from memory). Our choice."""


def main() -> None:
    """Make what is left to make, and print the tables of all."""
    asked = argparse.ArgumentParser(
        description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter
    )
    asked.add_argument("--pairs", type=int, default=20)
    asked.add_argument("--run", type=int, default=1)
    asked.add_argument("--processes", type=int, default=1)
    asked.add_argument("--out", type=Path)
    given = asked.parse_args()
    lines = run_cases(
        given.out or Path(tempfile.mkdtemp()) / "recalls.jsonl",
        [(given.run, number) for number in range(given.pairs)],
        simulated_pair,
        key=lambda case: case,
        key_of=lambda line: (line["run"], line["number"]),
        processes=given.processes,
        told=lambda text: print(text, flush=True),
    )
    print(all_tables(lines))


def simulated_pair(which: tuple[int, int]) -> dict[str, Any]:
    """One pair: what was said of each site and of the earlier geometry, and the truth."""
    run, number = which
    start = time.perf_counter()
    rng = np.random.default_rng([FIRST_SEED, run, number])
    mouth = strange_mouth(rng, spread=SPREADS[number // len(VIEWS) % len(SPREADS)])
    of, equipment = view(VIEWS[number % len(VIEWS)]), Equipment.usual()
    at = station(
        build_outlines(mouth), of.region, equipment.receptor, equipment.holder, equipment.tube
    )
    best = best_aim(of, at)
    before = crests_deep(points_off(targets(at.outlines, of.region), rng), at, rng)
    after = bone_lost(before, rng)
    exposures = two_exposures(best, rng)
    earlier, later = (
        marked_landmarks(of, at, exposure, best, project(exposure, bone)[0], rng).landmarks
        for exposure, bone in zip(exposures, (before, after), strict=True)
    )
    said = recalled(at, earlier, later, rng)
    names = tuple(site.name for site in said.sites)
    heights = [crest_heights(project(each, before)[0], names)[0] for each in exposures]
    repeated = carried_out(said.repeated, at)
    moved = from_later_off_deg(exposures, said)
    return {
        "run": run,
        "number": number,
        "view": of.name,
        "apart_deg": ray_angle_deg(*exposures),
        "sites": [
            {
                "name": site.name,
                "said_mm": round(site.by_angulation.value, 4),
                "low_mm": round(site.by_angulation.low, 4),
                "high_mm": round(site.by_angulation.high, 4),
                "true_mm": round(float(there - here), 4),
                "is_comparable": site.is_comparable,
            }
            for site, here, there in zip(said.sites, *heights, strict=True)
        ],
        "repeated_off_deg": round(ray_angle_deg(exposures[0], repeated), 3),
        "repeated_off_parts_deg": [
            round(each, 2) for each in off_parts_deg(exposures[0], repeated)
        ],
        "from_later_off_deg": round(moved[0], 3),
        "from_later_off_parts_deg": [round(each, 2) for each in moved[1:]],
        "differs_held": [
            bool(said.differs[part].low <= true <= said.differs[part].high)
            for part, true in zip(
                (Part.SWING, Part.VERTICAL), off_parts_deg(*exposures), strict=True
            )
        ],
        "repeated_half_deg": [
            round(0.5 * (each.high - each.low), 2) for each in said.repeated_sure.values()
        ],
        "misfit": round(said.estimate.misfit, 3),
        "seconds": round(time.perf_counter() - start, 2),
    }


def recalled(at: Station, earlier: Landmarks, later: Landmarks, rng: np.random.Generator) -> Recall:
    """What is said of two films where nothing is known but their marks and the equipment."""
    teeth = at.outlines.codes
    middle = station(build_outlines(mean_mouth(teeth)), at.region, at.receptor, at.holder, at.tube)
    films = [
        FilmEvidence(landmarks=each, station=middle) for each in (earlier, without_crests(later))
    ]
    believed = population(teeth).seen_from(at.region.side)
    return recall(estimate(films, mouth_shapes(teeth, at.region), believed), later, rng)


def crests_deep(of: Targets, at: Station, rng: np.random.Generator) -> Targets:
    """The same with every crest somewhere across its septum."""
    names = of.names[len(of.flanks_mouth) :]
    deep = DEEP_MM * rng.uniform(-1.0, 1.0, len(names))
    deep *= [name.endswith(".crest") for name in names]
    tongue = at.seating.frame.tongue_mouth
    return replace(of, points_mouth=of.points_mouth + deep[:, None] * tongue)


def bone_lost(of: Targets, rng: np.random.Generator) -> Targets:
    """The same with every crest further from its junction."""
    names = of.names[len(of.flanks_mouth) :]
    points = of.points_mouth.copy()
    for row, name in enumerate(names):
        if name.endswith(".crest"):
            # Upper crests lie above their junctions.
            points[row, 2] += rng.uniform(0.0, LOST_MM) * (1.0 if name[0] in "12" else -1.0)
    return replace(of, points_mouth=points)


def two_exposures(best: Plan, rng: np.random.Generator) -> tuple[Exposures, Exposures]:
    """The earlier exposure about the best one, and one whose tube stands up to 10 degrees away."""
    swing, vertical = rng.uniform(-SWING_DEG, SWING_DEG), rng.normal(0.0, VERTICAL_DEG)
    way, far = rng.uniform(0.0, 2.0 * np.pi), APART_DEG * np.sqrt(rng.uniform())
    return (
        _exposed(best, swing, vertical, rng),
        _exposed(best, swing + far * np.cos(way), vertical + far * np.sin(way), rng),
    )


def _exposed(best: Plan, swing: float, vertical: float, rng: np.random.Generator) -> Exposures:
    """A receptor placed with slips, the tube at angles off the best one's. [deg]"""
    slip = {name: rng.normal(0.0, spread) for name, spread in SLIPS.items()}
    own = best.setting
    return expose(
        best.station,
        Placement(
            forward_mm=own.forward_mm + slip["forward_mm"],
            lingual_mm=own.lingual_mm + abs(rng.normal(0.0, LINGUAL_MM)),
            height_mm=slip["height_mm"],
            turn_deg=own.turn_deg + slip["turn_deg"],
            tilt_deg=slip["tilt_deg"],
            roll_deg=slip["roll_deg"],
        ),
        Aim(
            ring_offset_deg=within_reach(
                "ring_offset_deg", own.ring_offset_deg - slip["turn_deg"] + swing
            ),
            vertical_deg=own.vertical_deg + vertical,
        ),
    )


def carried_out(setting: Setting, at: Station) -> Exposures:
    """A card's setting as a hand carries it out to the letter: whole degrees, the true mouth."""
    told = replace(
        setting,
        turn_deg=float(round(setting.turn_deg)),
        ring_offset_deg=float(round(setting.ring_offset_deg)),
        vertical_deg=float(round(setting.vertical_deg)),
    )
    return expose(at, told.placement(), told.aim())


def from_later_off_deg(
    exposures: tuple[Exposures, Exposures], said: Recall
) -> tuple[float, float, float]:
    """How far the later tube, moved as the card says in whole degrees, points off the earlier.

    The angle between the rays, and how far it stands to the front and up. [deg]
    """
    swing, vertical = off_parts_deg(*exposures)
    moves = said.from_later
    swing += round(moves[Part.SWING].value)
    vertical += round(moves[Part.VERTICAL].value)
    earlier = float(_poses(exposures[0]).vertical_deg[0])
    low, high = np.deg2rad([earlier, earlier + vertical])
    cosine = np.sin(low) * np.sin(high) + np.cos(low) * np.cos(high) * np.cos(np.deg2rad(swing))
    return float(np.rad2deg(np.arccos(np.clip(cosine, -1.0, 1.0)))), swing, vertical


def _poses(of: Exposures) -> Whereabouts:
    frame = of.station.seating.frame
    return pose_of(of, frame.front_mouth, frame.tongue_mouth)


def ray_angle_deg(one: Exposures, other: Exposures) -> float:
    """Angle between two exposures' central rays. [deg]"""
    cosine = float(one.beam.rays_mouth[0] @ other.beam.rays_mouth[0])
    return float(np.rad2deg(np.arccos(np.clip(cosine, -1.0, 1.0))))


def off_parts_deg(true: Exposures, told: Exposures) -> tuple[float, float]:
    """How far the second's tube stands to the front and up of the first's. [deg]"""
    was, now = _poses(true), _poses(told)
    return (
        float(now.azimuth_deg[0] - was.azimuth_deg[0]),
        float(now.vertical_deg[0] - was.vertical_deg[0]),
    )


if __name__ == "__main__":
    main()
