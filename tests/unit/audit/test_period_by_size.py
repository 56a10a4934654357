"""A record is told in stretches as short as its size allows; few are not charted."""

import numpy as np
import pytest

from bitewright.audit.counted_by import Period
from bitewright.audit.groupings import by_period
from bitewright.audit.logged_exposures import LoggedExposures
from bitewright.audit.period_by_size import period_by_size
from bitewright.audit.whole_audit import AuditSettings, whole_audit
from tests.unit.audit.made_logs import FIRST_DAY, made_log


def spread_over(films: int, days: int = 365, start: int = FIRST_DAY) -> LoggedExposures:
    """So many films evenly over so many days, every seventh rejected."""
    day = start + np.arange(films) * days // films
    return made_log(rejected=np.arange(films) % 7 == 0, day=day)


@pytest.mark.parametrize(
    ("films", "period"),
    [
        (2000, Period.MONTH),
        (180, Period.QUARTER),
        (60, Period.HALF),
        (30, Period.YEAR),
        (10, Period.YEAR),
    ],
)
def test_a_year_is_told_in_stretches_that_are_not_too_few(films: int, period: Period) -> None:
    log = spread_over(films)
    assert period_by_size(log) is period
    if films >= 20:
        assert by_period(log, period).counts().min() >= 20


def test_a_month_hardly_begun_does_not_make_stretches_longer() -> None:
    """From 28 January on: January alone holds fewer than 20 films."""
    log = spread_over(700, days=330, start=FIRST_DAY + 27)
    assert by_period(log, Period.MONTH).counts()[0] < 20
    assert period_by_size(log) is Period.MONTH


def test_a_thin_month_in_the_middle_does() -> None:
    log = spread_over(2000)
    july = (log.day >= FIRST_DAY + 181) & (log.day < FIRST_DAY + 212)
    assert period_by_size(log.where(~july)) is Period.MONTH
    kept = ~july | (np.cumsum(july) <= 15)
    assert period_by_size(log.where(kept)) is Period.QUARTER


def test_half_years_are_named_as_halves() -> None:
    assert by_period(spread_over(60), Period.HALF).labels == ("2025-H1", "2025-H2")


@pytest.mark.parametrize(("films", "points"), [(2000, 12), (180, 0), (60, 0)])
def test_a_control_chart_needs_ten_points(films: int, points: int) -> None:
    told = whole_audit(spread_over(films), AuditSettings(), np.random.default_rng(1))
    assert (0 if told.chart is None else len(told.chart.shares)) == points
    assert all(share.enough for share in told.periods.shares)
