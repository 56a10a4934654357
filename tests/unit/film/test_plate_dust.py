"""Dust on a plate (common practice, no source): small, bright, here and there."""

import numpy as np
import pytest

from bitewright.film.plate_dust import dusty

FIELD_MM = (30.0, 40.0)


def laid(pixel_mm: float, seed: int, size: float = 1.0) -> np.ndarray:
    """What dust adds to an even grey field."""
    shape = tuple(round(side / pixel_mm) for side in FIELD_MM)
    grey = np.full(shape, 100.0, dtype=np.float32)
    return dusty(grey, pixel_mm, size, np.random.default_rng(seed)) - grey


@pytest.mark.parametrize("seed", range(5))
def test_dust_is_bright_and_covers_little(seed: int) -> None:
    added = laid(0.03, seed)
    assert added.min() >= 0.0
    assert added.max() > 40.0
    assert 1e-5 < np.mean(added > 10.0) < 0.004


def test_more_dust_covers_more() -> None:
    less, more = (np.mean([laid(0.03, k, size).mean() for k in range(5)]) for size in (0.5, 2.0))
    assert more > 2.0 * less


def test_a_coarser_receptor_shows_as_much_of_it() -> None:
    fine, coarse = (np.mean([laid(pixel, k).mean() for k in range(5)]) for pixel in (0.02, 0.06))
    assert coarse == pytest.approx(fine, rel=0.3)


def test_specks_are_of_many_sizes() -> None:
    from scipy import ndimage  # noqa: PLC0415  only here

    sizes: list[float] = []
    for seed in range(6):
        marks, count = ndimage.label(laid(0.02, seed) > 15.0)
        sizes += ndimage.sum_labels(np.ones_like(marks), marks, range(1, count + 1)).tolist()
    low, high = np.percentile(sizes, [10, 90])
    assert high > 6.0 * low
