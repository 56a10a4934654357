"""The set-up of a view that most likely serves its purpose in a hand, the rim of a ring flush."""

from collections.abc import Iterable
from dataclasses import dataclass, replace
from itertools import product

import numpy as np
from numpy.typing import NDArray

from bitewright.exposing.exposure import Station, aimed
from bitewright.exposing.placement import Placement
from bitewright.exposing.scatter import Scatter
from bitewright.exposing.seating import nearest_fit_mm, seat
from bitewright.planning.best_aim import FREE, Held, Plan, Setting, best_aim, displacement_cost
from bitewright.planning.expected_success import Success, served
from bitewright.planning.slipped import slipped
from bitewright.quality.criteria import Question
from bitewright.quality.predicted import Asked, asked, predict
from bitewright.quality.questions import AnyQuestion
from bitewright.quality.views import View
from bitewright.row_bands import ALONE, Threads
from bitewright.steps import Begin, unwatched

Floats = NDArray[np.float64]

DRAWS = 200
"""Slips that set-ups are weighed by, the same for all. Our choice."""

AROUND_MM, AROUND_DEG = (-2.0, 0.0, 2.0), (-3.0, 0.0, 3.0)
"""Set-ups looked at about the best aim. Our choice."""

TIE = 0.015
"""Chances this near are a tie, and the simpler set-up is taken. Our choice."""

WORTH_LEAVING = 0.05
"""Leaving the ring is worth telling where it raises the chance by so much. Our choice."""

SHOWN_COUNTS = 0.1
"""What is shown counts this much beside success, so that the better of two hopeless ones wins."""


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Leaving:
    """A set-up that leaves the ring, and how likely it serves; ``gain`` is what it adds."""

    setting: Setting
    success: Success
    gain: float


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class PlanByOdds:
    """A plan chosen by expected success.

    Parameters
    ----------
    plan : Plan
        With a ring, its rim is flush.
    leaving : Leaving or None
        What leaving the ring would gain; None without a ring, or where it gains little.
    """

    plan: Plan
    leaving: Leaving | None


def plan_by_odds(
    view: View,
    station: Station,
    scatter: Scatter,
    *,
    generator: np.random.Generator,
    held: Held = FREE,
    question: AnyQuestion = Question.ENAMEL,
    threads: Threads = ALONE,
    begin: Begin = unwatched,
) -> PlanByOdds:
    """The set-up that most likely serves a question in one hand.

    Our model: about the best aim, set-ups are tried with the same slips of the hand, in the mouth
    as it is described; of those about as likely to serve, the simplest is taken. With a ring the
    rim stays flush: the receptor is turned and placed, and the tube follows.

    Parameters
    ----------
    view, station, question, threads, begin
        As `best_aim`.
    held : Held
    scatter : Scatter
        The hand.
    generator : numpy Generator
    """
    of = asked(view, station)
    errors = scatter.draw(generator, DRAWS)

    def weighed(plan: Plan, *, flush: bool) -> tuple[Setting, Success]:
        places = (0.0,) if held.forward_mm is not None else AROUND_MM
        turns = AROUND_DEG if held.allow_turn and flush else (0.0,)
        swings = (0.0,) if flush else AROUND_DEG
        tried = _around(plan.setting, station, places, turns, swings)
        return _likeliest(tried, station, of, errors, question, threads)

    def best(*, flush: bool) -> Plan:
        return best_aim(
            view,
            station,
            allow_turn=held.allow_turn,
            forward_mm=held.forward_mm,
            flush=flush,
            question=question,
            threads=threads,
            begin=begin,
        )

    if station.holder.ring and not held.weighs_leaving:
        flush = best(flush=True)
        kept, _ = weighed(flush, flush=True)
        return PlanByOdds(plan=_planned(flush, kept, of, question), leaving=None)
    free = best(flush=False)
    setting, success = weighed(free, flush=False)
    if not station.holder.ring:
        return PlanByOdds(plan=_planned(free, setting, of, question), leaving=None)
    flush = best(flush=True)
    kept, kept_success = weighed(flush, flush=True)
    gain = success.chance - kept_success.chance
    return PlanByOdds(
        plan=_planned(flush, kept, of, question),
        leaving=Leaving(setting=setting, success=success, gain=gain)
        if gain >= WORTH_LEAVING
        else None,
    )


def _around(
    setting: Setting,
    station: Station,
    places_mm: Iterable[float],
    turns_deg: Iterable[float],
    swings_deg: Iterable[float],
) -> list[Setting]:
    """A set-up and those about it, each seated where it fits."""
    made = [
        replace(
            setting,
            forward_mm=setting.forward_mm + place,
            turn_deg=setting.turn_deg + turn,
            ring_offset_deg=setting.ring_offset_deg + swing,
        )
        for place, turn, swing in product(places_mm, turns_deg, swings_deg)
    ]
    placed = Placement(
        forward_mm=np.array([each.forward_mm for each in made]),
        turn_deg=np.array([each.turn_deg for each in made]),
    )
    lingual = nearest_fit_mm(station.seating, placed)
    return [
        replace(each, lingual_mm=float(space)) for each, space in zip(made, lingual, strict=True)
    ]


def _likeliest(
    tried: list[Setting],
    station: Station,
    of: Asked,
    errors: Floats,
    question: AnyQuestion,
    threads: Threads,
) -> tuple[Setting, Success]:
    """The simplest of the set-ups that most likely serve; the first is taken if none fits."""
    found = []
    for setting in tried:
        exposures = slipped(station, setting, errors)
        fits = (exposures.seat.across_gap_mm >= 0.0).mean()
        success = served(exposures, of, question=question, threads=threads).success()
        found.append((setting, success, fits * (success.chance + SHOWN_COUNTS * success.shown)))
    most = max(worth for _, _, worth in found)
    setting, success, _ = min(
        (each for each in found if each[2] >= most - TIE), key=lambda each: _complexity(each[0])
    )
    return setting, success


def _complexity(setting: Setting) -> float:
    """How far a set-up is from the usual place, square on and level. Our choice of weights."""
    away = displacement_cost(np.array(setting.forward_mm), np.array(setting.turn_deg))
    return float(away) + abs(setting.ring_offset_deg) + abs(setting.vertical_deg)


def _planned(plan: Plan, setting: Setting, of: Asked, question: AnyQuestion) -> Plan:
    at = plan.station
    exposure = aimed(at, seat(at.seating, setting.placement()), setting.aim())
    return replace(
        plan,
        setting=setting,
        exposure=exposure,
        prediction=predict(exposure, of, question=question),
    )


__all__ = ["Leaving", "PlanByOdds", "plan_by_odds"]
