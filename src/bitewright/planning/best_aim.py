"""The best aim and place for a view, a receptor and a mouth.

Every criterion's room (distance inside its target in its own step) counts through a steeply
falling cost, so that the worst criterion rules and the others break ties; what the question needs
counts for more than what is ideal. Search: a coarse grid
over place, turn, horizontal and vertical aim, then grids shrinking about the best of each turn,
later about the best of all; at last, of the settings next to it that a hand can set, the best.
"""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from bitewright.exposing.aim import Aim
from bitewright.exposing.exposure import Exposures, Station, aimed
from bitewright.exposing.placement import Placement
from bitewright.exposing.project import project
from bitewright.exposing.seating import nearest_fit_mm, seat
from bitewright.quality.criteria import Question
from bitewright.quality.predicted import Asked, Prediction, asked, predict, rated
from bitewright.quality.questions import AnyQuestion
from bitewright.quality.rating import Outcome
from bitewright.quality.views import View
from bitewright.row_bands import ALONE, Threads
from bitewright.steps import Begin, unwatched

Floats = NDArray[np.float64]

FORWARD_MM = np.arange(-14.0, 14.1, 2.0)
RING_OFFSET_DEG = np.arange(-30.0, 30.1, 3.0)
VERTICAL_DEG = np.array([0.0, 5.0, 10.0])
TURN_DEG = np.array([0.0, 6.0, 12.0])
FLUSH_TURN_DEG = np.arange(-12.0, 18.1, 3.0)
FLUSH_SPAN_DEG = 2.0
SHRINK = 0.4
ROUNDS = 6
ROUNDS_OF_EACH = 2
"""So many rounds go on from the best setting of each coarse turn, the others from the best of all:
a turned receptor may only show what it gains once the other settings are fitted to it."""

STEEPNESS = 1.5
IDEAL_WEIGHT = 0.3
"""What every view ideally shows weighs this much beside what the question needs, which weighs 1, so
that a plan aims at the ideal as far as the question leaves room. Our choice."""

FAILED_COSTS = 100.0
"""What each failed criterion costs besides, more than anything that is only ideal. Our choice."""

NEEDED_RULES_TO, IDEAL_RULES_TO = -4.0, -1.0
"""Short of its target by more steps than this, a criterion costs no more steeply than there: what
cannot be had does not rule what can. Our choice."""

PLACE_WEIGHT, TURN_WEIGHT = 0.06, 0.04
"""Cost of each squared millimetre away from the region's usual place, and of each degree of turn:
within the room that coverage leaves, the usual place is best, and ties stay simple. Our choice."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Setting:
    """Numbers that set one exposure at a station. [mm, deg]"""

    forward_mm: float
    lingual_mm: float
    turn_deg: float
    ring_offset_deg: float
    vertical_deg: float
    tilt_deg: float = 0.0

    def placement(self) -> Placement:
        """Its placement."""
        return Placement(
            forward_mm=self.forward_mm,
            lingual_mm=self.lingual_mm,
            turn_deg=self.turn_deg,
            tilt_deg=self.tilt_deg,
        )

    def aim(self) -> Aim:
        """Its aim."""
        return Aim(ring_offset_deg=self.ring_offset_deg, vertical_deg=self.vertical_deg)


@dataclass(frozen=True, slots=True, kw_only=True)
class Held:
    """What a search leaves as it is: a receptor that may not be turned, its place. [mm]

    ``flush`` keeps the rim flush where the best aim is looked for; where odds decide, a ring's is.
    ``weighs_leaving``: whether it is told what leaving a ring would gain; it takes as long again.
    """

    allow_turn: bool = True
    forward_mm: float | None = None
    flush: bool = False
    weighs_leaving: bool = True


FREE = Held()


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Plan:
    """The best setting found, its exposure and what it is predicted to show."""

    view: View
    station: Station
    setting: Setting
    exposure: Exposures
    prediction: Prediction
    cost: float


def best_aim(
    view: View,
    station: Station,
    *,
    allow_turn: bool = True,
    forward_mm: float | None = None,
    flush: bool = False,
    question: AnyQuestion = Question.ENAMEL,
    threads: Threads = ALONE,
    begin: Begin = unwatched,
) -> Plan:
    """Search for the setting whose prediction leaves the most room in the view's criteria.

    Our model: least `setting_cost` over a grid, then finer grids about the best.

    Parameters
    ----------
    view : View
    station : Station
        Mouth, region and equipment; its region is the view's.
    allow_turn : bool
        Whether the receptor may be turned towards the opposite canine.
    forward_mm : float, optional
        Keeps the receptor at this place instead of searching for it. [mm]
    flush : bool
        Keeps the tube square onto the receptor, level, as the rim of a ring has it; the receptor
        is then turned either way.
    question : AnyQuestion
    threads : Threads
    begin : Begin
    """
    begin("the best aim")
    of = asked(view, station)
    grid = [
        FORWARD_MM if forward_mm is None else np.array([forward_mm]),
        (FLUSH_TURN_DEG if flush else TURN_DEG) if allow_turn else np.array([0.0]),
        np.array([0.0]) if flush else RING_OFFSET_DEG,
        np.array([0.0]) if flush else VERTICAL_DEG,
    ]
    starts = [
        _best_of([grid[0], np.array([turn]), *grid[2:]], of, station, question, threads)
        for turn in grid[1]
    ]
    spans = [2.0 if forward_mm is None else 0.0, 6.0 if allow_turn else 0.0, 3.0, 5.0]
    if flush:
        spans = [spans[0], FLUSH_SPAN_DEG if allow_turn else 0.0, 0.0, 0.0]
    for number in range(ROUNDS):
        begin("the best aim")
        if number == ROUNDS_OF_EACH:
            starts = [min(starts, key=lambda start: start[1])]
        finer = [
            _best_of(_about(best, spans, turns_back=flush), of, station, question, threads)
            for best, _ in starts
        ]
        starts = [min(pair, key=lambda found: found[1]) for pair in zip(finer, starts, strict=True)]
        spans = [span * SHRINK if span else 0.0 for span in spans]
    best, cost = _best_of(_by_halves(starts[0][0]), of, station, question, threads)
    exposure = aimed(station, seat(station.seating, best.placement()), best.aim())
    return Plan(
        view=view,
        station=station,
        setting=best,
        exposure=exposure,
        prediction=predict(exposure, of, question=question),
        cost=cost,
    )


BOUNDS = ((-16.0, 16.0), (0.0, 18.0), (-40.0, 40.0), (-5.0, 15.0))
LEAST_FLUSH_TURN_DEG = -12.0
"""A receptor that carries its tube along may be turned back too, against the row. Our choice."""


def setting_cost(prediction: Prediction, exposures: Exposures) -> Floats:
    """Cost (E,) of predicted exposures: falls with the room in every criterion, steeply below zero.

    Our model: each criterion costs ``exp(-STEEPNESS * room)``, so the least room counts most: once
    for what the question needs of it, and by `IDEAL_WEIGHT` for all of it; failing costs besides.
    A contact off the image counts as not shown and not as shut, as it is rated: a place may be best
    that leaves off one which is only ideal and opens from no aim that opens the others. An exposure
    whose receptor would collide costs without bound.
    """
    rating = prediction.rating
    cost = _steeply(rating.needed_rooms, NEEDED_RULES_TO)
    cost += IDEAL_WEIGHT * _steeply(rating.rooms, IDEAL_RULES_TO)
    cost += FAILED_COSTS * (rating.outcomes == Outcome.FAILED).sum(axis=1)
    collides = exposures.seat.across_gap_mm < 0.0
    return np.where(collides, np.inf, cost)


def _steeply(rooms: Floats, until: float) -> Floats:
    """What rooms (E, K) cost together, (E,), exponential down to a room and straight below it.

    A room that is not known costs nothing.
    """
    room = np.where(np.isnan(rooms), np.inf, rooms)
    beyond = np.maximum(until - room, 0.0)
    cost = np.exp(-STEEPNESS * np.maximum(room, until)) * (1.0 + STEEPNESS * beyond)
    return np.asarray(cost.sum(axis=1))


def displacement_cost(forward_mm: Floats, turn_deg: Floats) -> Floats:
    """What lying away from the usual place costs, (E,). Our choice: it only breaks ties."""
    return np.asarray(PLACE_WEIGHT * forward_mm**2 + TURN_WEIGHT * np.abs(turn_deg))


def _best_of(
    grid: list[Floats], of: Asked, station: Station, question: AnyQuestion, threads: Threads
) -> tuple[Setting, float]:
    """Cheapest setting of a grid over forward, turn, ring offset and vertical angle."""
    place, turn = (axis.ravel() for axis in np.meshgrid(grid[0], grid[1], indexing="ij"))
    lingual = nearest_fit_mm(station.seating, Placement(forward_mm=place, turn_deg=turn))
    aims = len(grid[2]) * len(grid[3])
    offset, vertical = (axis.ravel() for axis in np.meshgrid(grid[2], grid[3], indexing="ij"))
    place, turn, lingual = (np.repeat(axis, aims) for axis in (place, turn, lingual))
    offset, vertical = (np.tile(axis, len(place) // aims) for axis in (offset, vertical))
    seated = seat(station.seating, Placement(forward_mm=place, turn_deg=turn, lingual_mm=lingual))
    exposures = aimed(station, seated, Aim(ring_offset_deg=offset, vertical_deg=vertical))
    # Every aim of the search goes through the receptor's middle, so the beam's cover is left out.
    prediction = rated(*project(exposures, of.targets, threads=threads), of, question=question)
    cost = setting_cost(prediction, exposures) + displacement_cost(place, turn)
    least = int(cost.argmin())
    setting = Setting(
        forward_mm=float(place[least]),
        lingual_mm=float(lingual[least]),
        turn_deg=float(turn[least]),
        ring_offset_deg=float(offset[least]),
        vertical_deg=float(vertical[least]),
    )
    return setting, float(cost[least])


def _about(best: Setting, spans: list[float], *, turns_back: bool) -> list[Floats]:
    """A grid about a setting, as far as spans go."""
    values = (best.forward_mm, best.turn_deg, best.ring_offset_deg, best.vertical_deg)
    bounds = list(BOUNDS)
    if turns_back:
        bounds[1] = (LEAST_FLUSH_TURN_DEG, bounds[1][1])
    return [
        np.unique(np.clip(value + span * np.array([-1.0, -0.5, 0.0, 0.5, 1.0]), low, high))
        for value, span, (low, high) in zip(values, spans, bounds, strict=True)
    ]


def _by_halves(best: Setting) -> list[Floats]:
    """What a hand can set next to a setting: half millimetres and half degrees."""
    values = (best.forward_mm, best.turn_deg, best.ring_offset_deg, best.vertical_deg)
    # Nought is added so that none is minus nought.
    return [
        np.unique([np.floor(2.0 * value), np.ceil(2.0 * value)]) / 2.0 + 0.0 for value in values
    ]


__all__ = ["FREE", "Held", "Plan", "Setting", "best_aim", "displacement_cost", "setting_cost"]
