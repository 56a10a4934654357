"""How long the stretches of a record are to be told in: as short as its size allows."""

import numpy as np

from bitewright.audit.counted_by import Period
from bitewright.audit.groupings import by_period, period_first_day, period_number
from bitewright.audit.logged_exposures import LoggedExposures
from bitewright.audit.proportions import FEWEST

FEWEST_POINTS = 10
"""A control chart of fewer stretches says nothing of what is usual. Our choice; common practice
asks for 20 to 25, no source."""


def period_by_size(log: LoggedExposures) -> Period:
    """The shortest of month, quarter, half-year and year in which no stretch has too few exposures.

    A first or last stretch of which the record covers less than half may have fewer, and one
    without any exposure is left out as everywhere. Our choice.
    """
    shorter = (Period.MONTH, Period.QUARTER, Period.HALF)
    return next((period for period in shorter if _all_enough(log, period)), Period.YEAR)


def _all_enough(log: LoggedExposures, period: Period) -> bool:
    """Whether every stretch with an exposure has enough, or is hardly covered."""
    totals = by_period(log, period).counts()
    few = np.flatnonzero((totals > 0) & (totals < FEWEST))
    first = int(period_number(log.day[[log.day.argmin()]], period)[0])
    return len(totals) > 0 and all(
        k in {0, len(totals) - 1} and _covered(log, first + int(k), period) < 0.5 for k in few
    )


def _covered(log: LoggedExposures, number: int, period: Period) -> float:
    """Share of a period's days between the first and the last day of the record."""
    start, end = (period_first_day(number + more, period) for more in (0, 1))
    inside = min(end, int(log.day.max()) + 1) - max(start, int(log.day.min()))
    return inside / (end - start)


__all__ = ["FEWEST_POINTS", "period_by_size"]
