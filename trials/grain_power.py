"""How strong a texture is at each fineness: power spectra of patches of an image.

For bone in septa, grain in dentine and noise in air, on real films and modelled ones alike.
"""

from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike, NDArray

from bitewright.errors import BitewrightError

Floats = NDArray[np.float64]

LEAST_SIDE = 16
BAND_SHARE = 0.22
"""Half width of the band a frequency stands for, as a share of it; one line at least."""


class PatchError(BitewrightError):
    """A patch lies outside its image or is too small to say anything."""

    def __init__(self, patch: "Patch", shape: tuple[int, ...]) -> None:
        self.patch = patch
        super().__init__(
            f"A patch of rows {patch.top} to {patch.bottom} and columns {patch.left} to "
            f"{patch.right} was asked for in an image of {shape[0]} rows and {shape[1]} columns; "
            f"it must lie inside and be at least {LEAST_SIDE} pixels each way. Choose another."
        )


@dataclass(frozen=True, slots=True, kw_only=True)
class Patch:
    """A rectangle of pixels: first row and column, and those just beyond the last."""

    top: int
    bottom: int
    left: int
    right: int

    def of(self, image: NDArray[np.generic]) -> Floats:
        """These pixels of an image (rows, columns).

        Raises
        ------
        PatchError
            If the patch is not inside the image, or is too small.
        """
        rows, columns = image.shape
        inside = self.top >= 0 and self.bottom <= rows and self.left >= 0 and self.right <= columns
        sides = self.bottom - self.top, self.right - self.left
        if not inside or min(sides) < LEAST_SIDE:
            raise PatchError(self, image.shape)
        return np.asarray(image[self.top : self.bottom, self.left : self.right], dtype=np.float64)


def grain_power(patch: ArrayLike, pixel_mm: float, cycles_per_mm: ArrayLike) -> Floats:
    """Power density of a patch round each frequency, all directions together. [value2 mm2]

    A quadratic surface is taken off first, so that tissue thickness does not count as texture, and
    a Hann window stops the patch's edges from doing so.

    Parameters
    ----------
    patch : (rows, columns) array
    pixel_mm : float
        [mm]
    cycles_per_mm : (F,) array
        [1/mm]

    Returns
    -------
    (F,) float array
        Integrated over all frequencies of the plane it gives the patch's variance.
    """
    values = detrended(np.asarray(patch, dtype=np.float64))
    window = np.outer(*(np.hanning(n + 2)[1:-1] for n in values.shape))
    power = np.abs(np.fft.fft2(values * window)) ** 2
    power *= pixel_mm**2 / np.square(window).sum()
    lines = [np.fft.fftfreq(n, pixel_mm) for n in values.shape]
    size = np.hypot(lines[0][:, None], lines[1][None, :])
    apart = max(1.0 / (n * pixel_mm) for n in values.shape)
    wanted = np.atleast_1d(np.asarray(cycles_per_mm, dtype=np.float64))
    found = np.empty(len(wanted))
    for k, frequency in enumerate(wanted):
        near = np.abs(size - frequency) <= max(BAND_SHARE * frequency, 0.5 * apart)
        found[k] = power[near].mean()
    return found


def detrended(values: Floats) -> Floats:
    """Values (rows, columns) less the quadratic surface that fits them best."""
    y, x = np.meshgrid(*(np.linspace(-1.0, 1.0, n) for n in values.shape), indexing="ij")
    terms = np.stack([np.ones_like(x), x, y, x * x, x * y, y * y], axis=-1).reshape(-1, 6)
    fit, *_ = np.linalg.lstsq(terms, values.ravel(), rcond=None)
    return np.asarray(values - (terms @ fit).reshape(values.shape))


__all__ = ["Patch", "PatchError", "detrended", "grain_power"]
