"""Where chance ends for operators, and what is most likely true of each."""

import numpy as np
import pytest
from scipy.stats import binom, nbinom, norm

from bitewright.audit.funnel import Funnel, exact_limits, funnel, reach_of

SIZE = 400
SEVERAL = tuple(f"p{k}" for k in range(60))


def test_limits_lie_between_the_counts_that_hold_the_tail() -> None:
    """Spiegelhalter 2005, appendix: the binomial quantile, drawn straight to the count before."""
    sizes, target, tail = np.array([60, 300, 1500]), 0.12, 0.025
    limits = exact_limits(target, sizes, 1.0 - 2 * tail)
    for size, low, high in zip(sizes, limits.low, limits.high, strict=True):
        for share, probability in ((low, tail), (high, 1.0 - tail)):
            count = binom.ppf(probability, size, target)
            at, below = binom.cdf([count, count - 1], size, target)
            between = count - (at - probability) / (at - below)
            assert share == pytest.approx(between / size)


def test_so_few_exposures_that_none_may_be_rejected_have_no_lower_limit() -> None:
    limits = exact_limits(0.1, [10, 20], 0.95)
    assert limits.low.tolist() == [0.0, 0.0]
    assert (limits.high > 0.2).all()


def test_operators_who_differ_by_chance_have_normal_scores() -> None:
    sizes = np.full(60, 400)
    found = funnel(SEVERAL, np.random.default_rng(1).binomial(sizes, 0.12), sizes)
    rejects = np.array([each.rejects for each in found.operators])
    expected = norm.ppf(
        (binom.cdf(rejects, 400, found.overall) + binom.cdf(rejects - 1, 400, found.overall)) / 2
    )
    assert found.spread == 1.0
    assert [each.z for each in found.operators] == pytest.approx(expected)


def differing(seed: int) -> Funnel:
    """Operators whose true rates are gamma distributed, with shape 6, about 12 %."""
    rng = np.random.default_rng(seed)
    sizes = np.full(60, SIZE)
    return funnel(SEVERAL, rng.binomial(sizes, 0.12 * rng.gamma(6.0, 1.0 / 6.0, 60)), sizes)


def test_operators_who_differ_are_scored_by_counts_that_spread_as_they_do() -> None:
    """Rejects as a negative binomial: rates gamma about the common one, counts Poisson."""
    found = differing(seed=2)
    assert found.spread > 3.0
    assert found.shape == pytest.approx(6.0, rel=0.5)
    law = nbinom(found.shape, found.shape / (found.shape + SIZE * found.overall))
    for each in found.operators[:10]:
        middle = (law.cdf(each.rejects) + law.cdf(each.rejects - 1)) / 2
        assert each.z == pytest.approx(norm.ppf(middle), abs=1e-6)
    assert np.std([each.z for each in found.operators]) == pytest.approx(1.0, abs=0.3)


def test_the_spread_of_scores_is_that_planted() -> None:
    """Winsorised: outlying tenths pulled in, and the rest made up for."""
    sizes = np.full(400, 2000)
    chance = np.sqrt(0.12 * 0.88 / 2000)
    rates = np.random.default_rng(3).normal(0.12, 2.0 * chance, 400)
    rejects = np.random.default_rng(4).binomial(sizes, rates)
    found = funnel(tuple(str(k) for k in range(400)), rejects, sizes)
    assert found.spread == pytest.approx(1.0 + 2.0**2, rel=0.12)


def test_chance_alone_reaches_as_far_as_the_exact_limits() -> None:
    sizes = np.full(60, 400)
    found = funnel(SEVERAL, np.full(60, 48), sizes)
    reach = reach_of(found, [100.0, 400.0], 1.96)
    exact = exact_limits(0.12, [100, 400], 2 * norm.cdf(1.96) - 1)
    assert reach.low == pytest.approx(exact.low)
    assert reach.high == pytest.approx(exact.high)


def test_differences_reach_as_far_as_scores_of_that_size() -> None:
    """A count at the edge of the reach has about that share of such operators below it."""
    found = differing(seed=5)
    reach = reach_of(found, [SIZE], 1.5)
    law = nbinom(found.shape, found.shape / (found.shape + SIZE * found.overall))
    for count, share in (
        (SIZE * reach.low[0], norm.cdf(-1.5)),
        (SIZE * reach.high[0], norm.cdf(1.5)),
    ):
        whole = np.floor(count)
        assert law.cdf(whole - 1) < share < law.cdf(whole + 1)
