"""Assessments count by their own uncertainty, squared."""

import numpy as np
import pytest

from bitewright.audit.pooled_means import pooled_means
from bitewright.exposing.scatter import AimPart

HAND_SD = 2.0


def learned(value: np.ndarray, sd: np.ndarray, operator: np.ndarray, count: int) -> list:
    found = pooled_means(value, sd, operator.astype(np.int64), count, AimPart.CONTACT_ERROR)
    return list(found.estimates)


def test_an_uncertain_assessment_counts_for_less_by_its_variance() -> None:
    """Weights one over the variance (Cochran 1937): the hand's, and the assessment's own."""
    rng = np.random.default_rng(1)
    n = 2000
    sd = np.repeat([0.5, 4.0], n // 2)
    value = np.repeat([1.0, -1.0], n // 2) + np.hypot(HAND_SD, sd) * rng.standard_normal(n)
    (one,) = learned(value, sd, np.zeros(n), 1)
    hand = value.var(ddof=1) - (sd**2).mean()
    expected = np.average(value, weights=1.0 / (hand + sd**2))
    assert one.plain_mean == pytest.approx(expected, abs=1e-6)
    assert one.plain_mean > 0.3
    assert one.scatter == pytest.approx(np.sqrt(hand), rel=0.1)
