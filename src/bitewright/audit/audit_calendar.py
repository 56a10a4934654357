"""When a record is to be audited again, and against which targets in which year."""

from collections.abc import Mapping
from dataclasses import dataclass
from enum import StrEnum

import numpy as np

SOON_DAYS = 30
"""So many days before an audit is due it is told as due soon. Our choice."""


class Due(StrEnum):
    """How the next audit stands."""

    NOT_SET = "no calendar"
    NONE_YET = "none noted yet"
    LATER = "later"
    SOON = "due soon"
    OVERDUE = "overdue"


@dataclass(frozen=True, slots=True, kw_only=True)
class YearTargets:
    """Targets of one's own that hold from a year on.

    Parameters
    ----------
    year : int
    scheme : str
        Name of the rating scheme.
    film : bool
        Whether the scheme's targets for film hold where none of one's own is set.
    shares : mapping of str to float
        By grade.
    source : str
        Who set them, and where they are written down.
    """

    year: int
    scheme: str
    film: bool
    shares: Mapping[str, float]
    source: str


@dataclass(frozen=True, slots=True, kw_only=True)
class AuditDone:
    """An audit that was done. [days since 1970-01-01]

    ``again_day``: when the next is to be, where that was decided; else the calendar says.
    """

    day: int
    again_day: int | None = None
    note: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class AuditCalendar:
    """How often a record is audited, what was done, and the targets by year.

    ``every_months``: None where nobody set it.
    """

    every_months: int | None = None
    targets: tuple[YearTargets, ...] = ()
    done: tuple[AuditDone, ...] = ()

    @property
    def last(self) -> AuditDone | None:
        """The latest audit."""
        return max(self.done, key=lambda each: each.day, default=None)

    @property
    def due_day(self) -> int | None:
        """When the next is due; None where nothing says."""
        last = self.last
        if last is None or (last.again_day is None and self.every_months is None):
            return None
        if last.again_day is not None:
            return last.again_day
        return day_in_months(last.day, self.every_months or 0)

    def due(self, today: int) -> Due:
        """How the next audit stands today. [days since 1970-01-01]"""
        day = self.due_day
        if day is None:
            return Due.NOT_SET if self.every_months is None else Due.NONE_YET
        if today > day:
            return Due.OVERDUE
        return Due.SOON if day - today <= SOON_DAYS else Due.LATER

    def targets_of(self, scheme: str, year: int) -> YearTargets | None:
        """The newest targets of a scheme that hold in a year; None where none of one's own do.

        Several of one year are taken together, the later one for a grade that both name.
        """
        known = [each for each in self.targets if each.scheme == scheme and each.year <= year]
        newest = max((each.year for each in known), default=None)
        if newest is None:
            return None
        together = [each for each in known if each.year == newest]
        return YearTargets(
            year=newest,
            scheme=scheme,
            film=any(each.film for each in together),
            shares={grade: share for each in together for grade, share in each.shares.items()},
            source="; ".join(dict.fromkeys(each.source for each in together)),
        )


def day_in_months(day: int, months: int) -> int:
    """The same day so many months on, or the month's last. [days since 1970-01-01]"""
    date = np.datetime64(day, "D")
    month = date.astype("datetime64[M]")
    within = int((date - month.astype("datetime64[D]")).astype(int))
    first = (month + months).astype("datetime64[D]")
    last = (month + months + 1).astype("datetime64[D]") - 1
    return int(min(first + within, last).astype(int))


__all__ = ["AuditCalendar", "AuditDone", "Due", "YearTargets", "day_in_months"]
