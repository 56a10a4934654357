"""A film laid on the square that the network looks at."""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

Floats = NDArray[np.float64]

SIDE_PX = 416
PIXEL_MM = 0.1
"""The square's side and pixel size, as the network was trained."""

SMALLEST_MM = 12.0
"""A picture whose sides are shorter shows no row of teeth. Our choice."""

LEAST_BITS = 8
"""Pictures of fewer bits in use are taken to have as many."""

FLAT, ENDS = 0.35, (0.005, 0.995)
"""Films whose grey between these quantiles spans less of the scale are stretched. Our choice."""


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class FilmOnSquare:
    """A film in the middle of the square.

    Parameters
    ----------
    grey : (side, side) float32 array
        0 is black and 1 the greatest value of the bits in use; a flat film's is stretched.
    contrast : float
        Standard deviation of the film's grey before it was stretched.
    first_px : (2,) float array
        Column and row of the film's upper-left corner on the square.
    shrunk : float
        How many of the square's pixels one of the film's takes.
    size_mm : (height, width)
        Of the film, at the receptor.
    """

    grey: NDArray[np.float32]
    contrast: float
    first_px: Floats
    shrunk: float
    size_mm: tuple[float, float]

    @property
    def columns_px(self) -> float:
        """How many of the square's columns the film takes."""
        return SIDE_PX - 2.0 * float(self.first_px[0])

    def inside(self) -> NDArray[np.float32]:
        """The part of the square that the film covers, a (rows, columns) array."""
        left, top = np.ceil(np.clip(self.first_px, 0.0, None)).astype(int)
        return self.grey[top : SIDE_PX - top, left : SIDE_PX - left]

    def on_film_px(self, places_px: Floats) -> Floats:
        """Places (..., 2) on the square as places on the film. [px]"""
        return np.asarray((places_px - self.first_px) / self.shrunk)


def on_square(pixels: NDArray[np.uint16], *, bits: int, pixel_mm: float) -> FilmOnSquare:
    """Lay a film on the square, each of its pixels shared out by area.

    A film too large for it is shrunk further, so that all of it is seen.

    Parameters
    ----------
    pixels : (rows, columns) uint16 array
    bits : int
    pixel_mm : float
    """
    rows, columns = pixels.shape
    shrunk = min(pixel_mm / PIXEL_MM, SIDE_PX / max(rows, columns))
    first_px = 0.5 * (SIDE_PX - shrunk * np.array([columns, rows]))
    down = _shares(rows, first_px[1], shrunk)
    across = _shares(columns, first_px[0], shrunk)
    shown = pixels / (2.0 ** bits_in_use(pixels, bits) - 1.0)
    contrast = float(shown.std())
    low, high = np.quantile(shown, ENDS)
    if 0.0 < high - low < FLAT:
        shown = np.clip((shown - low) / (high - low), 0.0, 1.0)
    grey = down @ shown @ across.T
    return FilmOnSquare(
        grey=grey.astype(np.float32),
        contrast=contrast,
        first_px=first_px,
        shrunk=shrunk,
        size_mm=(rows * pixel_mm, columns * pixel_mm),
    )


def bits_in_use(pixels: NDArray[np.uint16], bits: int) -> int:
    """How many bits a picture (rows, columns) fills: twelve are often kept in files of sixteen."""
    return min(bits, max(LEAST_BITS, int(pixels.max(initial=0)).bit_length()))


def _shares(count: int, first_px: float, shrunk: float) -> Floats:
    """How much of each of the square's pixels each of a film's covers, (side, count)."""
    edges = first_px + shrunk * np.arange(count + 1)
    cells = np.arange(SIDE_PX)[:, None]
    over = np.minimum(edges[None, 1:], cells + 1.0) - np.maximum(edges[None, :-1], cells)
    return np.asarray(np.clip(over, 0.0, None))


__all__ = ["PIXEL_MM", "SIDE_PX", "SMALLEST_MM", "FilmOnSquare", "bits_in_use", "on_square"]
