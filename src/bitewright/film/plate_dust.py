"""What lies on a plate when it is read: specks, hairs, the rings of dried bubbles.

Figures: ``tables/plate_dust.toml``.
"""

from collections.abc import Callable
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from bitewright.figure_tables import figures_of

Image = NDArray[np.float32]
Places = NDArray[np.float64]


def dusty(grey: Image, pixel_mm: float, size: float, generator: np.random.Generator) -> Image:
    """A picture under bright ragged specks, hairs, and bubbles' broken rings.

    Our model: specks of many sizes, mostly tiny, often beside another.

    Parameters
    ----------
    grey : (rows, columns) float32 array
        8-bit grey, as displayed.
    pixel_mm : float
        [mm]
    size : float
        1 for a plate of usual dust.
    generator : numpy Generator
        Draws what lies where.

    Returns
    -------
    (rows, columns) float32 array
        8-bit grey.
    """
    plate = DUST.plate
    share = np.zeros(grey.shape, dtype=np.float32)
    anywhere = 0.5 * np.array(grey.shape[::-1]) * pixel_mm
    at = generator.uniform(-anywhere, anywhere)
    for _ in range(round(DUST.specks.number * size)):
        is_beside = generator.random() < plate.beside_share
        at = (
            at + generator.normal(0.0, plate.beside_mm, 2)
            if is_beside
            else generator.uniform(-anywhere, anywhere)
        )
        lie = _hair if generator.random() < plate.hair_share else _speck
        _lay(share, at, pixel_mm, lie(generator, pixel_mm))
    for _ in range(round(DUST.rings.number * size)):
        _lay(share, generator.uniform(-anywhere, anywhere), pixel_mm, _broken_ring(generator))
    covered = (plate.grey - grey) * plate.cover_share * share
    return np.asarray(grey + covered, dtype=np.float32)


Lying = Callable[[Image, Image], Image]
"""How much something covers at places right of and below its middle. [mm]"""

ROUND_RAD = 6.3
"""Directions are drawn from a little more than once round."""


def _lay(share: Image, at_mm: Places, pixel_mm: float, shape: Lying) -> None:
    """Add something small about a place to what is covered already, in its neighbourhood alone."""
    middle = at_mm[::-1] / pixel_mm + 0.5 * (np.array(share.shape) - 1.0)
    reach = DUST.plate.furthest_mm / pixel_mm
    first = np.maximum(np.ceil(middle - reach), 0).astype(int)
    last = np.maximum(np.floor(middle + reach) + 1, 0).astype(int)
    near = share[first[0] : last[0], first[1] : last[1]]
    v, u = (
        pixel_mm * (np.arange(start, start + n, dtype=np.float32) - np.float32(at))
        for start, n, at in zip(first, near.shape, middle, strict=True)
    )
    near[:] = np.maximum(near, shape(u[None, :], v[:, None]))


def _speck(generator: np.random.Generator, pixel_mm: float) -> Lying:
    """Small ones as often as large ones of twice their size, no two alike."""
    form = DUST.specks
    true = form.radius_mm * form.most_times ** generator.random()
    radius = max(true, DUST.plate.least_pixels * pixel_mm)
    bright = generator.uniform(*form.bright) * (true / radius) ** 2
    waves = [
        (k, generator.uniform(0.0, form.ragged_share), generator.uniform(0.0, ROUND_RAD))
        for k in (1, 2, 3, 5)
    ]

    def lying(u: Image, v: Image) -> Image:
        angle = np.arctan2(v, u)
        wave = sum(most * np.cos(k * angle + turn) for k, most, turn in waves)
        ragged = np.maximum(1.0 + wave / form.ragged_waves, form.least_share)
        far = (u * u + v * v) / (radius * ragged) ** 2
        return np.asarray(bright * np.exp(-(far**2)), dtype=np.float32)

    return lying


def _hair(generator: np.random.Generator, pixel_mm: float) -> Lying:
    """Bent, uneven in brightness, fading at its ends."""
    form = DUST.hairs
    half, true = generator.uniform(*form.half_length_mm), generator.uniform(*form.width_mm)
    width = max(true, DUST.plate.least_pixels * pixel_mm)
    bend, turn = generator.normal(0.0, form.bend_per_mm), generator.uniform(0.0, np.pi)
    bright = generator.uniform(*form.bright) * true / width
    wave = generator.uniform(*form.wave_rad_per_mm)

    def lying(u: Image, v: Image) -> Image:
        along = u * np.cos(turn) + v * np.sin(turn)
        across = v * np.cos(turn) - u * np.sin(turn) - bend * along**2
        share = form.uneven_share
        uneven = (1.0 - share) + share * np.cos(wave * along + turn)
        near = np.exp(-((along / half) ** 4) - (across / width) ** 2)
        return np.asarray(bright * uneven * near, dtype=np.float32)

    return lying


def _broken_ring(generator: np.random.Generator) -> Lying:
    """Of a bubble: not quite round, brighter on one side, open on the other."""
    form = DUST.rings
    radius, oval = generator.uniform(*form.radius_mm), generator.uniform(*form.oval_share)
    turn, other = generator.uniform(0.0, ROUND_RAD, 2)

    def lying(u: Image, v: Image) -> Image:
        angle = np.arctan2(v, u)
        away = np.hypot(u, v) - radius * (1.0 + oval * np.cos(2.0 * angle + turn))
        side = (1.0 - form.open_share) + form.open_share * np.cos(angle + other)
        line = np.exp(-((away / form.half_width_mm) ** 2))
        return np.asarray(form.bright * side * line, dtype=np.float32)

    return lying


class DustyPlate(NamedTuple):
    """How what lies there is displayed and spread."""

    grey: float
    cover_share: float
    furthest_mm: float
    least_pixels: float
    beside_share: float
    beside_mm: float
    hair_share: float


class Specks(NamedTuple):
    """Specks."""

    number: float
    radius_mm: float
    most_times: float
    bright: tuple[float, float]
    ragged_share: float
    ragged_waves: float
    least_share: float


class Hairs(NamedTuple):
    """Hairs."""

    half_length_mm: tuple[float, float]
    width_mm: tuple[float, float]
    bend_per_mm: float
    bright: tuple[float, float]
    wave_rad_per_mm: tuple[float, float]
    uneven_share: float


class Rings(NamedTuple):
    """Rings of dried bubbles."""

    number: float
    radius_mm: tuple[float, float]
    oval_share: tuple[float, float]
    half_width_mm: float
    bright: float
    open_share: float


class PlateDust(NamedTuple):
    """What lies on a plate when it is read."""

    plate: DustyPlate
    specks: Specks
    hairs: Hairs
    rings: Rings


DUST = figures_of(PlateDust, "bitewright.film", "plate_dust")

__all__ = ["dusty"]
