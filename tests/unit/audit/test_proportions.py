"""Intervals of clustered shares are those of so many fewer exposures."""

import pytest
from statsmodels.stats.proportion import confint_proportions_2indep, proportion_confint

from bitewright.audit.proportions import difference_of, share_of


def test_a_design_effect_of_two_leaves_half_the_exposures() -> None:
    """Kish 1965: the effective size is the size over the design effect."""
    halved = share_of(30, 200, design_effect=2.0)
    theirs = proportion_confint(15, 100, method="wilson")
    assert (halved.low, halved.high) == pytest.approx(theirs)


def test_a_difference_is_widened_as_both_its_shares_are() -> None:
    pair = difference_of((10, 120), (34, 160), design_effect=2.0)
    theirs = confint_proportions_2indep(17, 80, 5, 60, method="newcomb")
    assert (pair.low, pair.high) == pytest.approx(theirs)
