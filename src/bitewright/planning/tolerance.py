"""How far each hand movement may slip from a plan before a criterion is lost, and which one."""

from dataclasses import dataclass, replace
from enum import StrEnum

import numpy as np
from numpy.typing import NDArray

from bitewright.exposing.exposure import aimed
from bitewright.exposing.seating import seat
from bitewright.planning.best_aim import Plan
from bitewright.quality.criteria import CriterionName, Question
from bitewright.quality.predicted import asked, predict
from bitewright.quality.questions import AnyQuestion
from bitewright.quality.rating import Outcome, Rating

Floats = NDArray[np.float64]

FURTHEST = {"deg": 30.0, "mm": 15.0}
STEP = {"deg": 0.25, "mm": 0.125}


class SlipWay(StrEnum):
    """A movement of the hand by its direction."""

    TUBE_FORWARD = "tube-forward"
    """Swung towards the front."""
    TUBE_BACK = "tube-back"
    TUBE_UP = "tube-up"
    """Raised, pointing more down."""
    TUBE_DOWN = "tube-down"
    RECEPTOR_FORWARD = "receptor-forward"
    RECEPTOR_BACK = "receptor-back"


@dataclass(frozen=True, slots=True, kw_only=True)
class Slip:
    """One movement's tolerance.

    Parameters
    ----------
    movement : SlipWay
    unit : str
        "deg" or "mm".
    until_short, short_criterion : float and CriterionName, or None
        Where the first criterion met in the plan is no longer met, or the first fails if that is
        sooner; None if none is lost within the range tried.
    until_failed, failed_criterion : float and CriterionName, or None
        Where the first criterion fails.
    tried : float
        How far was tried. [unit]
    """

    movement: SlipWay
    unit: str
    until_short: float | None
    short_criterion: CriterionName | None
    until_failed: float | None
    failed_criterion: CriterionName | None
    tried: float


_WAYS = {
    SlipWay.TUBE_FORWARD: ("ring_offset_deg", 1.0),
    SlipWay.TUBE_BACK: ("ring_offset_deg", -1.0),
    SlipWay.TUBE_UP: ("vertical_deg", 1.0),
    SlipWay.TUBE_DOWN: ("vertical_deg", -1.0),
    SlipWay.RECEPTOR_FORWARD: ("forward_mm", 1.0),
    SlipWay.RECEPTOR_BACK: ("forward_mm", -1.0),
}


def tolerances(plan: Plan, *, question: AnyQuestion = Question.ENAMEL) -> tuple[Slip, ...]:
    """The tolerance of each movement about a plan, alone, everything else as planned.

    Tube swings keep the central ray through the receptor's middle; a receptor moved forward or
    back takes its tube along, as a ring does.

    Our model: one movement at a time, until the first criterion is short or fails.
    """
    return tuple(_slip(plan, movement, question) for movement in SlipWay)


def _slip(plan: Plan, movement: SlipWay, question: AnyQuestion) -> Slip:
    field, sign = _WAYS[movement]
    unit = field.rsplit("_", 1)[1]
    slips = np.arange(0.0, FURTHEST[unit] + 1e-9, STEP[unit])
    rating = _rated(plan, field, getattr(plan.setting, field) + sign * slips, question)
    short, failed = (_first_loss(rating, slips, worse_than) for worse_than in _LOSSES)
    short = min(short, failed, key=lambda loss: np.inf if loss[0] is None else loss[0])
    return Slip(
        movement=movement,
        unit=unit,
        until_short=short[0],
        short_criterion=short[1],
        until_failed=failed[0],
        failed_criterion=failed[1],
        tried=FURTHEST[unit],
    )


def _rated(plan: Plan, field: str, values: Floats, question: AnyQuestion) -> Rating:
    setting = plan.setting
    if field == "forward_mm":
        placement = replace(setting.placement(), forward_mm=values)
        seated = seat(plan.station.seating, placement)
        exposures = aimed(plan.station, seated, setting.aim())
    else:
        seated = seat(plan.station.seating, setting.placement())
        exposures = aimed(plan.station, seated, replace(setting.aim(), **{field: values}))
    return predict(exposures, asked(plan.view, plan.station), question=question).rating


_LOSSES = (Outcome.MET, Outcome.SHORT)


def _first_loss(
    rating: Rating, slips: Floats, still_good: Outcome
) -> tuple[float | None, CriterionName | None]:
    """First slip at which a criterion that was good is worse than that, and which."""
    good = rating.outcomes <= still_good
    watched = good[0]
    lost = watched & ~good & (rating.outcomes != Outcome.NOT_ASKED)
    first = np.where(lost.any(axis=0), lost.argmax(axis=0), len(slips))
    which = int(first.argmin())
    if first[which] == len(slips):
        return None, None
    return float(slips[first[which]]), rating.names[which]


__all__ = ["Slip", "SlipWay", "tolerances"]
