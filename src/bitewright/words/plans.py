"""A plan as an operator would be told it, and how far each movement may slip."""

from collections.abc import Iterable
from math import ceil, copysign, floor

from bitewright.exposing.receptor_edges import EdgeName, EdgePlace
from bitewright.planning.best_aim import Setting
from bitewright.planning.first_time import FirstTime
from bitewright.planning.tolerance import Slip, SlipWay
from bitewright.words.movements import size, with_unit
from bitewright.words.phrases import counted, listed
from bitewright.words.placement import lies_words, told_edges
from bitewright.words.titles import criterion_title

SLIP_WORDS = {
    SlipWay.TUBE_FORWARD: "tube swung towards the front",
    SlipWay.TUBE_BACK: "tube swung towards the back",
    SlipWay.TUBE_UP: "tube raised, pointing more down",
    SlipWay.TUBE_DOWN: "tube lowered, pointing more up",
    SlipWay.RECEPTOR_FORWARD: "receptor further forward",
    SlipWay.RECEPTOR_BACK: "receptor further back",
}
FRONT_EDGES = (EdgeName.CASING_FRONT, EdgeName.ACTIVE_FRONT)


def plan_instructions(setting: Setting, edges: Iterable[EdgePlace]) -> tuple[str, ...]:
    """Where to put the receptor and how to aim the tube, a sentence each.

    In figures that a hand can set: whole degrees, millimetres as movements have them.

    Parameters
    ----------
    setting : Setting
    edges : iterable of EdgePlace
        Of its receptor.
    """
    turn = "parallel to the teeth"
    turned, tilted = whole_degrees(setting.turn_deg), whole_degrees(setting.tilt_deg)
    if turned:
        way = "opposite canine" if turned > 0 else "teeth"
        turn = f"turned {counted_degrees(abs(turned))}, its front end towards the {way}"
    tilt = ""
    if tilted > 0:
        tilt = f", its upper edge tilted {counted_degrees(tilted)} to the midline"
    front = ", ".join(
        f"the {title} {lies_words(edge)}"
        for title, edge in told_edges(edges)
        if edge.edge in FRONT_EDGES and not edge.upper
    )
    offset = whole_degrees(setting.ring_offset_deg)
    swing = ""
    if offset:
        way = "front" if offset > 0 else "back"
        swing = f", then swing it {counted_degrees(abs(offset))} towards the {way}"
    way = "in front of" if setting.forward_mm >= 0 else "behind"
    far = setting.forward_mm
    away = f"{with_unit(far, 'mm')} {way}" if size(far, "mm") else "at"
    across = with_unit(setting.lingual_mm, "mm")
    return (
        f"Set the receptor {turn}{tilt}, {across} from the crowns: {front}.",
        f"Aim the tube square onto the receptor{swing}; {_level(setting.vertical_deg)}.",
        f"Middle of the receptor {away} the view's usual middle.",
    )


def does_not_work_words(*, serves: bool, closes: bool) -> str:
    """Why a plan is not worth setting up, and where to look.

    Parameters
    ----------
    serves : bool
        Whether the film serves often enough.
    closes : bool
        Whether the teeth close on the bite block.
    """
    why = listed(
        [
            *([] if serves else ["the film would fail more often than not"]),
            *([] if closes else ["the receptor keeps the teeth from closing on the bite block"]),
        ]
    )
    return (
        f"This set-up does not work here: {why}. `bitewright plan --ladder` tells what to take "
        "instead; --anyway shows the set-up all the same."
    )


def whole_degrees(angle_deg: float) -> int:
    """An angle of a set-up as a hand sets it and as it is said everywhere: whole, halves less."""
    return int(copysign(ceil(abs(angle_deg) - 0.5), angle_deg))


def counted_degrees(angle_deg: float) -> str:
    """An angle in words: "1 degree", "2.5 degrees"."""
    return f"{angle_deg:g} degree{'' if angle_deg == 1.0 else 's'}"


def _level(vertical_deg: float) -> str:
    """Where the tube stands against the occlusal plane."""
    points = whole_degrees(vertical_deg)
    if not points:
        return "hold it level with the occlusal plane"
    side = "above" if points > 0 else "below"
    return f"point it from {counted_degrees(abs(points))} {side} the occlusal plane"


def first_time_words(chance: FirstTime) -> str:
    """How likely the operator of a Scatter file gets it right at once."""
    cost = (
        ""
        if chance.costs_most is None
        else f" Most often lost: {criterion_title(chance.costs_most)}."
    )
    return (
        "In this operator's hands the first exposure shows all that is planned in "
        f"{chance.as_planned:.0%}, and fails no criterion in {chance.none_failed:.0%} (this mouth, "
        f"{counted(chance.draws, 'exposure')} drawn).{cost}"
    )


def slip_distance(value: float | None, slip: Slip) -> str:
    """How far a movement may slip, in steps a hand can set, or that nothing is lost so far.

    Rounded down: what is said is safe.
    """
    unit, step = ("mm", 0.5) if slip.unit == "mm" else ("degrees", 1.0)
    if value is None:
        return f"not within {slip.tried:g} {unit}"
    safe = step * floor(value / step)
    if safe < step:
        return f"less than {step:g} {'mm' if slip.unit == 'mm' else 'degree'}"
    return f"{safe:g} {'degree' if slip.unit == 'deg' and safe == 1.0 else unit}"


__all__ = [
    "SLIP_WORDS",
    "counted_degrees",
    "does_not_work_words",
    "first_time_words",
    "plan_instructions",
    "slip_distance",
    "whole_degrees",
]
