"""Smooth random fields that are the same on every machine and join themselves at their faces."""

from functools import lru_cache

import numpy as np
from numpy.typing import NDArray

Floats = NDArray[np.float64]

CELLS = 48
"""Cells along each side of the cube of noise, which repeats for ever."""

SIGMA_CELLS = 1.5
"""Standard deviation of the Gaussian that makes its swells smooth."""

WEYL = 0x9E3779B97F4A7C15
"""What SplitMix64 counts on by: 2^64 times the golden ratio's share, made odd."""

MIXED = ((30, 0xBF58476D1CE4E5B9), (27, 0x94D049BB133111EB))
"""Its mixing steps: shifts to the right, and what is multiplied with after each."""

LAST_SHIFT = 31
"""Its last shift to the right."""


def slow_noise(points_mm: Floats, size_mm: float) -> Floats:
    """Slow noise of mean 0 and deviation 1, the same on every machine.

    Our model: random numbers on a cube that repeats, made smooth by a Gaussian.

    Parameters
    ----------
    points_mm : (..., 3) float array
        [mm]
    size_mm : float
        About how wide its swells are. [mm]

    Returns
    -------
    (...) float array
    """
    from scipy.ndimage import map_coordinates  # noqa: PLC0415  slow to load, for building alone

    cells = np.moveaxis(points_mm * (2.0 * SIGMA_CELLS / size_mm), -1, 0) % CELLS
    return np.asarray(map_coordinates(_swells(), cells, order=1, mode="grid-wrap"))


@lru_cache(maxsize=1)
def _swells() -> Floats:
    from scipy.ndimage import gaussian_filter  # noqa: PLC0415  as above

    smooth = gaussian_filter(scrambled((CELLS, CELLS, CELLS)), SIGMA_CELLS, mode="wrap")
    return np.asarray((smooth - smooth.mean()) / smooth.std())


def scrambled(shape: tuple[int, ...]) -> Floats:
    """Numbers from -0.5 to 0.5 that follow no pattern, of any shape.

    Kept as it is and not taken from numpy's generators: other numbers would be other mouths.
    """
    return np.asarray(splitmix64(int(np.prod(shape))) / 2.0**64 - 0.5).reshape(shape)


def splitmix64(count: int) -> NDArray[np.uint64]:
    """The first numbers of the generator SplitMix64 started at 0, (count,).

    Source: Steele GL, Lea D, Flood CH. Fast splittable pseudorandom number generators. OOPSLA 2014;
    a test holds it to what its public
    reference program gives.
    """
    mixed = np.arange(1, count + 1, dtype=np.uint64) * np.uint64(WEYL)
    for shift, factor in MIXED:
        mixed = (mixed ^ (mixed >> np.uint64(shift))) * np.uint64(factor)
    return np.asarray(mixed ^ (mixed >> np.uint64(LAST_SHIFT)))


__all__ = ["scrambled", "slow_noise", "splitmix64"]
