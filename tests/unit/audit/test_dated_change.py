"""A step's errors are those of an over-dispersed binomial regression by statsmodels."""

from dataclasses import replace

import numpy as np
import pytest
import statsmodels.api as sm
from scipy.stats import t
from statsmodels.stats.proportion import proportion_confint

from bitewright.audit.dated_change import Series, before_after, interrupted_series
from bitewright.audit.design_effect import Likeness

WEEKS = 40
SIZE = 250


def swinging(*, by: float) -> Series:
    """Weeks by turns above and below a rate that falls from 16 to 10 % half way."""
    usual = np.where(np.arange(WEEKS) < WEEKS // 2, 0.16, 0.10)
    turn = 1.0 + by * np.where(np.arange(WEEKS) % 2 == 0, 1.0, -1.0)
    return Series(
        starts=7 * np.arange(WEEKS, dtype=np.int64),
        counts=np.round(SIZE * usual * turn),
        totals=np.full(WEEKS, float(SIZE)),
    )


def by_statsmodels(series: Series, change: int) -> tuple[float, float, float]:
    """The step's log odds ratio, its error for an over-dispersed binomial, and the dispersion.

    McCullagh and Nelder 1989, 4.5: errors times the root of Pearson's chi-squared over its freedom.
    """
    years = (series.starts - series.starts.mean()) / 365.25
    design = np.column_stack([np.ones(len(years)), years, series.starts >= change]).astype(float)
    outcome = np.column_stack([series.counts, series.totals - series.counts])
    fitted = sm.GLM(outcome, design, family=sm.families.Binomial()).fit()
    dispersion = fitted.pearson_chi2 / fitted.df_resid
    return fitted.params[2], fitted.bse[2] * np.sqrt(dispersion), dispersion


def test_dispersion_widens_errors_as_in_an_over_dispersed_regression() -> None:
    series, change = swinging(by=0.35), 7 * WEEKS // 2
    found = interrupted_series(series, [change])
    value, error, dispersion = by_statsmodels(series, change)
    assert found is not None
    assert found.memory < 0.0  # so that memory widens nothing
    assert found.dispersion == pytest.approx(dispersion)
    assert found.dispersion > 2.0
    reach = t.ppf(0.975, WEEKS - 3) * error
    (step,) = found.steps
    assert np.log([step.odds_ratio, step.low, step.high]) == pytest.approx(
        [value, value - reach, value + reach]
    )
    assert step.chance == pytest.approx(2 * t.sf(abs(value / error), WEEKS - 3))


def test_rates_beside_a_step_are_those_fitted_there() -> None:
    series = swinging(by=0.04)
    found = interrupted_series(series, [7 * WEEKS // 2])
    assert found is not None
    (step,) = found.steps
    assert (step.rate_before, step.rate_after) == pytest.approx((0.16, 0.10), abs=3e-3)
    assert found.dispersion == 1.0


def test_memory_widens_errors_as_neighbours_that_agree_do() -> None:
    """With r between neighbours, a sum's variance is (1 + r) / (1 - r) times as large."""
    rng = np.random.default_rng(3)
    pairs = rng.permutation(np.repeat([0.8, 1.2], WEEKS // 2))
    series = Series(
        starts=7 * np.arange(2 * WEEKS, dtype=np.int64),
        counts=np.round(SIZE * 0.14 * np.repeat(pairs, 2)),
        totals=np.full(2 * WEEKS, float(SIZE)),
    )
    found = interrupted_series(series, [7 * WEEKS])
    _, error, _ = by_statsmodels(series, 7 * WEEKS)
    assert found is not None
    assert 0.3 < found.memory < 0.7  # alike in pairs: about a half
    widened = np.sqrt((1 + found.memory) / (1 - found.memory)) * error
    (step,) = found.steps
    half = np.log(step.high / step.low) / 2
    assert half == pytest.approx(t.ppf(0.975, 2 * WEEKS - 3) * widened)


def test_a_steady_trend_is_told_as_odds_over_a_year() -> None:
    """Odds that halve in a year, week by week, with no step."""
    weeks = np.arange(104)
    odds = 0.25 * 0.5 ** (7 * weeks / 365.25)
    series = Series(
        starts=7 * weeks.astype(np.int64),
        counts=np.random.default_rng(1).binomial(10**6, odds / (1 + odds)).astype(float),
        totals=np.full(104, 1e6),
    )
    found = interrupted_series(series, [7 * 52])
    assert found is not None
    assert found.trend_per_year == pytest.approx(0.5, rel=0.01)
    assert found.steps[0].odds_ratio == pytest.approx(1.0, abs=0.01)
    at = 0.25 * 0.5 ** (7 * 52 / 365.25)
    assert found.steps[0].rate_before == pytest.approx(at / (1 + at), rel=0.01)


def test_each_side_has_its_own_interval_and_the_difference_a_wider_one() -> None:
    """Newcombe 1998 with half the exposures on either side, at the difference's confidence."""
    calm = swinging(by=0.0)
    likeness = Likeness(correlation=0.5, sd=0.0, cases=10, not_given=0)
    clustered = replace(calm, others=np.full(WEEKS, 2.0), likeness=likeness)
    half = 7 * WEEKS // 2
    (found,) = before_after(clustered, [("guide", half)], confidence=0.99)
    assert found.widening == 1.0
    first = found.shares.first
    alone = proportion_confint(first.count / 2, first.total / 2, method="wilson")
    assert (first.low, first.high) == pytest.approx(alone, abs=0.002)  # but for the lean
    assert first.confidence == 0.95
    plain = before_after(calm, [("guide", half)], confidence=0.99)[0].shares
    wide = found.shares.high - found.shares.low
    assert wide == pytest.approx(np.sqrt(2.0) * (plain.high - plain.low), rel=0.03)
    fitted, before = interrupted_series(clustered, [half]), interrupted_series(calm, [half])
    assert fitted is not None
    assert before is not None
    assert (fitted.dispersion, before.dispersion) == (2.0, 1.0)
