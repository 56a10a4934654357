"""Quantiles of Student's t against those of a library."""

import numpy as np
import pytest
from scipy.special import stdtrit

from bitewright.audit.students_t import FEWEST_FREEDOM, two_sided_quantile


@pytest.mark.parametrize("confidence", [0.5, 0.9, 0.95, 0.99, 0.999])
def test_quantiles_are_those_of_scipy(confidence: float) -> None:
    freedom = np.concatenate([np.linspace(2.0, 12.0, 101), np.geomspace(12.0, 1e6, 60)])
    theirs = stdtrit(freedom, 0.5 + confidence / 2.0)
    assert two_sided_quantile(confidence, freedom) == pytest.approx(theirs, rel=1.1e-3)


def test_without_end_they_are_normal_and_too_few_count_as_the_fewest() -> None:
    assert two_sided_quantile(0.95, np.inf) == pytest.approx(1.959964, abs=1e-6)
    assert two_sided_quantile(0.95, 0.5) == two_sided_quantile(0.95, FEWEST_FREEDOM)
