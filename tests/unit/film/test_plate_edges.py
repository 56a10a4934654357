"""Worn edges of a plate: a bright rim, uneven, and nothing further in."""

import numpy as np
import pytest

from bitewright.film.plate_edges import worn_edges

SHAPE = (310, 410)
PIXEL_MM = 0.1


@pytest.mark.parametrize("seed", range(4))
def test_it_covers_the_rim_and_leaves_the_middle(seed: int) -> None:
    share = worn_edges(SHAPE, PIXEL_MM, 1.0, np.random.default_rng(seed))
    assert share.min() >= 0.0
    assert share.max() <= 1.0
    assert share[40:-40, 40:-40].max() < 0.01
    sides = [share[0, 80:-80], share[-1, 80:-80], share[80:-80, 0], share[80:-80, -1]]
    assert max(side.max() for side in sides) > 0.8
    assert np.ptp([side.mean() for side in sides]) > 0.02, "no two sides are worn alike"


def test_more_wear_reaches_further_in() -> None:
    areas = [
        worn_edges(SHAPE, PIXEL_MM, size, np.random.default_rng(3)).sum()
        for size in (0.5, 1.0, 2.0)
    ]
    assert areas[0] < areas[1] < areas[2]


def test_corners_outside_the_rounding_are_left() -> None:
    share = worn_edges(SHAPE, PIXEL_MM, 2.0, np.random.default_rng(0))
    assert share[:10, :10].max() == 0.0


def test_a_small_picture_is_worn_too() -> None:
    assert worn_edges((12, 20), 1.0, 1.0, np.random.default_rng(0)).shape == (12, 20)
