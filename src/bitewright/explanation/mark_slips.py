"""Slips of the hand that marks give away: two exchanged, teeth misnumbered, a space too wide."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from bitewright.estimation.left_out import ExpectedOverlap, MarksLeftOut
from bitewright.explanation.doubtful_marks import DoubtfulMark
from bitewright.exposing.landmarks import Landmarks
from bitewright.marking.marked_landmarks import MAGNIFICATION
from bitewright.marking.tooth_numbers import NumberedOff, numbered_off

FAR_SD, NEAR_SD, LEAST_MM = 2.0, 1.2, 0.35
"""Two marks may be exchanged where they leave a space wider than the last, which lies further from
what the others lead one to expect than the first, and exchanged would lie nearer than the second.
True spaces as wide are rare. Our choice."""

AT_ITS_PLACE_MM = 0.4
"""Also where the picture shows the two as near to each other's marks, or one of them and exchanged
they fit better. Our choice. [mm]"""

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
    is_shown : bool
        Whether the picture shows both at the other's mark, or one and exchanged they fit better.
    """

    contact: str
    space_mm: float
    exchanged_mm: float
    is_shown: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class MarkSlips:
    """What is to be asked before marks are believed.

    Parameters
    ----------
    exchanged : tuple of ContactSlip
        Exchanged, their two marks fit the others, or the picture.
    wide : tuple of ContactSlip
    misnumbered : tuple of NumberedOff
    """

    exchanged: tuple[ContactSlip, ...] = ()
    wide: tuple[ContactSlip, ...] = ()
    misnumbered: tuple[NumberedOff, ...] = ()

    @property
    def come_first(self) -> bool:
        """Whether nothing is to be told before they are settled."""
        return bool(self.misnumbered or self.wide or any(each.is_shown for each in self.exchanged))

    def __bool__(self) -> bool:
        return bool(self.exchanged or self.wide or self.misnumbered)


def mark_slips(
    marked: Landmarks, beside: MarksLeftOut, doubtful: Sequence[DoubtfulMark] = ()
) -> MarkSlips:
    """Slips in the marks of one film, by what its other marks lead one to expect and the picture.

    Parameters
    ----------
    marked : Landmarks
    beside : MarksLeftOut
        Of the same film.
    doubtful : sequence of DoubtfulMark
        Where the picture shows what was marked elsewhere.
    """
    outward_mm = {each.name: each.outward_mm for each in doubtful}
    exchanged, wide = [], []
    for each in beside.contacts:
        slip = ContactSlip(
            contact=f"{each.front[:2]}-{each.back[:2]}",
            space_mm=-each.marked_overlap_mm / MAGNIFICATION,
            exchanged_mm=each.exchanged_mm / MAGNIFICATION,
            is_shown=_is_shown(each, outward_mm),
        )
        if slip.space_mm > WIDE_MM:
            wide.append(slip)
        elif slip.space_mm > LEAST_MM and (slip.is_shown or _fits_better(each)):
            exchanged.append(slip)
    return MarkSlips(exchanged=tuple(exchanged), wide=tuple(wide), misnumbered=numbered_off(marked))


def _fits_better(contact: ExpectedOverlap) -> bool:
    return contact.off_sd > FAR_SD and contact.off_exchanged_sd < NEAR_SD


def _is_shown(contact: ExpectedOverlap, outward_mm: Mapping[str, float | None]) -> bool:
    """Whether the picture shows both at the other's mark, or one and exchanged they fit better."""
    away = [outward_mm.get(name) for name in (contact.front, contact.back)]
    at_the_other = [
        each is not None and abs(each + contact.marked_overlap_mm) < AT_ITS_PLACE_MM
        for each in away
    ]
    fits_exchanged = contact.off_exchanged_sd < contact.off_sd
    return all(at_the_other) or (any(at_the_other) and fits_exchanged)


__all__ = ["ContactSlip", "MarkSlips", "mark_slips"]
