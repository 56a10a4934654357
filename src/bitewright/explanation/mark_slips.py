"""Slips of the hand that marks give away: two exchanged, teeth misnumbered, a space too wide."""

from dataclasses import dataclass

from bitewright.estimation.left_out import MarksLeftOut
from bitewright.exposing.landmarks import Landmarks
from bitewright.marking.marked_landmarks import MAGNIFICATION
from bitewright.marking.tooth_numbers import NumberedOff, numbered_off

FAR_SD, NEAR_SD, LEAST_MM = 2.0, 1.2, 0.35
"""Two marks may be exchanged where they leave a space wider than the last, which lies further from
what the others lead one to expect than the first, and exchanged would lie nearer than the second.
True spaces as wide are rare. Our choice."""

WIDE_MM = 3.0
"""A space as wide is rather a missing tooth or a wrong name. Our choice."""


@dataclass(frozen=True, slots=True, kw_only=True)
class ContactSlip:
    """A contact whose space is not to be believed.

    Parameters
    ----------
    contact : str
        Such as "15-16".
    space_mm : float
        As marked. [object mm]
    exchanged_mm : float
        The overlap, were its two marks exchanged. [object mm]
    """

    contact: str
    space_mm: float
    exchanged_mm: float


@dataclass(frozen=True, slots=True, kw_only=True)
class MarkSlips:
    """What is to be asked before marks are believed.

    Parameters
    ----------
    exchanged : tuple of ContactSlip
        Exchanged, their two marks fit the others.
    wide : tuple of ContactSlip
    misnumbered : tuple of NumberedOff
    """

    exchanged: tuple[ContactSlip, ...] = ()
    wide: tuple[ContactSlip, ...] = ()
    misnumbered: tuple[NumberedOff, ...] = ()

    def __bool__(self) -> bool:
        return bool(self.exchanged or self.wide or self.misnumbered)


def mark_slips(marked: Landmarks, beside: MarksLeftOut) -> MarkSlips:
    """Slips in the marks of one film, by what its other marks lead one to expect.

    Parameters
    ----------
    marked : Landmarks
    beside : MarksLeftOut
        Of the same film.
    """
    exchanged, wide = [], []
    for each in beside.contacts:
        slip = ContactSlip(
            contact=f"{each.front[:2]}-{each.back[:2]}",
            space_mm=-each.marked_overlap_mm / MAGNIFICATION,
            exchanged_mm=each.exchanged_mm / MAGNIFICATION,
        )
        if slip.space_mm > WIDE_MM:
            wide.append(slip)
        elif slip.space_mm > LEAST_MM and each.off_sd > FAR_SD and each.off_exchanged_sd < NEAR_SD:
            exchanged.append(slip)
    return MarkSlips(exchanged=tuple(exchanged), wide=tuple(wide), misnumbered=numbered_off(marked))


__all__ = ["ContactSlip", "MarkSlips", "mark_slips"]
