"""Limits hold as many points as they say, when weeks differ by more than chance."""

import numpy as np
import pytest

from bitewright.audit.control_chart import (
    RANGE_OF_TWO,
    p_chart,
    records_without_change,
    spread_beyond_chance,
)

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
