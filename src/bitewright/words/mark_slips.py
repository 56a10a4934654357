"""Slips in marks, worded: what to look at before anything is moved."""

from bitewright.explanation.correction import Correction
from bitewright.explanation.mark_slips import ContactSlip, MarkSlips
from bitewright.marking.tooth_numbers import NumberedOff
from bitewright.words.phrases import listed

NOTHING_TOLD = "Until that is settled, nothing is advised."
HOPELESS = (
    "These marks fit no exposure that a mouth allows: check the names and places of all of them, "
    "and the view and side of the film."
)


def slip_sentences(slips: MarkSlips) -> tuple[str, ...]:
    """A sentence for each slip that marks give away."""
    return (
        *map(_misnumbered, slips.misnumbered),
        *map(_wide, slips.wide),
        *map(_exchanged, slips.exchanged),
    )


def marks_first(correction: Correction) -> str:
    """What stands before all else where marks are to be looked at first; else nothing."""
    said = slip_sentences(correction.slips)
    if correction.is_hopeless and not said:
        said = (HOPELESS,)
    if correction.marks_come_first:
        return " ".join([*said, NOTHING_TOLD])
    return " ".join(said)


def _misnumbered(slip: NumberedOff) -> str:
    marked, likelier = (
        listed([str(code) for code in codes]) for codes in (slip.codes, slip.likelier)
    )
    return (
        f"The crowns marked as {marked} are as wide as {likelier} usually are: count the teeth "
        "again, for all may be named one place off."
    )


def _wide(slip: ContactSlip) -> str:
    return (
        f"{slip.contact} is marked as a space of {slip.space_mm:.1f} mm, nearly a tooth's width: "
        "check the names of its two marks, or say which tooth is missing."
    )


def _exchanged(slip: ContactSlip) -> str:
    why = "and the picture shows them so" if slip.is_shown else "which fits the others"
    return (
        f"{slip.contact} is marked as a space of {slip.space_mm:.2f} mm; exchanged, its two marks "
        f"would be an overlap of {slip.exchanged_mm:.2f} mm, {why}: check them first."
    )


__all__ = ["marks_first", "slip_sentences"]
