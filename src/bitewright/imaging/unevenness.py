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
from bitewright.dentition.fixed_noise import scrambled
from bitewright.imaging.exposure import Exposures
from bitewright.imaging.receptor_grid import ReceptorGrid
from bitewright.imaging.region import region_frame
from bitewright.imaging.row_bands import ALONE, Threads, in_row_bands
from bitewright.imaging.shells import ShellGroup
from bitewright.imaging.trabeculae import rays_in_jaw, stretched

Floats = NDArray[np.float64]
Floats32 = NDArray[np.float32]

CELLS, CELL_MM = 512, 0.1
"""A pattern repeats after 51 mm."""

TOOTH_SHARE, TOOTH_FALL = 0.014, 0.6
SOFT_SHARE, SOFT_FALL = 0.034, 1.2
"""Deviation of the lengths, and how steeply its amplitude falls with fineness."""

SLOWEST_PER_MM, FINEST_PER_MM = 0.25, 3.5
FACES_MM = (4.0, -4.0)
CHEEK_MM = 22.0
"""How far from the row's middle towards the cheek the sheets stand."""

FINEST_PIXEL_MM = 0.09
PATIENT = 811.0
"""Patients whose jaws differ in length have quite other parts of the pattern."""


def add_unevenness(
    lengths_mm: Floats32, exposures: Exposures, grid: ReceptorGrid, *, threads: Threads = ALONE
) -> None:
    """Make teeth and soft tissue uneven in these lengths, for the first exposure. [mm]"""
    skipped = max(round(FINEST_PIXEL_MM / grid.pixel_mm), 1)
    shape = tuple(-(-(n - 1) // skipped) + 1 for n in grid.shape)
    jaws = np.stack(
        [
            rays_in_jaw(exposures, grid, skipped=skipped, is_lower=is_lower)
            for is_lower in (False, True)
        ]
    )
    at = exposures.station
    frame = region_frame(at.outlines, at.region)
    sheets = np.array([*frame.tongue_mouth, *frame.middle_mouth, frame.lower_rest_mouth[2]])
    hang = np.array(at.outlines.hinge_mm) * PATIENT
    teeth, soft = pattern(TOOTH_FALL), pattern(SOFT_FALL)
    both = np.empty((2, *shape), dtype=np.float32)

    def fill(first_row: int, end_row: int) -> None:
        swells(jaws, sheets, hang, teeth, soft, (first_row, end_row), both)

    in_row_bands(fill, np.ones(shape[0]), threads)
    for share, swell, groups in (
        (TOOTH_SHARE, both[0], (ShellGroup.TOOTH, ShellGroup.DENTINE)),
        (SOFT_SHARE, both[1], (ShellGroup.SOFT_TISSUE,)),
    ):
        factor = np.float32(1.0) + np.float32(share) * swell
        if skipped > 1:
            factor = stretched(stretched(factor, skipped).T, skipped).T[: grid.rows, : grid.columns]
        for group in groups:
            lengths_mm[group] *= factor


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
    jaws: Floats,
    sheets: Floats,
    hang: Floats,
    teeth: Floats32,
    soft: Floats32,
    band: tuple[int, int],
    both: Floats32,
) -> None:
    """Fill rows of a band with the swells of teeth (0) and of soft tissue (1).

    ``jaws`` (2, 4, 3) are rays of upper and lower jaw, ``sheets`` the way to the tongue, a place in
    the row's middle, and the height of the lower cusps.
    """
    for row in range(band[0], band[1]):
        for column in range(both.shape[2]):
            upper = met(jaws[0], sheets, 0.0, row, column)
            lower = met(jaws[1], sheets, 0.0, row, column)
            is_lower = upper[1] - sheets[5] + lower[1] - sheets[6] < 0.0
            rays = jaws[1] if is_lower else jaws[0]
            total = 0.0
            for k in range(2):
                y, z = met(rays, sheets, FACES_MM[k], row, column)
                total += on_sheet(teeth, y + hang[0] + 17.0 * k, z + hang[1])
            both[0, row, column] = total / np.sqrt(2.0)
            y, z = met(jaws[0], sheets, CHEEK_MM, row, column)
            both[1, row, column] = on_sheet(soft, y + hang[0], z + hang[1])


@compiled_loosely
def met(
    rays: Floats, sheets: Floats, out_mm: float, row: int, column: int
) -> tuple[float, float]:
    """Where a ray meets a sheet this far towards the cheek: place along the mouth, and height."""
    before = along = 0.0
    for k in range(3):
        end = rays[1, k] + column * rays[2, k] + row * rays[3, k]
        before += sheets[k] * (sheets[3 + k] - rays[0, k])
        along += sheets[k] * (end - rays[0, k])
    t = (before - out_mm) / along
    y = rays[1, 1] + column * rays[2, 1] + row * rays[3, 1]
    z = rays[1, 2] + column * rays[2, 2] + row * rays[3, 2]
    return rays[0, 1] + t * (y - rays[0, 1]), rays[0, 2] + t * (z - rays[0, 2])


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


__all__ = ["add_unevenness", "pattern"]
