"""A record as a series of weeks, the rational subgroup of a teaching clinic."""

import numpy as np
from numpy.typing import NDArray

from bitewright.audit.counted_by import Period
from bitewright.audit.dated_change import Series
from bitewright.audit.design_effect import likeness_of
from bitewright.audit.groupings import by_period, period_first_day, period_number
from bitewright.audit.known_courses import KnownCourses
from bitewright.audit.logged_exposures import LoggedExposures

NO_COURSES = KnownCourses()


def series_of(
    log: LoggedExposures,
    events: NDArray[np.bool_],
    period: Period = Period.WEEK,
    courses: KnownCourses = NO_COURSES,
) -> Series:
    """Events (E,) and exposures of each of P stretches of time that has an exposure, (P,) each."""
    if not len(log):
        nothing = np.empty(0)
        return Series(starts=np.empty(0, dtype=np.int64), counts=nothing, totals=nothing)
    grouping = by_period(log, period)
    totals = grouping.counts().astype(np.float64)
    counts = grouping.counts(events).astype(np.float64)
    present = np.flatnonzero(totals)
    first = int(period_number(log.day[log.day.argmin()][None], period)[0])
    starts = np.array([period_first_day(first + int(k), period) for k in present], dtype=np.int64)
    others = log.cases.others_within(grouping.codes, len(grouping.labels))
    columns = [
        np.bincount(grouping.codes, weights=column, minlength=len(grouping.labels))[present]
        for column in courses.columns(log).T
    ]
    return Series(
        starts=starts,
        counts=counts[present],
        totals=totals[present],
        others=others[present],
        likeness=likeness_of(events, log.cases),
        courses=np.column_stack(columns) / totals[present][:, None] if columns else None,
    )


__all__ = ["NO_COURSES", "series_of"]
