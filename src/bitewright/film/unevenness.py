"""Teeth and soft tissue are nowhere quite even: slow swells of both, fixed in the patient.

Model: patterns on upright sheets along the row: two through the teeth of each jaw, near their
cheek and tongue faces, and one through the cheek. Where a ray meets a sheet, teeth or tissue are a
few hundredths longer or shorter. So the pattern moves with the tube as what lies at that depth
does. Strength at each fineness was fitted to one real plate. Our choice throughout.
"""

from functools import lru_cache

import numpy as np
from numpy.typing import NDArray

from bitewright.compiled import compiled_loosely
from bitewright.exposing.exposure import Exposures
from bitewright.exposing.region_frame import region_frame
from bitewright.film.receptor_grid import ReceptorGrid
from bitewright.film.shells import ShellGroup
from bitewright.film.trabeculae import rays_in_jaw
from bitewright.row_bands import ALONE, Threads, in_row_bands
from bitewright.solids.fixed_noise import scrambled

Floats = NDArray[np.float64]
Floats32 = NDArray[np.float32]

CELLS, CELL_MM = 512, 0.1
"""A pattern repeats after 51 mm."""

TOOTH_SHARE, TOOTH_FALL = 0.024, 0.95
SOFT_SHARE, SOFT_FALL = 0.029, 1.2
"""Deviation of the lengths, and how steeply its amplitude falls with fineness."""

SLOWEST_PER_MM, FINEST_PER_MM = 0.25, 3.5
FACES_MM = (4.0, -4.0)
CHEEK_MM = 22.0
"""How far from the row's middle towards the cheek the sheets stand."""

GROUPS = (
    (ShellGroup.TOOTH, 0),
    (ShellGroup.DENTINE, 0),
    (ShellGroup.SOFT_TISSUE, 1),
)
APART_MM = 17.0
FINEST_PIXEL_MM = 0.09
PATIENT = 811.0
"""Patients whose jaws differ in length have quite other parts of the pattern."""


def add_unevenness(
    lengths_mm: Floats32, exposures: Exposures, grid: ReceptorGrid, *, threads: Threads = ALONE
) -> None:
    """Make teeth and soft tissue uneven in these lengths, for the first exposure. [mm]"""
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
                *((upper, f) for f in FACES_MM),
                *((lower, f) for f in FACES_MM),
                (upper, CHEEK_MM),
            )
        ]
    )
    hang = np.array(at.outlines.hinge_mm) * PATIENT
    sheets[:, :2] += hang[:, None] * sheets[:, 2:]
    levels = frame.middle_mouth[2] + hang[1], frame.lower_rest_mouth[2] + hang[1]
    patterns = pattern(TOOTH_FALL), pattern(SOFT_FALL)
    shape = tuple((n - 1) // skipped + 2 for n in grid.shape)
    both = np.empty((2, *shape), dtype=np.float32)

    def fill(first_row: int, end_row: int) -> None:
        swells(sheets, sum(levels), *patterns, (first_row, end_row), both)

    in_row_bands(fill, np.ones(shape[0]), threads)
    both *= np.array([TOOTH_SHARE, SOFT_SHARE], dtype=np.float32)[:, None, None]

    def lengthen(first_row: int, end_row: int) -> None:
        for group, which in GROUPS:
            lengthen_rows(lengths_mm[group], both[which], skipped, (first_row, end_row))

    in_row_bands(lengthen, np.ones(grid.rows), threads)


def meeting(rays: Floats, place: Floats, normal: Floats) -> Floats:
    """Where rays meet a sheet: place along the mouth, height, and a divisor of both.

    (3, 3) each for the first pixel, and what every column and every row adds.
    """
    source, first, right, down = rays
    ways = np.stack([first - source, right, down])
    depth = (place - source) @ normal
    along = ways @ normal
    return np.stack([source[k] * along + depth * ways[:, k] for k in (1, 2)] + [along])


@lru_cache(maxsize=2)
def pattern(fall: float) -> Floats32:
    """A sheet of swells of all sizes that joins itself at its edges, deviation 1."""
    white = np.fft.rfft2(scrambled((CELLS, CELLS)))
    size = np.hypot(
        np.fft.fftfreq(CELLS, CELL_MM)[:, None], np.fft.rfftfreq(CELLS, CELL_MM)[None, :]
    )
    kept = np.maximum(size, SLOWEST_PER_MM) ** -fall * np.exp(-0.5 * (size / FINEST_PER_MM) ** 2)
    kept *= 1.0 - np.exp(-((size / SLOWEST_PER_MM) ** 2))
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
    """Fill rows of a band with the swells of teeth (0) and of soft tissue (1).

    ``sheets`` (5, 3, 3) are as `meeting` has them: two faces in the upper jaw, two in the lower,
    the cheek. Teeth are the upper jaw's where heights in both jaws add up to more than ``between``.
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
    """Where a pixel's ray meets a sheet: place along the mouth, and height."""
    one = 1.0 / (sheet[2, 0] + column * sheet[2, 1] + row * sheet[2, 2])
    y = sheet[0, 0] + column * sheet[0, 1] + row * sheet[0, 2]
    z = sheet[1, 0] + column * sheet[1, 1] + row * sheet[1, 2]
    return y * one, z * one


@compiled_loosely
def on_sheet(sheet: Floats32, y_mm: float, z_mm: float) -> float:
    """A pattern between its places; its side is a power of two."""
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
    """Make rows of lengths longer by shares known for every so many rows and columns."""
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


__all__ = ["add_unevenness", "pattern"]
