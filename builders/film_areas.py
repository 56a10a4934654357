"""Where a film is metal, where it may be measured, where it is darkest: from its levels alone."""

import numpy as np
from numpy.typing import NDArray
from scipy.ndimage import binary_erosion, gaussian_filter, label, uniform_filter

from builders.marked_films import MarkedFilm
from trials.grain_power import Patch

Mask = NDArray[np.bool_]

BORDER_MM, CORNER_MM = 1.5, 6.0
"""Left out along a film's edge, where real plates are burnt, fogged or labelled."""

BRIGHT_FROM, METAL_BLUR_MM, LEAST_METAL_MM2, METAL_STEEP = 190.0, 0.09, 1.0, 100.0
"""Of levels this bright, on the film a little blurred, the brighter class is metal where a patch is
so large and its edge so steep [8-bit grey per mm]; enamel fades."""

AIR_MM = 1.5


def within(film: MarkedFilm) -> Mask:
    """Pixels away from a film's border and rounded corners."""
    rows, columns = film.grey.shape
    border, radius = BORDER_MM / film.pixel_mm, CORNER_MM / film.pixel_mm
    x, y = (np.minimum(np.arange(n), np.arange(n)[::-1]) - border for n in (columns, rows))
    corner = np.hypot(np.maximum(radius - x, 0.0), np.maximum(radius - y, 0.0)[:, None]) > radius
    return np.asarray((x >= 0.0) & (y >= 0.0)[:, None] & ~corner)


def metal(film: MarkedFilm) -> Mask:
    """Pixels of fillings and crowns of metal; none may be found."""
    smooth = gaussian_filter(film.grey, METAL_BLUR_MM / film.pixel_mm)
    inner = within(film)
    threshold = parting(smooth[inner & (smooth > BRIGHT_FROM)])
    bright = (smooth > threshold) & inner
    parts, number = label(bright)
    steepness = np.hypot(*np.gradient(smooth, film.pixel_mm))
    border = np.where(bright & ~binary_erosion(bright, border_value=1), parts, 0)
    kept = np.zeros(number + 1, dtype=np.bool_)
    for part in range(1, number + 1):
        area_mm2 = np.count_nonzero(parts == part) * film.pixel_mm**2
        steep = area_mm2 >= LEAST_METAL_MM2 and np.median(steepness[border == part])
        kept[part] = steep > METAL_STEEP
    return np.asarray(kept[parts])


def parting(levels: NDArray[np.float64]) -> float:
    """The level between two classes with the most variance between them (Otsu 1979)."""
    numbers, edges = np.histogram(levels, bins=np.arange(BRIGHT_FROM, 257.0))
    centres = 0.5 * (edges[1:] + edges[:-1])
    below, sums = np.cumsum(numbers), np.cumsum(numbers * centres)
    above = below[-1] - below
    with np.errstate(divide="ignore", invalid="ignore"):
        apart = (sums[-1] - sums) / above - sums / below
        between = np.nan_to_num(below * above * apart**2, nan=-1.0)
    return float(edges[int(np.argmax(between)) + 1])


def eroded(mask: Mask, by_mm: float, pixel_mm: float) -> Mask:
    """A mask less what lies within so much of its edge."""
    return np.asarray(binary_erosion(mask, iterations=max(round(by_mm / pixel_mm), 1)))


def darkest(film: MarkedFilm) -> Patch:
    """The square that is darkest in the mean: air beside the cheek, if the film shows any."""
    side = AIR_MM / film.pixel_mm
    inside = uniform_filter(within(film).astype(np.float64), round(side)) > 0.999
    return _square(np.where(inside, uniform_filter(film.grey, round(side)), np.inf), side)


def flattest(film: MarkedFilm, where: Mask, side_mm: float) -> Patch | None:
    """The square wholly inside a mask whose blurred levels differ least, or None."""
    smooth = gaussian_filter(film.grey, 0.15 / film.pixel_mm)
    side = side_mm / film.pixel_mm
    mean = uniform_filter(smooth, round(side))
    spread = uniform_filter(smooth**2, round(side)) - mean**2
    inside = uniform_filter(where.astype(np.float64), round(side)) > 0.999
    return _square(np.where(inside, spread, np.inf), side) if inside.any() else None


def _square(cost: NDArray[np.float64], side: float) -> Patch:
    row, column = np.unravel_index(int(np.argmin(cost)), cost.shape)
    half = round(side) // 2
    top, left = int(row) - half, int(column) - half
    return Patch(top=top, bottom=top + 2 * half, left=left, right=left + 2 * half)
