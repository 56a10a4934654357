"""Worn edges of a used plate: bright where the coating is chipped or has been gripped too often."""

import numpy as np
from numpy.typing import NDArray

from bitewright.film.blur import between_blocks

Image = NDArray[np.float32]

CORNER_MM = 6.0
"""Rounding that worn edges follow. Our choice."""

LEAST_MM, MOST_MM = 0.03, 0.55
"""How far in the wear reaches, at its least and, for a plate of usual wear, at its worst place."""

SWELL_MM, RAGGED_MM = 9.0, 0.35
"""Over what length along the edge it swells and sinks, and how coarse its inner border is."""


def worn_edges(
    shape: tuple[int, ...], pixel_mm: float, size: float, generator: np.random.Generator
) -> Image:
    """How far each pixel is covered, from 0 to 1: a rim of uneven width, widest about one corner.

    Model: our choice, by eye. The rim is bright, ends softly inward and is ragged there.

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
    """
    half = 0.5 * pixel_mm * np.array(shape, dtype=np.float32)
    v, u = (pixel_mm * (np.arange(n, dtype=np.float32) - np.float32(0.5 * (n - 1))) for n in shape)
    corner = generator.choice([-1.0, 1.0], 2)
    reach = MOST_MM * size * generator.uniform(0.5, 1.5)
    along = np.arange(int(2.0 * (half[0] + half[1]) / SWELL_MM) + 2)
    swells = [generator.uniform(0.0, 1.0, len(along)) ** 3 for _ in range(2)]
    strip = int(np.ceil((LEAST_MM + 3.0 * reach + CORNER_MM) / pixel_mm))
    share = np.zeros(shape, dtype=np.float32)
    for rows, columns in _strips(shape, strip):
        y, x = v[rows][:, None], u[columns][None, :]
        inside = _inside_mm(x, y, half)
        worst = np.exp(-(((x - corner[0] * half[1]) ** 2 + (y - corner[1] * half[0]) ** 2) / 250.0))
        wave = np.interp(x / SWELL_MM + along[-1] / 2, along, swells[0]) + np.interp(
            y / SWELL_MM + along[-1] / 2, along, swells[1]
        )
        wide = LEAST_MM + reach * (0.9 * worst + 0.35 * wave)
        ragged = _ragged(inside.shape, pixel_mm, generator)
        depth = inside / (wide * (1.0 + 0.2 * ragged))
        cover = np.where(inside >= 0.0, np.exp(-(np.maximum(depth, 0.0) ** 1.5)), 0.0)
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
    radius = np.float32(min(CORNER_MM, float(half.min())))
    into = (
        np.maximum(np.abs(x) - (half[1] - radius), 0.0),
        np.maximum(np.abs(y) - (half[0] - radius), 0.0),
    )
    straight = np.minimum(half[1] - np.abs(x), half[0] - np.abs(y))
    rounded = radius - np.hypot(*into)
    return np.asarray(np.where((into[0] > 0) & (into[1] > 0), rounded, straight))


def _ragged(shape: tuple[int, ...], pixel_mm: float, generator: np.random.Generator) -> Image:
    """Roughness from -1 to 1, about as coarse as `RAGGED_MM`."""
    block = max(int(RAGGED_MM / pixel_mm), 1)
    coarse = generator.uniform(-1.0, 1.0, [-(-n // block) for n in shape])
    return between_blocks(coarse.astype(np.float32), block, shape)


__all__ = ["worn_edges"]
