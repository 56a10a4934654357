"""Sizes of samples against how often samples of that size do what is asked of them."""

import numpy as np
import pytest
from scipy.stats import binom, norm

from bitewright.audit.sample_size import images_for_change, images_for_margin, survey_power


def test_so_many_images_know_a_share_to_its_margin() -> None:
    images = images_for_margin(0.12, 0.03)
    reach = norm.ppf(0.975) * np.sqrt(0.12 * 0.88 / np.array([images, images - 1]))
    assert reach[0] <= 0.03 < reach[1]


def test_so_many_images_see_a_change_as_often_as_its_power() -> None:
    """Drawn 20 000 times: the two shares differ by 1.96 deviations of their common rate."""
    images = images_for_change(0.16, 0.09, power=0.8)
    rng = np.random.default_rng(1)
    first, second = (rng.binomial(images, rate, 20_000) / images for rate in (0.16, 0.09))
    middle = (first + second) / 2
    seen = np.abs(first - second) > 1.96 * np.sqrt(2 * middle * (1 - middle) / images)
    assert seen.mean() == pytest.approx(0.8, abs=0.015)


def test_a_survey_says_what_it_was_asked() -> None:
    found = survey_power(4, 20, 0.2)
    assert (found.most, found.images, found.rate) == (4, 20, 0.2)
    assert found.passes == pytest.approx(binom.cdf(4, 20, 0.2))
