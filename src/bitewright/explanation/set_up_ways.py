"""Which way a set-up lies from where tube and receptor were, and what of a correction it bears out.

The best exposure of an estimated mouth may lie far from the set-up that is told: how much a film
shows hardly hangs on the vertical angle or on a millimetre along the row, so that their best
wanders from mouth to mouth. What both the estimated mouth and the general plan ask for is told as
needed.
"""

from collections.abc import Mapping
from dataclasses import replace

from bitewright.estimation.estimate import Estimate
from bitewright.estimation.exposure_unknowns import exposures_at, pose_of
from bitewright.explanation.correction import Correction, Movement, Need, Part, Spared, Verdict
from bitewright.explanation.needs import WORTH
from bitewright.exposing.exposure import Exposures, Station, aimed, has_room
from bitewright.exposing.seating import nearest_fit_mm, seat
from bitewright.planning.best_aim import Plan, Setting
from bitewright.planning.general_set_up import general_set_up, set_up_by_odds
from bitewright.quality.questions import AnyQuestion

BORNE_OUT = (Part.VERTICAL, Part.FORWARD)
"""What is told as needed only where the set-up lies that way too."""


def usual_set_up(found: Estimate, plan: Plan, *, film: int = 0, question: AnyQuestion) -> Setting:
    """What setting a film's view up anew comes to: by the general plan, by odds in a known mouth.

    Where the estimated mouth has room for the receptor. ``plan``: of the view, for that mouth.
    """
    known = not found.shapes.along
    at = found.films[film].station
    usual = (set_up_by_odds if known else general_set_up)(plan.view, at, question)
    return set_up_with_room(plan.station, plan, usual)


def set_up_with_room(there: Station, plan: Plan, setting: Setting) -> Setting:
    """A set-up, or the next best of it for which a mouth has room; the set-up where none is.

    A plan for any mouth may lay the receptor where this one has none: then it keeps another space
    to the crowns, else the plan for this mouth is taken.

    Parameters
    ----------
    there : Station
        Of the mouth.
    plan : Plan
        Of the view, for that mouth.
    setting : Setting
    """
    if has_room(exposed_from(there, setting))[0]:
        return setting
    space_mm = float(nearest_fit_mm(there.seating, setting.placement())[0])
    others = (replace(setting, lingual_mm=space_mm), plan.setting)
    return next((each for each in others if has_room(exposed_from(there, each))[0]), setting)


def exposed_from(there: Station, setting: Setting) -> Exposures:
    """One exposure by a set-up."""
    return aimed(there, seat(there.seating, setting.placement()), setting.aim())


def set_up_goes(found: Estimate, exposure: Exposures, *, film: int = 0) -> dict[Part, float]:
    """How far a set-up's exposure lies from the film's, as estimated. [deg, mm]

    Of `BORNE_OUT` and the receptor's turn.
    """
    at = found.films[film].station
    along = (at.seating.frame.front_mouth, at.seating.frame.tongue_mouth)
    was = pose_of(exposures_at(at, found.unknowns[film][None]), *along)
    then = pose_of(exposure, *along)
    return {
        Part.VERTICAL: float(then.vertical_deg[0] - was.vertical_deg[0]),
        Part.FORWARD: float(then.forward_mm[0] - was.forward_mm[0]),
        Part.TURN: float(then.turn_deg[0] - was.turn_deg[0]),
    }


def usual_goes(
    found: Estimate, plan: Plan, *, film: int = 0, question: AnyQuestion
) -> dict[Part, float]:
    """`set_up_goes` of `usual_set_up`."""
    setting = usual_set_up(found, plan, film=film, question=question)
    return set_up_goes(found, exposed_from(plan.station, setting), film=film)


def lies_the_way_of(movement: Movement, goes: Mapping[Part, float]) -> bool:
    """Whether a set-up lies the way a movement goes, by more than is worth moving.

    ``goes``: from where tube and receptor were to the set-up. [deg, mm]
    """
    far = goes[movement.part]
    return movement.needed.value * far > 0.0 and abs(far) > WORTH[movement.part]


def is_to_be_borne_out(correction: Correction) -> bool:
    """Whether a movement is told as needed of which that hangs on the set-up."""
    return any(correction.of(part).need is Need.MOVE for part in BORNE_OUT)


def as_borne_out(correction: Correction, goes: Mapping[Part, float]) -> Correction:
    """The same, what the set-up does not go the way of being told as perhaps.

    ``goes``: from where tube and receptor were to the set-up, of `BORNE_OUT`. [deg, mm]
    """
    movements = tuple(
        replace(each, need=Need.PERHAPS, spared=Spared.NOT_OF_THE_PLAN)
        if each.part in BORNE_OUT and each.need is Need.MOVE and not lies_the_way_of(each, goes)
        else each
        for each in correction.movements
    )
    verdict = correction.verdict
    if verdict is Verdict.MOVE and all(each.need is not Need.MOVE for each in movements):
        verdict = Verdict.NOTHING
    return replace(correction, verdict=verdict, movements=movements)


__all__ = [
    "BORNE_OUT",
    "as_borne_out",
    "exposed_from",
    "is_to_be_borne_out",
    "lies_the_way_of",
    "set_up_goes",
    "set_up_with_room",
    "usual_goes",
    "usual_set_up",
]
