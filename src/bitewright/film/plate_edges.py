"""Worn edges of a used plate: bright where the coating is chipped or has been gripped too often.

Figures: ``tables/plate_edges.toml``.
"""

from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from bitewright.figure_tables import figures_of
from bitewright.film.blur import between_blocks

Image = NDArray[np.float32]


def worn_edges(
    shape: tuple[int, ...], pixel_mm: float, size: float, generator: np.random.Generator
) -> Image:
    """How far each pixel is covered, from 0 to 1: a rim of uneven width, widest about one corner.

    Our model, by eye: the rim is bright, ends softly inward and is ragged there.

    Parameters
    ----------
    shape : tuple
        Rows and columns.
    pixel_mm : float
        [mm]
    size : float
        1 for a plate of usual wear.
    generator : numpy Generator
        Draws where it is worn.

    Returns
    -------
    (rows, columns) float32 array
    """
    form = EDGES
    half = 0.5 * pixel_mm * np.array(shape, dtype=np.float32)
    v, u = (pixel_mm * (np.arange(n, dtype=np.float32) - np.float32(0.5 * (n - 1))) for n in shape)
    corner = generator.choice([-1.0, 1.0], 2)
    reach = form.most_mm * size * generator.uniform(*form.own_times)
    along = np.arange(int(2.0 * (half[0] + half[1]) / form.swell_mm) + 2)
    swells = [generator.uniform(0.0, 1.0, len(along)) ** form.swell_power for _ in range(2)]
    deepest = form.least_mm + form.strip_reach * reach + form.corner_mm
    strip = int(np.ceil(deepest / pixel_mm))
    share = np.zeros(shape, dtype=np.float32)
    for rows, columns in _strips(shape, strip):
        y, x = v[rows][:, None], u[columns][None, :]
        inside = _inside_mm(x, y, half)
        from_corner = (x - corner[0] * half[1]) ** 2 + (y - corner[1] * half[0]) ** 2
        worst = np.exp(-(from_corner / form.worst_over_mm2))
        middle = along[-1] / 2
        wave = np.interp(x / form.swell_mm + middle, along, swells[0])
        wave = wave + np.interp(y / form.swell_mm + middle, along, swells[1])
        wide = form.least_mm + reach * (form.worst_share * worst + form.swell_share * wave)
        ragged = _ragged(inside.shape, pixel_mm, generator)
        depth = inside / (wide * (1.0 + form.ragged_share * ragged))
        soft = np.exp(-(np.maximum(depth, 0.0) ** form.soft_power))
        cover = np.where(inside >= 0.0, soft, 0.0)
        share[rows, columns] = np.maximum(share[rows, columns], cover)
    return share


def _strips(shape: tuple[int, ...], strip: int) -> list[tuple[slice, slice]]:
    """The four sides of an image, so wide."""
    rows, columns = shape
    whole = slice(0, rows), slice(0, columns)
    return [
        (slice(0, min(strip, rows)), whole[1]),
        (slice(max(rows - strip, 0), rows), whole[1]),
        (whole[0], slice(0, min(strip, columns))),
        (whole[0], slice(max(columns - strip, 0), columns)),
    ]


def _inside_mm(x: Image, y: Image, half: Image) -> Image:
    """How far a place lies within a rectangle with rounded corners. [mm]"""
    radius = np.float32(min(EDGES.corner_mm, float(half.min())))
    into = (
        np.maximum(np.abs(x) - (half[1] - radius), 0.0),
        np.maximum(np.abs(y) - (half[0] - radius), 0.0),
    )
    straight = np.minimum(half[1] - np.abs(x), half[0] - np.abs(y))
    rounded = radius - np.hypot(*into)
    return np.asarray(np.where((into[0] > 0) & (into[1] > 0), rounded, straight))


def _ragged(shape: tuple[int, ...], pixel_mm: float, generator: np.random.Generator) -> Image:
    """Roughness from -1 to 1, about as coarse as its figure."""
    block = max(int(EDGES.ragged_mm / pixel_mm), 1)
    coarse = generator.uniform(-1.0, 1.0, [-(-n // block) for n in shape])
    return between_blocks(coarse.astype(np.float32), block, shape)


class PlateEdges(NamedTuple):
    """Worn edges of a used plate."""

    corner_mm: float
    least_mm: float
    most_mm: float
    own_times: tuple[float, float]
    worst_share: float
    worst_over_mm2: float
    swell_share: float
    swell_mm: float
    swell_power: float
    ragged_mm: float
    ragged_share: float
    soft_power: float
    strip_reach: float


EDGES = figures_of(PlateEdges, "bitewright.film", "plate_edges")

__all__ = ["worn_edges"]
