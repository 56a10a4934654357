"""Movements in words: always a direction of the hand, and figures a hand can set."""

from collections.abc import Collection
from dataclasses import dataclass
from math import floor, radians, sin

from bitewright.explanation.correction import Correction, Estimated, HeldApart, Movement, Need, Part
from bitewright.words.teeth_apart import closing_words, held_apart_words

OPENING = "next time, or if another exposure is justified"
SERVES_AS_IT_IS = (
    "this film serves its question, no contact that it needs being surely overlapped: nothing "
    "needs to move for that"
)
SERVES = f"{SERVES_AS_IT_IS}. To come nearer to the best exposure next time"

NOT_SURELY = "Nothing surely needs to move."

HALVES_BELOW_MM = 3.0
"""Below this, millimetres are said to the half. Our choice."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Ways:
    """How a part's movement is said.

    Parameters
    ----------
    name : str
        For a table.
    plus, minus : str
        What the hand does where the movement is positive, and where it is negative; what stands in
        braces is a figure with its words, or nothing.
    short_plus, short_minus : str
        The direction alone.
    open_question : str
        What is open where the marks do not tell.
    """

    name: str
    plus: str
    minus: str
    short_plus: str
    short_minus: str
    open_question: str


SAID = {
    Part.SWING: Ways(
        name="tube, to front or back",
        plus="slide the tube {rim}towards the front of the mouth at the rim, turning it to keep "
        "it on the receptor{exact}",
        minus="slide the tube {rim}towards the back of the mouth at the rim, turning it to keep "
        "it on the receptor{exact}",
        short_plus="to the front",
        short_minus="to the back",
        open_question="whether the tube should slide towards the front or the back of the mouth",
    ),
    Part.VERTICAL: Ways(
        name="tube, up or down",
        plus="raise the tube {rim}at the rim, tipping it downwards to keep it on the "
        "receptor{exact}",
        minus="lower the tube {rim}at the rim, tipping it upwards to keep it on the "
        "receptor{exact}",
        short_plus="up, pointing more down",
        short_minus="down, pointing more up",
        open_question="whether the tube should go up or down",
    ),
    Part.FORWARD: Ways(
        name="receptor, to front or back",
        plus="move the receptor {about}further towards the front of the mouth against the "
        "teeth{spread}, and the tube with it",
        minus="move the receptor {about}further towards the back of the mouth against the "
        "teeth{spread}, and the tube with it",
        short_plus="to the front",
        short_minus="to the back",
        open_question="whether the receptor should go further to the front or to the back",
    ),
    Part.HEIGHT: Ways(
        name="receptor, up or down",
        plus="set the receptor {about}higher against the teeth{spread}",
        minus="set the receptor {about}lower against the teeth{spread}",
        short_plus="up",
        short_minus="down",
        open_question="whether the receptor should be higher or lower",
    ),
    Part.TURN: Ways(
        name="receptor's front end",
        plus="turn the receptor's front end {about}towards the opposite canine{spread}",
        minus="turn the receptor's front end {about}towards the teeth{spread}",
        short_plus="to the opposite canine",
        short_minus="to the teeth",
        open_question="which way the receptor should be turned",
    ),
    Part.TILT: Ways(
        name="receptor's upper edge",
        plus="tilt the receptor's upper edge {about}towards the midline{spread}",
        minus="tilt the receptor's upper edge {about}towards the teeth{spread}",
        short_plus="to the midline",
        short_minus="to the teeth",
        open_question="which way the receptor should be tilted",
    ),
    Part.ROLL: Ways(
        name="receptor's front edge",
        plus="tip the receptor's front edge down{by}{spread}, to level it",
        minus="tip the receptor's front edge up{by}{spread}, to level it",
        short_plus="down",
        short_minus="up",
        open_question="whether the receptor's front edge should go up or down",
    ),
    Part.CLOSURE: Ways(
        name="teeth on the bite block",
        plus="have the teeth close {about}further on the bite block{spread}",
        minus="have the teeth close {about}less{spread}",
        short_plus="further closed",
        short_minus="less closed",
        open_question="whether the teeth were closed on the bite block",
    ),
}


def instruction(movement: Movement, *, rim_radius_mm: float, how_far: bool = True) -> str:
    """What the hand does, without a full stop: "slide the tube about 9 mm towards the back ...".

    Parameters
    ----------
    movement : Movement
        One with a direction, so that both ends of its interval lie on one side.
    rim_radius_mm : float
        From the receptor's middle to the tube's rim, where ``rim`` is not given. [mm]
    how_far : bool
        Whether to say how far; else the direction alone.
    """
    ways, needed = SAID[movement.part], movement.needed
    said = ways.plus if needed.value >= 0 else ways.minus
    if not how_far:
        return said.format(about="", by="", spread="", exact="", rim="")
    about, within = at_least(needed, movement.unit), interval(needed, movement.unit)
    rim = at_least(rim_slide(movement, rim_radius_mm=rim_radius_mm), "mm")
    return said.format(
        about=f"about {about} ",
        by=f" by about {about}",
        spread=f" ({within})" if within else "",
        exact=f" ({about}, {within})" if within else f" ({about})",
        rim=f"about {rim} ",
    )


def perhaps(movement: Movement, *, how_far: bool = True) -> str:
    """A movement that may be none: "lower the tube at the rim ... (up to 18 degrees)"."""
    needed = movement.needed
    far = needed.high if needed.value > 0.0 else needed.low
    said = instruction(movement, rim_radius_mm=0.0, how_far=False)
    return f"{said} (up to {with_unit(abs(far), movement.unit)})" if how_far else said


def perhaps_sentence(correction: Correction) -> str:
    """The most important of the movements that may be none, a sentence; empty where none is."""
    likely = [each for each in correction.movements if each.need is Need.PERHAPS]
    return f"Perhaps: {perhaps(likely[0], how_far=not correction.is_unlike)}." if likely else ""


def hand_words(
    movement: Movement,
    *,
    rim_radius_mm: float,
    how_far: bool,
    receptor_turned: Collection[Part] = (),
    held_by: HeldApart | None = None,
) -> str:
    """As `instruction`; the receptor turned instead where the rim was flush.

    Parameters
    ----------
    movement, rim_radius_mm, how_far
        As `instruction`.
    receptor_turned : collection of Part
        The tube's movements that the receptor makes instead, as `turned_instead` has them.
    held_by : HeldApart or None
        What of the receptor's place keeps teeth apart, as in `Correction`: then why is said too.
    """
    if movement.part in receptor_turned:
        return receptor_instead(movement, how_far=how_far)
    said = instruction(movement, rim_radius_mm=rim_radius_mm, how_far=how_far)
    if movement.part is Part.CLOSURE and movement.needed.value > 0.0:
        measured = with_unit(movement.measured_mm or 0.0, movement.unit)
        return said + closing_words(movement, measured if how_far else "")
    if held_by is None or movement.part is not held_by.by:
        return said
    return said + held_apart_words(movement, held_by)


def receptor_instead(movement: Movement, *, how_far: bool = True) -> str:
    """What the hand does where the rim was flush: the receptor goes, and the tube with it."""
    needed, ways = movement.needed, SAID[WITH_ITS_RING[movement.part]]
    said = ways.plus if needed.value >= 0.0 else ways.minus
    within = interval(needed, movement.unit) if how_far else ""
    about = f"about {at_least(needed, movement.unit)} " if how_far else ""
    moved = said.format(about=about, spread=f" ({within})" if within else "")
    return f"{moved}{TUBE_TOO}"


WITH_ITS_RING = {Part.SWING: Part.TURN, Part.VERTICAL: Part.TILT}
"""What of the receptor moves instead of the tube where the rim stood flush with its ring."""

TUBE_TOO = ", its ring and the tube with it"


def rim_slide(movement: Movement, *, rim_radius_mm: float) -> Estimated:
    """How far the tube's rim slides, given or as the chord of its turn. [mm]"""
    if movement.rim is not None:
        return movement.rim
    turn = movement.needed
    low, value, high = (
        2.0 * rim_radius_mm * sin(radians(angle) / 2.0)
        for angle in (turn.low, turn.value, turn.high)
    )
    return Estimated(value=value, low=low, high=high)


def size(value: float, unit: str) -> float:
    """Size of a value to what a hand can set: whole, below 3 mm half millimetres."""
    step = 0.5 if unit == "mm" and abs(value) < HALVES_BELOW_MM else 1.0
    return step * floor(abs(value) / step + 0.5)


def figure(value: float, unit: str) -> str:
    """The bare figure of a size."""
    return f"{size(value, unit):g}"


def with_unit(value: float, unit: str) -> str:
    """A size with its unit in words."""
    number = figure(value, unit)
    if unit == "mm":
        return f"{number} mm"
    return "1 degree" if number == "1" else f"{number} degrees"


def at_least(needed: Estimated, unit: str) -> str:
    """The size of a movement that is to be made, so never said to be nought."""
    least = 0.5 if unit == "mm" else 1.0
    return with_unit(max(abs(needed.value), least), unit)


def interval(needed: Estimated, unit: str) -> str:
    """As "5 to 9" where both ends differ once rounded, else nothing; sizes, one direction."""
    low, high = sorted((abs(needed.low), abs(needed.high)))
    if needed.low * needed.high < 0:
        low = 0.0
    ends = figure(low, unit), figure(high, unit)
    return "" if ends[0] == ends[1] else f"{ends[0]} to {ends[1]}"


__all__ = [
    "NOT_SURELY",
    "OPENING",
    "SAID",
    "SERVES",
    "SERVES_AS_IT_IS",
    "Ways",
    "at_least",
    "figure",
    "hand_words",
    "instruction",
    "interval",
    "perhaps",
    "perhaps_sentence",
    "receptor_instead",
    "rim_slide",
    "size",
    "with_unit",
]
