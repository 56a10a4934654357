"""What lies on a plate when it is read: specks, hairs, the rings of dried bubbles.

Sizes and looks are our choice, beside a real film.
"""

from collections.abc import Callable

import numpy as np
from numpy.typing import NDArray

Image = NDArray[np.float32]
Places = NDArray[np.float64]


def dusty(grey: Image, pixel_mm: float, size: float, generator: np.random.Generator) -> Image:
    """Bright ragged specks, mostly tiny, often beside another; hairs; bubbles' broken rings."""
    share = np.zeros(grey.shape, dtype=np.float32)
    anywhere = 0.5 * np.array(grey.shape[::-1]) * pixel_mm
    at = generator.uniform(-anywhere, anywhere)
    for _ in range(round(38 * size)):
        is_beside = generator.random() < BESIDE_ANOTHER
        at = (
            at + generator.normal(0.0, 0.5, 2)
            if is_beside
            else generator.uniform(-anywhere, anywhere)
        )
        lie = _hair if generator.random() < HAIRS else _speck
        _lay(share, at, pixel_mm, lie(generator, pixel_mm))
    for _ in range(round(1.5 * size)):
        _lay(share, generator.uniform(-anywhere, anywhere), pixel_mm, _broken_ring(generator))
    return np.asarray(grey + (245.0 - grey) * 0.9 * share, dtype=np.float32)


BESIDE_ANOTHER, HAIRS = 0.5, 0.12
"""Share of specks that lie beside the one before; of hairs. Our choice, beside a real film."""

FURTHEST_MM = 1.2
"""Nothing that lies on a plate reaches further from its middle."""

LEAST_PIXELS = 0.6
"""What is smaller shows this large, and fainter by as much as it covers less."""

Lying = Callable[[Image, Image], Image]


def _lay(share: Image, at_mm: Places, pixel_mm: float, shape: Lying) -> None:
    """Add something small about a place to what is covered already, in its neighbourhood alone."""
    middle = at_mm[::-1] / pixel_mm + 0.5 * (np.array(share.shape) - 1.0)
    first = np.maximum(np.ceil(middle - FURTHEST_MM / pixel_mm), 0).astype(int)
    last = np.maximum(np.floor(middle + FURTHEST_MM / pixel_mm) + 1, 0).astype(int)
    near = share[first[0] : last[0], first[1] : last[1]]
    v, u = (
        pixel_mm * (np.arange(start, start + n, dtype=np.float32) - np.float32(at))
        for start, n, at in zip(first, near.shape, middle, strict=True)
    )
    near[:] = np.maximum(near, shape(u[None, :], v[:, None]))


def _speck(generator: np.random.Generator, pixel_mm: float) -> Lying:
    """0.02 to 0.13 mm, small ones as often as large ones of twice their size, no two alike."""
    true = 0.02 * 6.5 ** generator.random()
    radius = max(true, LEAST_PIXELS * pixel_mm)
    bright = generator.uniform(0.25, 1.0) * (true / radius) ** 2
    waves = [(k, generator.uniform(0.0, 0.4), generator.uniform(0.0, 6.3)) for k in (1, 2, 3, 5)]

    def lying(u: Image, v: Image) -> Image:
        angle = np.arctan2(v, u)
        ragged = 1.0 + sum(most * np.cos(k * angle + turn) for k, most, turn in waves) / 1.6
        far = (u * u + v * v) / (radius * np.maximum(ragged, 0.3)) ** 2
        return np.asarray(bright * np.exp(-(far**2)), dtype=np.float32)

    return lying


def _hair(generator: np.random.Generator, pixel_mm: float) -> Lying:
    """Bent, uneven in brightness, fading at its ends."""
    half, true = generator.uniform(0.12, 0.7), generator.uniform(0.018, 0.035)
    width = max(true, LEAST_PIXELS * pixel_mm)
    bend, turn = generator.normal(0.0, 0.7), generator.uniform(0.0, np.pi)
    bright, wave = generator.uniform(0.25, 0.9) * true / width, generator.uniform(4.0, 12.0)

    def lying(u: Image, v: Image) -> Image:
        along = u * np.cos(turn) + v * np.sin(turn)
        across = v * np.cos(turn) - u * np.sin(turn) - bend * along**2
        uneven = 0.7 + 0.3 * np.cos(wave * along + turn)
        near = np.exp(-((along / half) ** 4) - (across / width) ** 2)
        return np.asarray(bright * uneven * near, dtype=np.float32)

    return lying


def _broken_ring(generator: np.random.Generator) -> Lying:
    """Of a bubble: not quite round, brighter on one side, open on the other."""
    radius, oval = generator.uniform(0.15, 0.4), generator.uniform(0.03, 0.15)
    turn, other = generator.uniform(0.0, 6.3, 2)

    def lying(u: Image, v: Image) -> Image:
        angle = np.arctan2(v, u)
        away = np.hypot(u, v) - radius * (1.0 + oval * np.cos(2.0 * angle + turn))
        side = 0.55 + 0.45 * np.cos(angle + other)
        return np.asarray(0.4 * side * np.exp(-((away / 0.05) ** 2)), dtype=np.float32)

    return lying


__all__ = ["dusty"]
