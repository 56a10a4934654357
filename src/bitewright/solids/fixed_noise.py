"""Smooth random fields that are the same on every machine and join themselves at their faces."""

from functools import lru_cache

import numpy as np
from numpy.typing import NDArray

Floats = NDArray[np.float64]

CELLS = 48
SIGMA_CELLS = 1.5


def slow_noise(points_mm: Floats, size_mm: float) -> Floats:
    """A field of mean 0 and deviation 1 whose swells are about this wide, at points (..., 3)."""
    from scipy.ndimage import map_coordinates  # noqa: PLC0415  slow to load, for building alone

    cells = np.moveaxis(points_mm * (2.0 * SIGMA_CELLS / size_mm), -1, 0) % CELLS
    return np.asarray(map_coordinates(_swells(), cells, order=1, mode="grid-wrap"))


@lru_cache(maxsize=1)
def _swells() -> Floats:
    from scipy.ndimage import gaussian_filter  # noqa: PLC0415  as above

    smooth = gaussian_filter(scrambled((CELLS, CELLS, CELLS)), SIGMA_CELLS, mode="wrap")
    return np.asarray((smooth - smooth.mean()) / smooth.std())


def scrambled(shape: tuple[int, ...]) -> Floats:
    """Numbers from -0.5 to 0.5 that follow no pattern: the counting numbers, bits mixed.

    Source: the mixing steps of SplitMix64 (Steele, Lea, Flood 2014), constants from memory.
    """
    mixed = np.arange(1, int(np.prod(shape)) + 1, dtype=np.uint64)
    mixed *= np.uint64(0x9E3779B97F4A7C15)
    for shift, factor in ((30, 0xBF58476D1CE4E5B9), (27, 0x94D049BB133111EB)):
        mixed = (mixed ^ (mixed >> np.uint64(shift))) * np.uint64(factor)
    mixed ^= mixed >> np.uint64(31)
    return np.asarray(mixed / 2.0**64 - 0.5).reshape(shape)


__all__ = ["scrambled", "slow_noise"]
