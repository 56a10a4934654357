"""Teeth that stood apart in words: what held them, how far they were, what to try."""

from bitewright.explanation.correction import HeldApart, Movement, Need, Part

SMALLER = "where palate or floor stops them, take a smaller receptor"
"""Common practice, no source."""


OTHERWISE_MM = 1.0
"""Where they measure so much more apart than is estimated, that is told. Our choice."""


def closing_words(movement: Movement, measured: str) -> str:
    """What is said after that teeth should close further: what they measure, what else to try.

    ``measured``: the movement's `measured_mm` in words; empty where no amount is told.
    """
    of_cusps = ""
    measured_mm = movement.measured_mm
    if measured and measured_mm and measured_mm - movement.needed.value >= OTHERWISE_MM:
        of_cusps = (
            f", though the rows of cusps measure about {measured} more than at the best exposure: "
            "the rest is likely the form of the bite"
        )
    return f"{of_cusps}; {SMALLER}"


def held_apart_words(movement: Movement, held: HeldApart) -> str:
    """Why teeth could not close on a receptor that is to be moved like this."""
    perhaps = "" if held.is_sure else "perhaps "
    if movement.part is Part.FORWARD:
        return (
            ": palate and floor are shallow further to the front, and "
            f"{perhaps}held the teeth apart"
        )
    holds = "palate" if movement.needed.value < 0.0 else "floor of the mouth"
    return f": {perhaps}the {holds} held it there, so that the teeth could not close"


def held_need_words(said: str, movement: Movement, held: HeldApart | None) -> str:
    """Whether a movement is needed, with what holds the teeth apart where that tells why not."""
    perhaps = "" if held is not None and held.is_sure else "perhaps "
    if held is None:
        return said
    if movement.part is Part.HEIGHT and held.by is Part.FORWARD:
        is_held = movement.need is Need.STAY
        return f"{said}, {perhaps}palate or floor held it there" if is_held else said
    if movement.part is not Part.CLOSURE:
        return said
    if movement.need is Need.STAY:
        return f"{said}, {perhaps}the receptor holds them apart"
    return f"{said}, or the receptor holds them apart"


__all__ = ["closing_words", "held_apart_words", "held_need_words"]
