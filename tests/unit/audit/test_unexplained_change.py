"""Changes nobody named: dated to the week, and each part searched at half the chance."""

import numpy as np
import pytest
from scipy.stats import binom
from statsmodels.stats.proportion import confint_proportions_2indep

from bitewright.audit.dated_change import LEAST_STEPS, Series
from bitewright.audit.unexplained_change import ChangePoint, change_points

SIZE = 250


def weeks(*parts: tuple[int, float]) -> Series:
    """So many weeks at each rate, without chance."""
    counts = np.concatenate([np.full(count, round(SIZE * rate)) for count, rate in parts])
    starts = 20_000 + 7 * np.arange(len(counts), dtype=np.int64)
    return Series(starts=starts, counts=counts.astype(float), totals=np.full(len(counts), 250.0))


def found(series: Series, false_alarm: float) -> tuple[ChangePoint, ...]:
    return change_points(series, rng=np.random.default_rng(1), false_alarm=false_alarm)


def test_a_clear_change_is_dated_to_its_week() -> None:
    (point,) = found(weeks((20, 0.10), (14, 0.30)), 0.05)
    assert point.day == 20_000 + 7 * 20
    assert point.first_day == point.last_day == point.day
    assert (point.shares.first.total, point.shares.second.total) == (20 * SIZE, 14 * SIZE)
    theirs = confint_proportions_2indep(1050, 3500, 500, 5000, method="newcomb")
    assert (point.shares.low, point.shares.high) == pytest.approx(theirs)
    assert point.chance == pytest.approx(1 / 2000)


def test_a_faint_change_may_as_well_have_been_weeks_earlier_or_later() -> None:
    (point,) = found(weeks((20, 0.10), (20, 0.125)), 0.05)
    assert point.first_day < point.day < point.last_day
    assert point.last_day - point.first_day < 7 * 30


def test_each_part_is_searched_at_half_the_chance() -> None:
    first, clear = ((10, 0.100), (10, 0.124)), (20, 0.40)
    generators = [np.random.default_rng(seed) for seed in range(5)]
    alone = [change_points(weeks(*first), rng=rng, false_alarm=1.0) for rng in generators]
    chance = float(np.mean([point.chance for (point,) in alone]))
    assert 0.02 < chance < 0.1
    for record in (weeks(*first, clear), weeks(clear, *first)):
        assert len(found(record, 1.4 * chance)) == 1
        assert len(found(record, 2.8 * chance)) == 2


def test_each_change_is_set_against_its_neighbours_only() -> None:
    one, two = found(weeks((12, 0.10), (15, 0.30), (18, 0.05)), 0.05)
    assert (one.day, two.day) == (20_000 + 7 * 12, 20_000 + 7 * 27)
    totals = [(each.shares.first.total, each.shares.second.total) for each in (one, two)]
    assert totals == [(12 * SIZE, 15 * SIZE), (15 * SIZE, 18 * SIZE)]


def test_no_more_changes_are_looked_for_than_asked() -> None:
    series = weeks((10, 0.05), (10, 0.30), (10, 0.05), (10, 0.30))
    few = change_points(series, rng=np.random.default_rng(1), most=2)
    assert len(few) == 2


def test_weeks_that_swing_widen_the_interval_of_a_change() -> None:
    """By Pearson's chi-squared about both sides' shares over its freedom."""
    swing = 1.0 + 0.25 * np.tile([1.0, -1.0], 20)
    counts = np.round(SIZE * np.repeat([0.10, 0.30], 20) * swing)
    series = Series(
        starts=7 * np.arange(40, dtype=np.int64), counts=counts, totals=np.full(40, float(SIZE))
    )
    (point,) = found(series, 0.05)
    share = np.repeat([counts[:20].mean(), counts[20:].mean()], 20) / SIZE
    chi_squared = ((counts - SIZE * share) ** 2 / (SIZE * share * (1 - share))).sum()
    dispersion = chi_squared / (40 - 2)
    assert dispersion > 1.5
    worth = [
        (count / dispersion, 20 * SIZE / dispersion)
        for count in (counts[:20].sum(), counts[20:].sum())
    ]
    theirs = confint_proportions_2indep(*worth[1], *worth[0], method="newcomb")
    assert (point.shares.low, point.shares.high) == pytest.approx(theirs)


def test_a_change_is_placed_again_once_its_neighbours_are_known() -> None:
    """A week at 11.6% is nearer to 8.8% than to 16%, but not than to 10% and 16% together."""
    one, two = found(weeks((16, 0.100), (10, 0.160), (1, 0.116), (20, 0.088)), 0.05)
    assert (one.day, two.day) == (20_000 + 7 * 16, 20_000 + 7 * 26)


@pytest.mark.parametrize("seed", [211, 287, 302])
def test_no_change_lies_better_elsewhere_between_its_neighbours(seed: int) -> None:
    """By both sides' binomial likelihood; one pass left the first change a week or two off."""
    rng = np.random.default_rng(seed)
    counts = rng.binomial(231, np.repeat([0.10, 0.16, 0.09], [14, 17, 21])).astype(float)
    starts = 20_000 + 7 * np.arange(52, dtype=np.int64)
    points = found(Series(starts=starts, counts=counts, totals=np.full(52, 231.0)), 0.05)
    places = [0, *(int(np.searchsorted(starts, each.day)) for each in points), 52]
    assert len(points) == 2
    for before, place, after in zip(places, places[1:], places[2:], strict=False):
        sums = {
            k: sum(
                binom.logpmf(side, 231, side.mean() / 231).sum()
                for side in (counts[before:k], counts[k:after])
            )
            for k in range(before + LEAST_STEPS, after - LEAST_STEPS + 1)
        }
        assert place == max(sums, key=lambda k: sums[k])
