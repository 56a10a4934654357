"""The best aim and place for a view, a receptor and a mouth.

Every criterion's room (distance inside its target in its own step) counts through a steeply
falling cost, so that the worst criterion rules and the others break ties. Search: a coarse grid
over place, turn, horizontal and vertical aim, then grids shrinking about the best.
"""

from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from bitewright.exposing.aim import Aim
from bitewright.exposing.exposure import Exposures, Station, aimed
from bitewright.exposing.placement import Placement
from bitewright.exposing.project import project
from bitewright.exposing.seating import nearest_fit_mm, seat
from bitewright.quality.criteria import CriterionName, Question
from bitewright.quality.predicted import Asked, Prediction, asked, predict, rated
from bitewright.quality.questions import AnyQuestion
from bitewright.quality.views import View
from bitewright.row_bands import ALONE, Threads
from bitewright.steps import Begin, unwatched

Floats = NDArray[np.float64]

FORWARD_MM = np.arange(-14.0, 14.1, 2.0)
RING_OFFSET_DEG = np.arange(-30.0, 30.1, 3.0)
VERTICAL_DEG = np.array([0.0, 5.0, 10.0])
TURN_DEG = np.array([0.0, 6.0, 12.0])
SHRINK = 0.4
ROUNDS = 6
STEEPNESS = 1.5
IDEAL = frozenset({CriterionName.LAST_DISTAL, CriterionName.CENTRAL, CriterionName.CLOSURE})
IDEAL_WEIGHT = 0.3
"""These weigh less in a plan, whatever the question: a plan aims at the ideal. Our choice."""

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

    def placement(self) -> Placement:
        """Its placement."""
        return Placement(
            forward_mm=self.forward_mm, lingual_mm=self.lingual_mm, turn_deg=self.turn_deg
        )

    def aim(self) -> Aim:
        """Its aim."""
        return Aim(ring_offset_deg=self.ring_offset_deg, vertical_deg=self.vertical_deg)


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
    question : AnyQuestion
    threads : Threads
    begin : Begin
    """
    begin("the best aim")
    of = asked(view, station)
    grid = [
        FORWARD_MM if forward_mm is None else np.array([forward_mm]),
        TURN_DEG if allow_turn else np.array([0.0]),
        RING_OFFSET_DEG,
        VERTICAL_DEG,
    ]
    best, cost = _best_of(grid, of, station, question, threads)
    spans = [2.0 if forward_mm is None else 0.0, 6.0 if allow_turn else 0.0, 3.0, 5.0]
    for _ in range(ROUNDS):
        begin("the best aim")
        values = (best.forward_mm, best.turn_deg, best.ring_offset_deg, best.vertical_deg)
        grid = [
            np.unique(np.clip(value + span * np.array([-1.0, -0.5, 0.0, 0.5, 1.0]), low, high))
            for value, span, (low, high) in zip(values, spans, BOUNDS, strict=True)
        ]
        found, found_cost = _best_of(grid, of, station, question, threads)
        if found_cost <= cost:
            best, cost = found, found_cost
        spans = [span * SHRINK if span else 0.0 for span in spans]
    best = _rounded(best)
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


def setting_cost(prediction: Prediction, exposures: Exposures) -> Floats:
    """Cost (E,) of predicted exposures: falls with the room in every criterion, steeply below zero.

    Our model: each criterion costs ``exp(-STEEPNESS * room)``, so the least room counts most; an
    exposure whose receptor would collide costs without bound.
    """
    rating = prediction.rating
    weight = np.array([IDEAL_WEIGHT if name in IDEAL else 1.0 for name in rating.names])
    room = np.where(np.isnan(rating.rooms), np.inf, rating.rooms)
    cost = (weight * np.exp(-STEEPNESS * np.clip(room, -20.0, None))).sum(axis=1)
    collides = exposures.seat.across_gap_mm < 0.0
    return np.where(collides, np.inf, cost)


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


def _rounded(setting: Setting) -> Setting:
    """To what a hand can set: half millimetres and half degrees."""
    return replace(
        setting,
        forward_mm=round(2 * setting.forward_mm) / 2,
        turn_deg=round(2 * setting.turn_deg) / 2,
        ring_offset_deg=round(2 * setting.ring_offset_deg) / 2,
        vertical_deg=round(2 * setting.vertical_deg) / 2,
    )


__all__ = ["Plan", "Setting", "best_aim", "displacement_cost", "setting_cost"]
