"""Intervals of clustered shares are those of so many fewer exposures."""

import numpy as np
import pytest
from statsmodels.stats.proportion import confint_proportions_2indep, proportion_confint

from bitewright.audit.proportions import design_effect, difference_of, share_of


def test_a_design_effect_of_two_leaves_half_the_exposures() -> None:
    """Kish 1965: the effective size is the size over the design effect."""
    halved = share_of(30, 200, design_effect=2.0)
    theirs = proportion_confint(15, 100, method="wilson")
    assert (halved.low, halved.high) == pytest.approx(theirs)


def test_a_difference_is_widened_as_both_its_shares_are() -> None:
    pair = difference_of((10, 120), (34, 160), design_effect=2.0)
    theirs = confint_proportions_2indep(17, 80, 5, 60, method="newcomb")
    assert (pair.low, pair.high) == pytest.approx(theirs)


def test_a_design_effect_is_one_and_the_rest_of_the_case_times_its_correlation() -> None:
    """Kish 1965: 1 + (m - 1) ICC for cases of m; here m = 4 and ICC = 0.3, in two rooms."""
    rng = np.random.default_rng(2)
    cases, size, icc = 20_000, 4, 0.3
    room = np.repeat(np.arange(cases) % 2, size).astype(np.int32)
    rate = np.where(room == 0, 0.1, 0.4)
    shared = np.repeat(rng.random(cases) < icc, size)
    own, common = rng.random(cases * size), np.repeat(rng.random(cases), size)
    event = np.where(shared, common, own) < rate
    case = np.repeat(np.arange(cases), size).astype(np.int32)
    assert design_effect(event, room, case) == pytest.approx(1.0 + 3.0 * icc, rel=0.03)
