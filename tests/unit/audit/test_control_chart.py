"""Limits hold as many points as they say, when weeks differ by more than chance."""

from dataclasses import replace

import numpy as np
import pytest

from bitewright.audit.control_chart import (
    RANGE_OF_TWO,
    ControlChart,
    p_chart,
    records_without_change,
    spread_beyond_chance,
)
from bitewright.audit.dated_change import Series
from bitewright.audit.usual_course import usual_rates

SIZE = 4000
SPREAD = 3.0


def restless(weeks: int, seed: int) -> np.ndarray:
    """Counts of weeks whose shares scatter three times as widely as chance alone."""
    rng = np.random.default_rng(seed)
    chance = np.sqrt(0.2 * 0.8 / SIZE)
    rates = rng.normal(0.2, chance * np.sqrt(SPREAD**2 - 1.0), weeks)
    return rng.binomial(SIZE, rates).astype(float)


def test_two_normal_values_lie_so_far_apart_on_average() -> None:
    """The mean of |X - Y| is 2 / sqrt(pi)."""
    assert pytest.approx(2.0 / np.sqrt(np.pi), abs=1e-3) == RANGE_OF_TWO


def test_spread_is_found_from_moving_ranges() -> None:
    counts = restless(4000, seed=1)
    assert spread_beyond_chance(counts, np.full(4000, SIZE)) == pytest.approx(SPREAD, rel=0.04)


def test_spread_is_found_where_weeks_differ_in_size_and_phase() -> None:
    rng = np.random.default_rng(4)
    size = rng.integers(500, 8000, 4000)
    phase = np.repeat([0, 1], 2000)
    usual = np.where(phase == 0, 0.1, 0.4)
    chance = np.sqrt(usual * (1 - usual) / size)
    counts = np.round(size * (usual + SPREAD * chance * rng.standard_normal(4000)))
    assert spread_beyond_chance(counts, size, phase) == pytest.approx(SPREAD, rel=0.04)


def test_limits_of_one_deviation_hold_two_thirds() -> None:
    chart = p_chart(restless(4000, seed=2), np.full(4000, SIZE), z=1.0, widen=True)
    assert len(chart.out) / 4000 == pytest.approx(0.317, abs=0.03)


def test_records_drawn_without_a_change_are_as_restless() -> None:
    drawn = records_without_change(
        0.2, np.full(50, SIZE), SPREAD, np.random.default_rng(3), draws=400
    )
    assert drawn.mean() / SIZE == pytest.approx(0.2, rel=0.01)
    assert drawn.std() == pytest.approx(SPREAD * np.sqrt(SIZE * 0.2 * 0.8), rel=0.03)


def test_clustering_in_cases_widens_limits_by_the_root_of_its_effect() -> None:
    """Kish 1965: a design effect of 4 doubles the standard deviation."""
    counts, totals = [12, 8, 10, 9, 11], [100] * 5
    plain, clustered = p_chart(counts, totals), p_chart(counts, totals, design_effects=[4.0] * 5)
    assert clustered.highs - clustered.centres == pytest.approx(2 * (plain.highs - plain.centres))


def test_spread_is_what_clustering_does_not_explain() -> None:
    counts, totals = restless(4000, seed=1), np.full(4000, SIZE)
    left = spread_beyond_chance(counts, totals, design_effects=np.full(4000, 4.0))
    assert left == pytest.approx(SPREAD / 2.0, rel=0.04)


def test_records_of_single_patients_are_as_restless_as_their_effect() -> None:
    """A week of one patient's four films at correlation 0.3: beta-binomial, variance 1.9 times."""
    drawn = records_without_change(
        0.2, [4, 4], 1.0, np.random.default_rng(3), draws=40_000, design_effects=[1.9, 1.9]
    )
    assert drawn.var() == pytest.approx(1.9 * 4 * 0.2 * 0.8, rel=0.03)


def seasonal(odd_month: int | None) -> Series:
    """Three years of months, twice as many rejects from November to February."""
    month = np.arange(36) % 12
    cold = (month >= 10) | (month < 2)
    rates = np.where(cold, 0.20, 0.10)
    if odd_month is not None:
        rates[odd_month] = 0.26
    return Series(
        starts=np.arange(36, dtype=np.int64) * 30,
        counts=np.round(400 * rates) + np.arange(36) % 3 * 4 - 4,
        totals=np.full(36, 400.0),
        courses=cold[:, None].astype(float),
    )


def charted(series: Series, *, named: bool) -> ControlChart:
    phases = np.zeros(36, dtype=np.int64)
    usual = usual_rates(series, phases) if named else None
    return p_chart(series.counts, series.totals, widen=True, phases=phases, usual=usual)


def test_a_named_season_is_allowed_for_and_a_month_out_of_line_is_still_out() -> None:
    assert charted(seasonal(None), named=False).out
    assert charted(seasonal(None), named=True).out == ()
    assert charted(seasonal(17), named=True).out == (17,)


def test_a_phase_keeps_its_own_rate_beside_a_named_season() -> None:
    series = seasonal(None)
    later = np.arange(36) >= 18
    risen = replace(series, counts=np.round(np.where(later, 1.5, 1.0) * series.counts))
    rates = usual_rates(risen, later.astype(np.int64))
    assert rates is not None
    for phase in (later, ~later):
        assert (rates * risen.totals)[phase].sum() == pytest.approx(risen.counts[phase].sum())


def test_without_courses_each_phase_is_set_against_its_share() -> None:
    assert usual_rates(replace(seasonal(None), courses=None), np.zeros(36, dtype=np.int64)) is None
