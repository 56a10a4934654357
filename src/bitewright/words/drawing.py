"""The words on a correction's drawing and on a marked film."""

from bitewright.explanation.correction import Movement, Part
from bitewright.words.movements import OPENING, at_least, rim_slide, with_unit

SEEN_FROM_ABOVE = "Seen from above"
SEEN_FROM_THE_SIDE = "Seen from the side, as from the tube"
SEEN_ALONG_THE_ROW = "Seen from the front, along the row of teeth"
FRONT, FRONT_TO_THE_RIGHT, FRONT_TO_THE_LEFT = (
    "front of the mouth",
    "front of the mouth >",
    "< front of the mouth",
)
TUBE, RECEPTOR = "tube", "receptor"
BITE_PLANE = "chain line: occlusal plane"
AS_ESTIMATED, NEXT_TIME = "as estimated", "next time"
NEXT_TIME_IN_FULL = OPENING

MARKS_KEY = (
    "lines: proximal edges; level bars: crest; rings: cemento-enamel junction; triangles: cusps"
)
ORIGINS_KEY = (
    "of marks that were proposed: tick, confirmed; bar, corrected; in a diamond, not looked at one "
    "by one"
)
OVERLAY = "Bitewright overlay of a marked film"

ARROWS = {
    Part.SWING: ("rim {size} to the front", "rim {size} to the back"),
    Part.VERTICAL: ("rim {size} up", "rim {size} down"),
    Part.FORWARD: ("{size} to the front", "{size} to the back"),
    Part.HEIGHT: ("{size} up", "{size} down"),
    Part.TURN: ("front end {size} to the opposite canine", "front end {size} to the teeth"),
    Part.TILT: ("upper edge {size} to the midline", "upper edge {size} to the teeth"),
    Part.ROLL: ("front edge {size} down", "front edge {size} up"),
    Part.CLOSURE: ("teeth {size} further closed", "teeth {size} less closed"),
}
"""What each movement's arrow says where it is positive, and where it is negative."""


def arrow_words(movement: Movement, *, rim_radius_mm: float, how_far: bool = True) -> str:
    """What moves, how much and which way, never nought: "4 mm to the front".

    Parameters
    ----------
    movement : Movement
    rim_radius_mm : float
        From the receptor's middle to the tube's rim. [mm]
    how_far : bool
        Whether to say how much; else the way alone.
    """
    amount, unit = movement.needed, movement.unit
    if movement.part in (Part.SWING, Part.VERTICAL):
        amount, unit = rim_slide(movement, rim_radius_mm=rim_radius_mm), "mm"
    plus, minus = ARROWS[movement.part]
    said = plus if movement.needed.value > 0 else minus
    return said.format(size=at_least(amount, unit)) if how_far else said.replace("{size} ", "")


def pointing_words(down_deg: float, *, is_next: bool) -> str:
    """How the tube points, as estimated or next time; down is positive. [deg]"""
    when = NEXT_TIME if is_next else AS_ESTIMATED
    angle = with_unit(down_deg, "deg")
    if angle.startswith("0 "):
        return f"{when}: tube points level"
    return f"{when}: tube points {angle} {'down' if down_deg >= 0 else 'up'}"


def drawing_title(view: str) -> str:
    """A drawing's name, for who cannot see it."""
    return f"Correction, ESTIMATED: {view}"


def drawing_heading(view: str) -> str:
    """The line over a drawing."""
    return f"ESTIMATED from marks: {view} bitewing"


def overlay_title(view: str, grade: str) -> str:
    """An overlay's name, for who cannot see it."""
    return f"Marked film: {view}, rating {grade}"


__all__ = [
    "AS_ESTIMATED",
    "BITE_PLANE",
    "FRONT",
    "FRONT_TO_THE_LEFT",
    "FRONT_TO_THE_RIGHT",
    "MARKS_KEY",
    "NEXT_TIME_IN_FULL",
    "ORIGINS_KEY",
    "OVERLAY",
    "RECEPTOR",
    "SEEN_ALONG_THE_ROW",
    "SEEN_FROM_ABOVE",
    "SEEN_FROM_THE_SIDE",
    "TUBE",
    "arrow_words",
    "drawing_heading",
    "drawing_title",
    "overlay_title",
    "pointing_words",
]
