"""Differences of paired proportions: their interval holds what is so, and sides are as meant."""

import numpy as np
import pytest

from bitewright.audit.paired_difference import paired_difference


@pytest.mark.parametrize(("both", "alone", "instead"), [(0.4, 0.15, 0.05), (0.1, 0.3, 0.1)])
def test_the_interval_holds_the_true_difference_about_as_often_as_it_says(
    both: float, alone: float, instead: float
) -> None:
    generator = np.random.default_rng(3)
    held = 0
    for _ in range(400):
        kind = generator.choice(4, size=30, p=[both, alone, instead, 1 - both - alone - instead])
        told = paired_difference(list(kind < 2), list((kind == 0) | (kind == 2)))
        held += told.low <= alone - instead <= told.high
    assert 0.92 <= held / 400 <= 0.99


def test_the_example_of_newcombe() -> None:
    """36 both, 12 the first alone, 2 the second alone: 0.0569 to 0.3404 (1998, from memory)."""
    told = paired_difference([True] * 48 + [False] * 2, [True] * 36 + [False] * 12 + [True] * 2)
    assert told.difference == pytest.approx(0.2)
    assert (told.low, told.high) == pytest.approx((0.0569, 0.3404), abs=5e-5)


def test_sides_and_ends() -> None:
    told = paired_difference([True] * 9 + [False], [False] * 9 + [True])
    assert told.difference == pytest.approx(0.8)
    assert told.settled
    turned = paired_difference([False] * 9 + [True], [True] * 9 + [False])
    assert (turned.low, turned.high) == pytest.approx((-told.high, -told.low))
    alike = paired_difference([True, False] * 8, [True, False] * 8)
    assert alike.low < 0.0 < alike.high
    few = paired_difference([True], [True])
    assert not few.settled
    assert few.low < -0.5 < 0.5 < few.high
