"""Exposures told apart by a dimension, by a stretch of time, or by both."""

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from bitewright.audit.cases import code_counts
from bitewright.audit.counted_by import Dimension, Period
from bitewright.audit.logged_exposures import LoggedExposures

MONTHS = {Period.MONTH: 1, Period.QUARTER: 3, Period.HALF: 6, Period.YEAR: 12}
"""Length of the stretches of the calendar. [months]"""


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Grouping:
    """A group for each exposure.

    ``labels``: name of each group, in order. ``codes``: (N,) int array, -1 where not given.
    """

    name: str
    labels: Sequence[str]
    codes: NDArray[np.int32]

    def counts(self, events: NDArray[np.bool_] | None = None) -> NDArray[np.int64]:
        """Exposures in each of G groups, (G,), or those of them where an event (E,) is true."""
        codes = self.codes if events is None else self.codes[events]
        return code_counts(codes, len(self.labels))


def by_dimension(log: LoggedExposures, dimension: Dimension) -> Grouping:
    """Exposures by a dimension."""
    return Grouping(name=dimension.value, labels=log.names(dimension), codes=log.code(dimension))


def by_period(log: LoggedExposures, period: Period) -> Grouping:
    """Exposures by stretches of time, without gaps from the first to the last."""
    if not len(log):
        return Grouping(name=period.value, labels=(), codes=np.empty(0, dtype=np.int32))
    number = period_number(log.day, period)
    first, last = int(number.min()), int(number.max())
    labels = tuple(period_label(each, period) for each in range(first, last + 1))
    return Grouping(name=period.value, labels=labels, codes=(number - first).astype(np.int32))


def crossed(one: Grouping, other: Grouping) -> Grouping:
    """Every group of one within every group of the other; a group lacking either is not given."""
    many = len(other.labels)
    missing = (one.codes < 0) | (other.codes < 0)
    codes = np.where(missing, -1, one.codes * np.int32(many) + other.codes)
    labels = tuple(f"{a}, {b}" for a in one.labels for b in other.labels)
    return Grouping(
        name=f"{one.name} and {other.name}", labels=labels, codes=codes.astype(np.int32)
    )


def period_number(day: NDArray[np.int32], period: Period) -> NDArray[np.int64]:
    """A running number (E,) of the period each day (E,) lies in; days count from 1970-01-01."""
    if period is Period.DAY:
        return day.astype(np.int64)
    if period is Period.WEEK:
        return np.floor_divide(day.astype(np.int64) + 3, 7)  # 1970-01-01 was a Thursday
    first, last = int(day.min()), int(day.max())
    months = np.arange(first, last + 1).astype("datetime64[D]").astype("datetime64[M]")
    number = months.astype(np.int64)
    table = np.floor_divide(number, MONTHS[period])
    return np.asarray(table[day - first], dtype=np.int64)


def period_first_day(number: int, period: Period) -> int:
    """First day of a period by its running number. [days since 1970-01-01]"""
    if period is Period.DAY:
        return number
    if period is Period.WEEK:
        return 7 * number - 3
    month = np.datetime64(number * MONTHS[period], "M")
    return int(month.astype("datetime64[D]").astype(np.int64))


def period_label(number: int, period: Period) -> str:
    """A period as people write it; a week by its Monday."""
    written = date_of(period_first_day(number, period))
    if period in {Period.DAY, Period.WEEK}:
        return written
    if period is Period.MONTH:
        return written[:7]
    if period is Period.HALF:
        return f"{written[:4]}-H{number % 2 + 1}"
    return f"{written[:4]}-Q{number % 4 + 1}" if period is Period.QUARTER else written[:4]


def period_days(log: LoggedExposures, period: Period) -> dict[str, tuple[int, int]]:
    """First and last day of each stretch of `by_period`, by its label. [days since 1970-01-01]"""
    number = period_number(log.day[[log.day.argmin(), log.day.argmax()]], period)
    return {
        period_label(each, period): (
            period_first_day(each, period),
            period_first_day(each + 1, period) - 1,
        )
        for each in range(int(number[0]), int(number[1]) + 1)
    }


def date_of(day: int) -> str:
    """A day as YYYY-MM-DD. [days since 1970-01-01]"""
    return str(np.datetime64(day, "D"))


__all__ = [
    "Grouping",
    "by_dimension",
    "by_period",
    "crossed",
    "date_of",
    "period_days",
    "period_first_day",
    "period_label",
    "period_number",
]
