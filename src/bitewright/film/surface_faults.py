"""Faults of receptor and handling: bent, turned round, scratched, worn, bitten, fogged by light.

Figures: ``tables/surface_faults.toml``.
"""

from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from bitewright.figure_tables import figures_of
from bitewright.film.beam_faults import places_mm
from bitewright.film.plate_edges import worn_edges

Image = NDArray[np.float32]

WHITE = np.float32(255.0)
"""The brightest 8-bit grey."""

LONGEST_SCRATCH_MM = 30.0
"""Direction and pressure of a scratch are drawn for this much of it; further on they stay."""

LEAST_MARK = 1e-6
"""Keeps scratches that all miss the film from a division by nothing."""


def bent_corner(grey: Image, pixel_mm: float, size: float, generator: np.random.Generator) -> Image:
    """A corner bent away: the picture stretched there, a dark crease across it.

    Parameters
    ----------
    grey : (rows, columns) float32 array
        8-bit grey, as displayed.
    pixel_mm : float
        [mm]
    size : float
        Times as large as usual.
    generator : numpy Generator
        Draws where it lies.
    """
    from scipy import ndimage  # noqa: PLC0415  slow to load, and most films have no fault

    form = SURFACE.bent
    u, v = places_mm(grey.shape, pixel_mm)
    side = 1.0 if generator.random() < 0.5 else -1.0
    corner = np.array([side * 0.5 * grey.shape[1], 0.5 * grey.shape[0]]) * pixel_mm
    towards = corner / np.linalg.norm(corner)
    away = u * towards[0] + v * towards[1] - (np.linalg.norm(corner) - form.corner_mm * size)
    bend = np.maximum(away, 0.0)
    pull = -form.pull_per_mm * size * bend**2
    rows, columns = np.indices(grey.shape, dtype=np.float32)
    warped = ndimage.map_coordinates(
        grey,
        [rows + pull * towards[1] / pixel_mm, columns + pull * towards[0] / pixel_mm],
        order=1,
        mode="nearest",
    )
    crease = np.exp(-((away / form.crease_mm) ** 2)) * np.float32(form.crease_share)
    return np.asarray(warped * (1.0 - crease), dtype=np.float32)


def exposed_from_behind(
    grey: Image, pixel_mm: float, size: float, generator: np.random.Generator
) -> Image:
    """Exposed through its back: mirrored, paler, with the pattern of the backing.

    Same shape; else as `bent_corner`.
    """
    del generator
    form = SURFACE.turned_round
    u, v = places_mm(grey.shape, pixel_mm)
    half = 0.5 * form.pitch_mm
    ridge = np.abs(np.mod(u, form.pitch_mm) - half) + np.mod(v, form.pitch_mm)
    pattern = 0.5 + 0.5 * np.cos(2.0 * np.pi * ridge / half)
    left = 1.0 - form.paler_share * min(size, form.paler_size)
    paler = WHITE - (WHITE - grey[:, ::-1]) * left
    return np.asarray(paler + form.pattern_grey * size * (pattern - 0.5), dtype=np.float32)


def scratched(grey: Image, pixel_mm: float, size: float, generator: np.random.Generator) -> Image:
    """Bright fine lines that wander, press harder here and there, and taper off.

    Same shape; else as `bent_corner`.
    """
    from scipy import ndimage  # noqa: PLC0415  slow to load, and most films have no fault

    form = SURFACE.scratches
    marked = np.zeros(grey.shape, dtype=np.float32)
    for _ in range(max(round(form.number * size), 1)):
        start = generator.uniform([0, 0], grey.shape)
        along = np.arange(0.0, generator.uniform(*form.length_mm) * size, 0.5 * pixel_mm)
        turns_at, presses_at = (
            np.arange(0.0, LONGEST_SCRATCH_MM, step) for step in (form.wander_mm, form.pressure_mm)
        )
        turns = generator.normal(0.0, form.wander_rad, len(turns_at))
        first_way = generator.uniform(0.0, 2.0 * np.pi)
        way = first_way + generator.normal(0.0, form.turn_rad_per_mm) * along
        way = way + np.interp(along, turns_at, turns)
        presses = generator.uniform(*form.pressure, len(presses_at))
        pressure = np.interp(along, presses_at, presses)
        ends = np.sin(np.pi * np.linspace(0.0, 1.0, len(along)))
        pressure *= ends**form.taper_power
        rows = start[0] + np.cumsum(np.sin(way)) * 0.5
        columns = start[1] + np.cumsum(np.cos(way)) * 0.5
        keep = (rows >= 0) & (rows < grey.shape[0] - 1) & (columns >= 0)
        keep &= columns < grey.shape[1] - 1
        strength = generator.uniform(*form.strength) ** 2
        marked[rows[keep].astype(int), columns[keep].astype(int)] = strength * pressure[keep]
    wide = ndimage.gaussian_filter(marked, form.blur_mm / pixel_mm + form.blur_pixels)
    most = max(float(wide.max()), LEAST_MARK)
    share = np.clip(wide / most * form.full_times, 0.0, 1.0)
    return np.asarray(grey + (form.grey - grey) * share, dtype=np.float32)


def with_worn_edges(
    grey: Image, pixel_mm: float, size: float, generator: np.random.Generator
) -> Image:
    """Bright along the edges, where a plate's coating is chipped.

    Same shape; else as `bent_corner`.
    """
    cover = worn_edges(grey.shape, pixel_mm, size, generator)
    return np.asarray(grey + (SURFACE.worn.grey - grey) * cover, dtype=np.float32)


def bitten(grey: Image, pixel_mm: float, size: float, generator: np.random.Generator) -> Image:
    """Rows of dents where teeth met the receptor: bright cores, dark rims.

    Same shape; else as `bent_corner`.
    """
    form, reach = SURFACE.bite_marks, SURFACE.bite_marks.along_share
    u, v = places_mm(grey.shape, pixel_mm)
    changed = np.zeros(grey.shape, dtype=np.float32)
    for _ in range(round(form.number * size)):
        at_u = generator.uniform(-reach, reach) * grey.shape[1] * pixel_mm
        at_v = generator.normal(0.0, form.off_mm)
        distance = np.hypot((u - at_u) / form.half_length_mm, (v - at_v) / form.half_height_mm)
        rim = np.exp(-(((distance - form.rim_at) / form.rim_half_width) ** 2))
        changed += form.core_grey * np.exp(-(distance**2)) - form.rim_grey * rim
    return np.asarray(grey + changed, dtype=np.float32)


def light_leaked(
    grey: Image, pixel_mm: float, size: float, generator: np.random.Generator
) -> Image:
    """Light from one side before reading: the latent image pales there.

    Same shape; else as `bent_corner`.
    """
    form = SURFACE.light_leak
    u, v = places_mm(grey.shape, pixel_mm)
    way = generator.uniform(0.0, 2.0 * np.pi)
    across = u * np.cos(way) + v * np.sin(way)
    from_mm = form.from_mm - form.grows_mm * size
    share = form.share / (1.0 + np.exp((from_mm - across) / form.over_mm))
    return np.asarray(grey + (form.grey - grey) * share, dtype=np.float32)


class BentCorner(NamedTuple):
    """A corner bent away."""

    corner_mm: float
    pull_per_mm: float
    crease_mm: float
    crease_share: float


class TurnedRound(NamedTuple):
    """A receptor exposed through its back."""

    pitch_mm: float
    paler_share: float
    paler_size: float
    pattern_grey: float


class Scratches(NamedTuple):
    """Scratches."""

    number: float
    length_mm: tuple[float, float]
    wander_rad: float
    wander_mm: float
    turn_rad_per_mm: float
    pressure: tuple[float, float]
    pressure_mm: float
    taper_power: float
    strength: tuple[float, float]
    blur_mm: float
    blur_pixels: float
    full_times: float
    grey: float


class WornEdges(NamedTuple):
    """How worn edges are displayed."""

    grey: float


class BiteMarks(NamedTuple):
    """Dents where teeth met the receptor."""

    number: float
    along_share: float
    off_mm: float
    half_length_mm: float
    half_height_mm: float
    core_grey: float
    rim_grey: float
    rim_at: float
    rim_half_width: float


class LightLeak(NamedTuple):
    """Light from one side before reading."""

    share: float
    from_mm: float
    grows_mm: float
    over_mm: float
    grey: float


class SurfaceFaults(NamedTuple):
    """Faults of receptor and handling at their usual size."""

    bent: BentCorner
    turned_round: TurnedRound
    scratches: Scratches
    worn: WornEdges
    bite_marks: BiteMarks
    light_leak: LightLeak


SURFACE = figures_of(SurfaceFaults, "bitewright.film", "surface_faults")

__all__ = [
    "WHITE",
    "bent_corner",
    "bitten",
    "exposed_from_behind",
    "light_leaked",
    "scratched",
    "with_worn_edges",
]
