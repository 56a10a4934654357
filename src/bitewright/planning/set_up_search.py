"""The set-up that most likely serves, among those that some freedoms allow and a patient bears."""

from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from bitewright.exposing.aim import Aim
from bitewright.exposing.exposure import Exposures, Station, aimed, front_opening_mm
from bitewright.exposing.passing import needed_to_pass_mm
from bitewright.exposing.placement import Placement
from bitewright.exposing.project import project
from bitewright.exposing.receptor_edges import behind_last_mm
from bitewright.exposing.seating import nearest_fit_mm, seat
from bitewright.planning.best_aim import Setting, displacement_cost, setting_cost
from bitewright.planning.expected_success import Success, served
from bitewright.planning.patient_limits import NO_LIMITS, Patient
from bitewright.planning.slipped import slipped
from bitewright.quality.criteria import CriterionName, criteria
from bitewright.quality.predicted import Asked, rated
from bitewright.quality.questions import AnyQuestion
from bitewright.row_bands import ALONE, Threads

Floats = NDArray[np.float64]

BESIDE_MM = 5.0
"""Without going nearer the midline, a receptor lies at most so far from the crowns. Our choice."""

FORWARD_MM = np.arange(-14.0, 14.1, 2.0)
TURNS_DEG = np.array([-6.0, 0.0, 6.0, 12.0, 18.0])
TILTS_DEG = np.array([0.0, 8.0, 15.0])
SWINGS_DEG = np.arange(-24.0, 24.1, 4.0)
VERTICALS_DEG = np.array([0.0, 5.0, 10.0])
TURNS_WITH_SWING_DEG = np.array([0.0, 8.0])
TILTS_WITH_SWING_DEG = np.array([0.0, 10.0])
"""Where set-ups are looked for; tilt to 15 degrees, 10 from above: common practice, no source."""

ROUNDS = 2
TILT_COST, AIM_COST = 0.05, 0.002
"""What a degree of tilt costs, and of leaving the square: ties stay simple. Our choice."""

TIE = 0.015


@dataclass(frozen=True, slots=True, kw_only=True)
class Freedoms:
    """What a set-up may do beyond lying parallel beside the teeth, the tube square onto it."""

    nearer: bool = True
    turn: bool = True
    tilt: bool = True
    swing: bool = False


Grid = tuple[Floats, Floats, Floats, Floats, Floats]
"""Forward, turn, tilt, swing and vertical angle."""


def likeliest_set_up(
    station: Station,
    of: Asked,
    errors: Floats,
    *,
    freedoms: Freedoms,
    question: AnyQuestion,
    bears: Patient = NO_LIMITS,
    also: Sequence[Setting] = (),
    threads: Threads = ALONE,
) -> tuple[Setting, Success] | None:
    """The set-up that most likely serves with a hand's errors; None if none fits the patient.

    Our model: the least `setting_cost` over a grid and finer grids about it; those about the best,
    and any others that are given, are then tried with the errors (E, 4), as `Scatter.draw` gives
    them. Of those about as likely the first is taken, the given ones before all.
    """
    limit_mm = station.outlines.mouth.room.opening_limit_mm
    if needed_to_pass_mm(station.receptor, station.region.format) > limit_mm:
        return None
    best = _cheapest(_coarse(freedoms), station, of, freedoms, question, bears, threads)
    if best is None:
        return None
    spans: tuple[float, ...] = (1.0, 2.0, 4.0, 2.0, 2.5)
    for _ in range(ROUNDS):
        finer = _about(best, spans, freedoms)
        best = _cheapest(finer, station, of, freedoms, question, bears, threads) or best
        spans = tuple(0.5 * span for span in spans)
    around = _around(_by_halves(best), station, freedoms, bears)
    tried = [*also, *(around or [best])]
    return _likeliest(tried, station, of, errors, question, threads)


def _coarse(freedoms: Freedoms) -> Grid:
    nought = np.array([0.0])
    turns = TURNS_WITH_SWING_DEG if freedoms.swing else TURNS_DEG
    tilts = TILTS_WITH_SWING_DEG if freedoms.swing else TILTS_DEG
    return (
        FORWARD_MM,
        turns if freedoms.turn else nought,
        tilts if freedoms.tilt else nought,
        SWINGS_DEG if freedoms.swing else nought,
        VERTICALS_DEG if freedoms.swing else nought,
    )


LOWEST = (-16.0, -12.0, 0.0, -40.0, 0.0)
HIGHEST = (16.0, 18.0, 15.0, 40.0, 10.0)


def _about(best: Setting, spans: Sequence[float], freedoms: Freedoms) -> Grid:
    steps = np.array([-1.0, 0.0, 1.0])
    free = (True, freedoms.turn, freedoms.tilt, freedoms.swing, freedoms.swing)
    made = [
        np.unique(np.clip(value + span * steps, low, high)) if is_free else np.array([value])
        for value, span, low, high, is_free in zip(
            _values(best), spans, LOWEST, HIGHEST, free, strict=True
        )
    ]
    return (made[0], made[1], made[2], made[3], made[4])


def _values(of: Setting) -> tuple[float, float, float, float, float]:
    return of.forward_mm, of.turn_deg, of.tilt_deg, of.ring_offset_deg, of.vertical_deg


def _spaces(at: Station, placed: Placement, bears: Patient, *, nearer: bool) -> Floats:
    """Space to the crowns of each placement: as near as it fits, and as far as it may. [mm]"""
    nearest = nearest_fit_mm(at.seating, placed)
    if not nearer:
        nearest = np.minimum(nearest, BESIDE_MM)
    return np.maximum(nearest, bears.least_space_mm)


def _cheapest(
    grid: Grid,
    at: Station,
    of: Asked,
    freedoms: Freedoms,
    question: AnyQuestion,
    bears: Patient,
    threads: Threads,
) -> Setting | None:
    """The cheapest setting of a grid that the patient bears; None if there is none."""
    found = settings_tried(
        grid, at, of, question, bears, nearer=freedoms.nearer, threads=threads, most=1
    )
    return found[0] if found else None


def settings_tried(
    grid: Grid,
    at: Station,
    of: Asked,
    question: AnyQuestion,
    bears: Patient,
    *,
    most: int,
    nearer: bool = True,
    threads: Threads = ALONE,
) -> list[Setting]:
    """The cheapest settings of a grid that the patient bears, at most so many, cheapest first."""
    forward, turn, tilt = (axis.ravel() for axis in np.meshgrid(*grid[:3], indexing="ij"))
    placed = Placement(forward_mm=forward, turn_deg=turn, tilt_deg=tilt)
    space = _spaces(at, placed, bears, nearer=nearer)
    swing, vertical = (axis.ravel() for axis in np.meshgrid(*grid[3:], indexing="ij"))
    aims = len(swing)
    forward, turn, tilt, space = (np.repeat(axis, aims) for axis in (forward, turn, tilt, space))
    swing, vertical = (np.tile(axis, len(forward) // aims) for axis in (swing, vertical))
    seated = seat(
        at.seating,
        Placement(forward_mm=forward, turn_deg=turn, tilt_deg=tilt, lingual_mm=space),
    )
    exposures = aimed(at, seated, Aim(ring_offset_deg=swing, vertical_deg=vertical))
    prediction = rated(*project(exposures, of.targets, threads=threads), of, question=question)
    cost = setting_cost(prediction, exposures) + displacement_cost(forward, turn)
    cost += TILT_COST * tilt + AIM_COST * (np.abs(swing) + vertical)
    cost = np.where(_borne(exposures, bears), cost, np.inf)
    cheapest = [k for k in np.argsort(cost, kind="stable")[:most] if np.isfinite(cost[k])]
    return [
        Setting(
            forward_mm=float(forward[k]),
            lingual_mm=float(space[k]),
            turn_deg=float(turn[k]),
            ring_offset_deg=float(swing[k]),
            vertical_deg=float(vertical[k]),
            tilt_deg=float(tilt[k]),
        )
        for k in cheapest
    ]


def _borne(exposures: Exposures, bears: Patient) -> NDArray[np.bool_]:
    """Whether the receptor finds room, the mouth opens and closes on it, the back is spared, (E,).

    A patient who cannot close on the bite block does not hold it still: common practice, no source.
    """
    at, seated = exposures.station, exposures.seat
    opens = front_opening_mm(at, seated) <= at.outlines.mouth.room.opening_limit_mm
    spared = behind_last_mm(exposures) <= bears.behind_last_mm
    closes = seated.closure_mm <= criteria()[CriterionName.CLOSURE].met
    return np.asarray((seated.across_gap_mm >= 0.0) & opens & closes & spared)


def _by_halves(best: Setting) -> Setting:
    """The same in half millimetres and half degrees."""
    # Nought is added so that none is minus nought.
    names = ("forward_mm", "turn_deg", "ring_offset_deg", "vertical_deg", "tilt_deg")
    halves = {name: float(round(2.0 * getattr(best, name)) / 2.0 + 0.0) for name in names}
    return replace(best, **halves)


def _around(best: Setting, at: Station, freedoms: Freedoms, bears: Patient) -> list[Setting]:
    """Of a setting and those about it what the patient bears, the setting itself first."""
    turns = (0.0, -3.0, 3.0) if freedoms.turn and not freedoms.swing else (0.0,)
    swings = (0.0, -3.0, 3.0) if freedoms.swing else (0.0,)
    made = [
        replace(
            best,
            forward_mm=best.forward_mm + step,
            turn_deg=best.turn_deg + turn,
            ring_offset_deg=best.ring_offset_deg + swing,
        )
        for step in (0.0, -2.0, 2.0)
        for turn in turns
        for swing in swings
    ]
    placed = Placement(
        forward_mm=np.array([each.forward_mm for each in made]),
        turn_deg=np.array([each.turn_deg for each in made]),
        tilt_deg=best.tilt_deg,
    )
    spaces = _spaces(at, placed, bears, nearer=freedoms.nearer)
    made = [
        replace(each, lingual_mm=float(space)) for each, space in zip(made, spaces, strict=True)
    ]
    seated = seat(at.seating, replace(placed, lingual_mm=spaces))
    borne = _borne(aimed(at, seated, Aim(vertical_deg=best.vertical_deg)), bears)
    kept = [each for each, bearable in zip(made, borne, strict=True) if bearable]
    return kept


def _likeliest(
    tried: list[Setting],
    at: Station,
    of: Asked,
    errors: Floats,
    question: AnyQuestion,
    threads: Threads,
) -> tuple[Setting, Success]:
    """The first set-up that is about as likely to serve as any."""
    found = [
        (each, served(slipped(at, each, errors), of, question=question, threads=threads).success())
        for each in tried
    ]
    most = max(success.chance for _, success in found)
    return next(pair for pair in found if pair[1].chance >= most - TIE)


__all__ = ["BESIDE_MM", "Freedoms", "likeliest_set_up", "settings_tried"]
