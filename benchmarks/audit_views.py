"""Seconds for each audit view on a million exposures, and the memory they take.

A million invented exposures of 500 operators over five years; every view for a filter not seen
before. ``python -m benchmarks.audit_views``.
"""

import resource
import statistics
import time
from collections.abc import Callable

import numpy as np

from bitewright.audit.control_chart import p_chart
from bitewright.audit.counted_by import Dimension, Event, Period
from bitewright.audit.dated_change import before_after, interrupted_series
from bitewright.audit.faults import fault_pareto
from bitewright.audit.groupings import by_dimension, by_period, crossed
from bitewright.audit.logged_exposures import Filter, LoggedExposures
from bitewright.audit.operator_aim import operator_aims
from bitewright.audit.rates import rates_by
from bitewright.audit.simulated_school import SchoolPlan, simulated_school
from bitewright.audit.unexplained_change import change_points
from bitewright.audit.weeks import series_of
from bitewright.audit.whole_audit import (
    AuditSettings,
    drift_of,
    operators_funnel,
    whole_audit,
)

COUNT = 1_000_000
YEARS = 5
ROUNDS = 3
FIRST_DAY = 18262  # 2020-01-01


def main() -> None:
    """Print the figures."""
    log = five_years()
    columns = sum(
        getattr(log, name).nbytes
        for name in log.__slots__
        if isinstance(getattr(log, name), np.ndarray)
    ) + sum(each.nbytes for each in (*log.codes.values(), *log.numbers.values()))
    print(f"{len(log)} exposures, {columns / 2**20:.0f} MiB of columns")
    wanted = Filter(only={Dimension.VIEW: ("right-molar", "left-molar")}, first_day=FIRST_DAY + 90)
    for title, taken in (("all", None), ("filtered afresh", wanted)):
        print(f"{title}:")
        for name, view in views().items():
            wall, busy = _median(lambda v=view, t=taken: v(chosen(log, t)))
            print(f"  {name:34s} {wall:6.2f} s, {busy:6.2f} s of processor time")
    print(f"greatest memory {resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / 2**10:.0f} MiB")


def chosen(log: LoggedExposures, wanted: Filter | None) -> LoggedExposures:
    """The exposures of a filter."""
    return log if wanted is None else log.taken(wanted)


def views() -> dict[str, Callable[[LoggedExposures], object]]:
    """Every view by name."""
    change = (("change", FIRST_DAY + 800),)
    rng = np.random.default_rng(0)

    def weeks(log: LoggedExposures) -> object:
        return series_of(log, log.rejected)

    return {
        "rates by operator": lambda log: rates_by(
            log, by_dimension(log, Dimension.OPERATOR), Event.REJECT
        ),
        "rates by room and receptor": lambda log: rates_by(
            log,
            crossed(by_dimension(log, Dimension.ROOM), by_dimension(log, Dimension.RECEPTOR)),
            Event.RETAKE,
        ),
        "rates by month": lambda log: rates_by(log, by_period(log, Period.MONTH), Event.REJECT),
        "p-chart of weeks": lambda log: p_chart(weeks(log).counts, weeks(log).totals, widen=True),
        "drift": lambda log: drift_of(weeks(log), rng, 0.01),
        "changes nobody named": lambda log: change_points(weeks(log), rng=rng, false_alarm=0.01),
        "before and after": lambda log: before_after(weeks(log), change),
        "interrupted series": lambda log: interrupted_series(weeks(log), [change[0][1]]),
        "faults": fault_pareto,
        "funnel": lambda log: operators_funnel(log, Event.REJECT, 0.01),
        "operator aim": operator_aims,
        "all together": lambda log: whole_audit(log, AuditSettings(changes=change), rng),
    }


def five_years() -> LoggedExposures:
    """Five years joined; operators differ from year to year."""
    years = [
        simulated_school(
            SchoolPlan(first_day=start(k), exposures=COUNT // YEARS, students=100),
            np.random.default_rng(k),
        ).log
        for k in range(YEARS)
    ]
    return joined(years)


def start(year: int) -> int:
    """First day of a year of the benchmark."""
    return int(np.datetime64(f"{2020 + year}-01-01", "D").astype(np.int64))


def joined(years: list[LoggedExposures]) -> LoggedExposures:
    """Logs one after another, their operators and cases kept apart."""
    first = years[0]
    rows = np.cumsum([0, *(len(year) for year in years)])
    apart = (Dimension.OPERATOR, Dimension.CASE)
    labels, codes = dict(first.labels), {}
    for dimension in first.codes:
        shift = 0
        parts, names = [], []
        for k, year in enumerate(years):
            parts.append(year.codes[dimension] + np.int32(shift))
            if dimension in apart:
                shift += len(year.labels[dimension])
                names += [f"{k}-{name}" for name in year.labels[dimension]]
        codes[dimension] = np.concatenate(parts)
        if dimension in apart:
            labels[dimension] = tuple(names)
    plain = {
        name: np.concatenate([getattr(year, name) for year in years])
        for name in first.__slots__
        if isinstance(getattr(first, name), np.ndarray) and name != "fault_row"
    }
    return LoggedExposures(
        labels=labels,
        codes=codes,
        rating_labels=first.rating_labels,
        fault_labels=first.fault_labels,
        fault_row=np.concatenate(
            [year.fault_row + np.int32(row) for year, row in zip(years, rows, strict=False)]
        ),
        numbers={
            name: np.concatenate([year.numbers[name] for year in years]) for name in first.numbers
        },
        **plain,
    )


def _median(view: Callable[[], object]) -> tuple[float, float]:
    """Seconds by the clock and of this process's own work, which others' work leaves alone."""
    wall, busy = [], []
    for _ in range(ROUNDS):
        began, worked = time.perf_counter(), time.process_time()
        view()
        wall.append(time.perf_counter() - began)
        busy.append(time.process_time() - worked)
    return statistics.median(wall), statistics.median(busy)


if __name__ == "__main__":
    main()
