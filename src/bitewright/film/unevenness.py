"""Teeth and soft tissue are nowhere quite even: slow swells of both, fixed in the patient.

Our model: patterns on upright sheets along the row: two through the teeth of each jaw, near their
cheek and tongue faces, and one through the cheek. Where a ray meets a sheet, teeth or tissue are a
few hundredths longer or shorter. So the pattern moves with the tube as what lies at that depth
does. Figures: ``tables/unevenness.toml``.
"""

from functools import lru_cache
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from bitewright.compiled import compiled_loosely
from bitewright.exposing.exposure import Exposures
from bitewright.exposing.region_frame import region_frame
from bitewright.figure_tables import figures_of
from bitewright.film.jaw_rays import rays_in_jaw
from bitewright.film.receptor_grid import ReceptorGrid
from bitewright.film.shells import ShellGroup
from bitewright.row_bands import ALONE, Threads, in_row_bands
from bitewright.solids.fixed_noise import scrambled

Floats = NDArray[np.float64]
Floats32 = NDArray[np.float32]

CELLS = 512
"""Places along each side of a pattern, which repeats for ever; a power of two."""

CELL_MM = 0.1
"""Distance of its places: it repeats after 51 mm."""

APART_MM = 17.0
"""The second sheet of a jaw's teeth shows a part of the pattern this far from the first's."""

FINEST_PIXEL_MM = 0.09
"""Rays lie about this far apart: patterns hold nothing finer."""

HINGE_TIMES = 811.0
"""Patterns are moved by the place of the jaw's hinge times this: mouths that differ in length by
hundredths of a millimetre show quite other parts of them."""

GROUPS = (
    (ShellGroup.TOOTH, 0),
    (ShellGroup.DENTINE, 0),
    (ShellGroup.SOFT_TISSUE, 1),
)
"""Which lengths are uneven, and by which of the two patterns: the teeth's or the soft tissue's."""


def add_unevenness(
    lengths_mm: Floats32, exposures: Exposures, grid: ReceptorGrid, *, threads: Threads = ALONE
) -> None:
    """Make teeth and soft tissue uneven along the rays of the first exposure.

    Parameters
    ----------
    lengths_mm : (groups, rows, columns) float32 array
        Lengths in each `ShellGroup`, changed in place. [mm]
    exposures : Exposures
        Only the first counts.
    grid : ReceptorGrid
    threads : Threads
        The result is the same to the last bit.
    """
    stand, tooth, soft = UNEVENNESS.sheets, UNEVENNESS.tooth, UNEVENNESS.soft_tissue
    faces = stand.cheek_face_mm, stand.tongue_face_mm
    skipped = max(round(FINEST_PIXEL_MM / grid.pixel_mm), 1)
    at = exposures.station
    frame = region_frame(at.outlines, at.region)
    upper, lower = (
        rays_in_jaw(exposures, grid, skipped=skipped, is_lower=is_lower)
        for is_lower in (False, True)
    )
    sheets = np.stack(
        [
            meeting(rays, frame.middle_mouth - out * frame.tongue_mouth, frame.tongue_mouth)
            for rays, out in (
                *((upper, f) for f in faces),
                *((lower, f) for f in faces),
                (upper, stand.cheek_mm),
            )
        ]
    )
    hang = np.array(at.outlines.hinge_mm) * HINGE_TIMES
    sheets[:, :2] += hang[:, None] * sheets[:, 2:]
    levels = frame.middle_mouth[2] + hang[1], frame.lower_rest_mouth[2] + hang[1]
    patterns = pattern(tooth.fall), pattern(soft.fall)
    shape = tuple((n - 1) // skipped + 2 for n in grid.shape)
    both = np.empty((2, *shape), dtype=np.float32)

    def fill(first_row: int, end_row: int) -> None:
        swells(sheets, sum(levels), *patterns, (first_row, end_row), both)

    in_row_bands(fill, np.ones(shape[0]), threads)
    both *= np.array([tooth.share, soft.share], dtype=np.float32)[:, None, None]

    def lengthen(first_row: int, end_row: int) -> None:
        for group, which in GROUPS:
            lengthen_rows(lengths_mm[group], both[which], skipped, (first_row, end_row))

    in_row_bands(lengthen, np.ones(grid.rows), threads)


def meeting(rays: Floats, place: Floats, normal: Floats) -> Floats:
    """Where rays meet a sheet that stands at a place, square to a normal.

    Parameters
    ----------
    rays : (4, 3) float array
        As `rays_in_jaw` gives them. [mm]
    place, normal : (3,) float arrays
        [mm], unit length

    Returns
    -------
    (3, 3) float array
        Rows: place along the mouth, height, and what both are divided by; columns: for the first
        pixel, and what every column and every row adds.
    """
    source, first, right, down = rays
    ways = np.stack([first - source, right, down])
    depth = (place - source) @ normal
    along = ways @ normal
    return np.stack([source[k] * along + depth * ways[:, k] for k in (1, 2)] + [along])


@lru_cache(maxsize=2)
def pattern(fall: float) -> Floats32:
    """A sheet of swells of all sizes that joins itself at its edges, deviation 1.

    Our model: white noise, its amplitude falling with fineness.

    Parameters
    ----------
    fall : float
        The power by which it falls.

    Returns
    -------
    (N, N) float32 array
        N is `CELLS`.
    """
    slowest, finest = UNEVENNESS.band.slowest_per_mm, UNEVENNESS.band.finest_per_mm
    white = np.fft.rfft2(scrambled((CELLS, CELLS)))
    size = np.hypot(
        np.fft.fftfreq(CELLS, CELL_MM)[:, None], np.fft.rfftfreq(CELLS, CELL_MM)[None, :]
    )
    kept = np.maximum(size, slowest) ** -fall * np.exp(-0.5 * (size / finest) ** 2)
    kept *= 1.0 - np.exp(-((size / slowest) ** 2))
    swell = np.fft.irfft2(white * kept, s=(CELLS, CELLS))
    return np.asarray(swell / swell.std(), dtype=np.float32)


@compiled_loosely
def swells(
    sheets: Floats,
    between: float,
    teeth: Floats32,
    soft: Floats32,
    band: tuple[int, int],
    both: Floats32,
) -> None:
    """Fill rows of a band with the swells of teeth and of soft tissue.

    Parameters
    ----------
    sheets : (5, 3, 3) float array
        As `meeting` has them: two faces in the upper jaw, two in the lower, the cheek.
    between : float
        Teeth are the upper jaw's where heights in both jaws add up to more than this. [mm]
    teeth, soft : (N, N) float32 arrays
        Patterns.
    band : tuple
        First row and the row after the last.
    both : (2, rows, columns) float32 array
        Filled: teeth, soft tissue.
    """
    for row in range(band[0], band[1]):
        for column in range(both.shape[2]):
            _, high = met(sheets[0], row, column)
            _, low = met(sheets[2], row, column)
            first = 0 if high + low > between else 2
            total = 0.0
            for k in range(2):
                y, z = met(sheets[first + k], row, column)
                total += on_sheet(teeth, y + APART_MM * k, z)
            both[0, row, column] = total / np.sqrt(2.0)
            y, z = met(sheets[4], row, column)
            both[1, row, column] = on_sheet(soft, y, z)


@compiled_loosely
def met(sheet: Floats, row: int, column: int) -> tuple[float, float]:
    """Where a pixel's ray meets a sheet (3, 3): place along the mouth, and height. [mm]"""
    one = 1.0 / (sheet[2, 0] + column * sheet[2, 1] + row * sheet[2, 2])
    y = sheet[0, 0] + column * sheet[0, 1] + row * sheet[0, 2]
    z = sheet[1, 0] + column * sheet[1, 1] + row * sheet[1, 2]
    return y * one, z * one


@compiled_loosely
def on_sheet(sheet: Floats32, y_mm: float, z_mm: float) -> float:
    """A pattern (N, N) between its places, N a power of two."""
    y, z = y_mm / CELL_MM, z_mm / CELL_MM
    i, j = int(np.floor(y)), int(np.floor(z))
    a, b = y - i, z - j
    last = sheet.shape[0] - 1
    i, j, i1, j1 = i & last, j & last, (i + 1) & last, (j + 1) & last
    p = sheet[i, j] + b * (sheet[i, j1] - sheet[i, j])
    q = sheet[i1, j] + b * (sheet[i1, j1] - sheet[i1, j])
    return float(p + a * (q - p))


@compiled_loosely
def lengthen_rows(
    lengths_mm: Floats32, shares: Floats32, skipped: int, band: tuple[int, int]
) -> None:
    """Make rows of lengths longer by shares that are known for every so many rows and columns.

    Parameters
    ----------
    lengths_mm : (rows, columns) float32 array
        Changed in place. [mm]
    shares : (rows / skipped + 1, columns / skipped + 1) float32 array
    skipped : int
    band : tuple
        First row and the row after the last.
    """
    step = np.float32(1.0) / np.float32(skipped)
    line = np.empty(shares.shape[1], dtype=np.float32)
    for row in range(band[0], band[1]):
        k = min(row // skipped, shares.shape[0] - 2)
        down = np.float32(row - k * skipped) * step
        for column in range(shares.shape[1]):
            line[column] = shares[k, column] + down * (shares[k + 1, column] - shares[k, column])
        for k in range(shares.shape[1] - 1):
            more = (line[k + 1] - line[k]) * step
            for i in range(min(skipped, lengths_mm.shape[1] - k * skipped)):
                lengths_mm[row, k * skipped + i] *= np.float32(1.0) + line[k] + np.float32(i) * more


class TissueSwells(NamedTuple):
    """How strong a tissue's swells are."""

    share: float
    fall: float


class SwellBand(NamedTuple):
    """Which swells there are."""

    slowest_per_mm: float
    finest_per_mm: float


class SwellSheets(NamedTuple):
    """Where the sheets stand that swells lie on."""

    cheek_face_mm: float
    tongue_face_mm: float
    cheek_mm: float


class Unevenness(NamedTuple):
    """How uneven teeth and soft tissue are."""

    tooth: TissueSwells
    soft_tissue: TissueSwells
    band: SwellBand
    sheets: SwellSheets


UNEVENNESS = figures_of(Unevenness, "bitewright.film", "unevenness")

__all__ = ["add_unevenness", "pattern"]
