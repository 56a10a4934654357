"""Worn edges of a plate: a bright rim, uneven, and nothing further in."""

import numpy as np
import pytest

from bitewright.film.plate_edges import EDGES, _ragged, worn_edges

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


def test_one_corner_is_worn_furthest_in() -> None:
    """Of a large plate, so that its corner and its sides' middles are far apart."""
    pixel_mm, beside = 0.2, np.s_[60:90]
    deeper = []
    for seed in range(20):
        share = worn_edges((400, 500), pixel_mm, 2.0, np.random.default_rng(seed))
        # Along each side just beyond the corners' rounding, and about its middle.
        corners = [
            share[:15, beside].sum() + share[beside, :15].sum()
            for share in (share, share[::-1], share[:, ::-1], share[::-1, ::-1])
        ]
        middles = [share[:15, 235:265].sum(), share[-15:, 235:265].sum()]
        middles += [share[185:215, :15].sum(), share[185:215, -15:].sum()]
        deeper.append(max(corners) / 2.0 / max(middles))
    assert np.median(deeper) > 1.5


def test_the_inner_border_is_rough_by_its_own_coarseness() -> None:
    """Alike within a quarter of it, unlike beyond twice as far."""
    pixel_mm = 0.02
    rough = _ragged((300, 300), pixel_mm, np.random.default_rng(1))
    assert np.abs(rough).max() <= 1.0
    near, far = (round(times * EDGES.ragged_mm / pixel_mm) for times in (0.25, 2.0))
    for way in (rough, rough.T):
        beside, beyond = (np.corrcoef(way[k:].ravel(), way[:-k].ravel())[0, 1] for k in (near, far))
        assert beside > 0.7
        assert abs(beyond) < 0.3
