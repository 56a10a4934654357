"""Charts, drift and change: what is planted is found, what is not is not."""

import numpy as np
import pytest

from bitewright.audit.control_chart import p_chart, spread_beyond_chance, z_for_family
from bitewright.audit.cusum import bernoulli_cusum, drift_watch
from bitewright.audit.dated_change import Series, before_after, interrupted_series
from bitewright.audit.unexplained_change import change_points

WEEKS = 48


def weeks(rates: np.ndarray, seed: int = 1, size: int = 250) -> Series:
    """A series of weeks drawn with these rates."""
    rng = np.random.default_rng(seed)
    totals = np.full(len(rates), float(size))
    return Series(
        starts=7 * np.arange(len(rates), dtype=np.int64),
        counts=rng.binomial(size, rates).astype(float),
        totals=totals,
    )


STEP = np.where(np.arange(WEEKS) < 24, 0.16, 0.09)
FLAT = np.full(WEEKS, 0.12)
SLOPE = np.linspace(0.17, 0.08, WEEKS)


def test_a_step_is_settled_and_came_with_the_day() -> None:
    (change,) = before_after(weeks(STEP), [("training", 7 * 24)])
    assert change.settled
    assert change.came_with_the_day
    assert change.shares.low < -0.07 < change.shares.high


def test_intervals_of_a_step_hold_it() -> None:
    truth = (0.09 / 0.91) / (0.16 / 0.84)
    fitted = [interrupted_series(weeks(STEP, seed=seed), [7 * 24]) for seed in range(80)]
    held = [
        each is not None and each.steps[0].low <= truth <= each.steps[0].high for each in fitted
    ]
    assert 72 <= sum(held) <= 80  # 76 expected


def test_nothing_is_not_settled() -> None:
    (change,) = before_after(weeks(FLAT), [("training", 7 * 24)])
    assert not change.settled


def test_a_slope_differs_but_is_not_laid_to_the_day() -> None:
    (change,) = before_after(weeks(SLOPE), [("training", 7 * 24)])
    assert change.settled
    assert not change.came_with_the_day


def test_each_change_is_set_against_its_own_neighbours() -> None:
    rates = np.select([np.arange(WEEKS) < 16, np.arange(WEEKS) < 32], [0.10, 0.16], 0.09)
    up, down = before_after(weeks(rates), [("b", 7 * 32), ("a", 7 * 16)])
    assert [up.name, down.name] == ["a", "b"]
    assert up.shares.difference > 0 > down.shares.difference
    assert up.shares.first.total == up.shares.second.total == 16 * 250


def test_too_few_weeks_on_a_side_give_no_step() -> None:
    assert interrupted_series(weeks(FLAT), [7 * 2]) is None
    (change,) = before_after(weeks(FLAT, size=3), [("early", 7 * 2)])
    assert not change.enough
    assert not change.settled


def test_a_side_without_rejects_gives_no_step() -> None:
    rates = np.where(np.arange(WEEKS) < 24, 0.2, 0.0)
    (change,) = before_after(weeks(rates), [("training", 7 * 24)])
    assert change.step is None
    assert change.settled
    assert not change.came_with_the_day


def test_memory_and_dispersion_widen_a_step() -> None:
    rng = np.random.default_rng(4)
    wander = np.convolve(rng.normal(0, 0.2, WEEKS + 5), np.ones(6) / 2, mode="valid")
    rates = 0.12 * np.exp(wander - wander.mean())
    restless = interrupted_series(weeks(rates), [7 * 24])
    quiet = interrupted_series(weeks(FLAT), [7 * 24])
    assert restless is not None
    assert quiet is not None
    assert restless.dispersion > 1.5
    widths = [np.log(s.steps[0].high / s.steps[0].low) for s in (restless, quiet)]
    assert widths[0] > 1.5 * widths[1]


def test_an_unnamed_step_is_found_and_dated() -> None:
    (point,) = change_points(weeks(STEP), rng=np.random.default_rng(0))
    assert abs(point.day - 7 * 24) <= 14
    assert point.first_day <= 7 * 24 <= point.last_day
    assert point.shares.settled


def test_few_flat_records_give_a_change_or_a_drift() -> None:
    rng = np.random.default_rng(0)
    points, drifts = 0, 0
    for seed in range(60):
        series = weeks(FLAT, seed=seed)
        points += bool(change_points(series, rng=rng, false_alarm=0.05))
        watch = drift_watch(series.counts, series.totals, reference=12, rng=rng)
        drifts += (watch.cusum.signal_up, watch.cusum.signal_down) != (None, None)
    assert points <= 8  # 3 expected; more than 8 come about once in 250 by chance
    assert drifts <= 8


def test_drift_is_dated_where_it_began() -> None:
    rates = np.where(np.arange(WEEKS) < 30, 0.10, 0.18)
    series = weeks(rates)
    watch = drift_watch(series.counts, series.totals, reference=12, rng=np.random.default_rng(0))
    assert watch.cusum.signal_up is not None
    assert watch.cusum.began_up is not None
    assert abs(watch.cusum.began_up + 12 - 30) <= 3
    assert watch.cusum.signal_down is None


def test_a_bernoulli_cusum_adds_scores_exposure_by_exposure() -> None:
    one = bernoulli_cusum([1, 1, 0], [1, 1, 1], usual=0.05, odds=19 / 9, limit=1.0)
    reject, other = np.log(2), np.log(0.9 / 0.95)
    assert one.up == pytest.approx([reject, 2 * reject, 2 * reject + other])
    assert (one.signal_up, one.began_up) == (1, 0)


def test_laney_limits_widen_with_variation_and_never_narrow() -> None:
    rng = np.random.default_rng(2)
    totals = np.full(60, 2000.0)
    wild = rng.binomial(2000, rng.normal(0.12, 0.03, 60)).astype(float)
    assert spread_beyond_chance(wild, totals) > 2.5
    assert len(p_chart(wild, totals, widen=True).out) < len(p_chart(wild, totals).out)
    assert spread_beyond_chance(np.full(60, 240.0), totals) == 1.0


def test_known_changes_cut_a_chart_into_phases() -> None:
    series = weeks(STEP)
    phases = (np.arange(WEEKS) >= 24).astype(int)
    one = p_chart(series.counts, series.totals, widen=True)
    two = p_chart(series.counts, series.totals, widen=True, phases=phases)
    assert two.centres[0] == pytest.approx(series.counts[:24].sum() / series.totals[:24].sum())
    assert two.centres[0] > one.centre > two.centres[-1]
    assert two.lows[0] > one.lows[0]
    assert two.highs[-1] < one.highs[-1]
    assert len(two.out) <= 1


def test_limits_of_a_family_grow_with_it() -> None:
    assert z_for_family(1) == pytest.approx(1.96, abs=0.01)
    assert z_for_family(50) > z_for_family(10) > 2.7
