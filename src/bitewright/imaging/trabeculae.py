"""Trabeculae: spongiosa that is no even grey, fixed in the jaws so that it moves with the tube.

A look, not a model of bone: two sheets of a random network, before and behind the roots, say at
each pixel how much spongiosa gives way to solid bone or the other way round. The mean stays.
Our choice throughout.
"""

from functools import lru_cache

import numpy as np
from numpy.typing import NDArray
from scipy.ndimage import gaussian_filter, map_coordinates

from bitewright.dentition.jaws import opened
from bitewright.imaging.exposure import Exposures
from bitewright.imaging.receptor_grid import ReceptorGrid
from bitewright.imaging.shells import ShellGroup

Floats = NDArray[np.float64]
Floats32 = NDArray[np.float32]

SHEETS_MM = (8.5, 14.0)
"""Depths of the two sheets before the recording plane. [mm]"""

CELL_MM = 0.16
CELLS = 96
STRUT_CELLS = 1.7
CONTRAST = 0.13
LEAST_MM = 0.3


def with_trabeculae(lengths_mm: Floats32, exposures: Exposures, grid: ReceptorGrid) -> Floats32:
    """Lengths with some spongiosa changed for cortex and back, for the first exposure. [mm]"""
    net = lengths_mm[ShellGroup.SPONGIOSA] - lengths_mm[ShellGroup.LAMINA]
    chosen = net > LEAST_MM
    if not chosen.any():
        return lengths_mm
    rows, columns = np.nonzero(chosen)
    sheets = [
        _network(_points_mouth(exposures, grid.u_mm[columns], grid.v_mm[rows], depth))
        for depth in SHEETS_MM
    ]
    textured = lengths_mm.copy()
    textured[ShellGroup.SPONGIOSA, rows, columns] -= (
        CONTRAST * net[rows, columns] * np.mean(sheets, axis=0)
    ).astype(np.float32)
    return textured


def _points_mouth(exposures: Exposures, u_mm: Floats, v_mm: Floats, depth_mm: float) -> Floats:
    """Where the rays to pixels pass a sheet, jaws closed; below the middle is the lower jaw."""
    axes, centre = exposures.seat.axes_mouth[0], exposures.seat.centres_mouth[0]
    source = axes @ (exposures.beam.sources_mouth[0] - centre)
    share = depth_mm / -source[2]
    near = (1.0 - share) * axes
    points = np.outer(u_mm, near[0]) + np.outer(v_mm, near[1]) + (share * source @ axes + centre)
    lower = v_mm > 0
    points[lower] = opened(
        points[lower],
        exposures.station.outlines.hinge_mm,
        -float(exposures.seat.opening_deg[0]),
    )
    return np.asarray(points)


def _network(points_mouth: Floats) -> Floats:
    """Struts at points, mean 0 and deviation 1; the same on the left as on the right."""
    cells = points_mouth / CELL_MM
    cells[:, 0] = np.abs(cells[:, 0])
    return np.asarray(map_coordinates(_struts(), cells.T % CELLS, order=1, mode="grid-wrap"))


@lru_cache(maxsize=1)
def _struts() -> Floats:
    """A cube of random network that joins itself at its faces."""
    rough = _scrambled(CELLS**3).reshape(CELLS, CELLS, CELLS)
    smooth = gaussian_filter(rough, STRUT_CELLS, mode="wrap")
    struts = np.exp(-((smooth / (0.45 * smooth.std())) ** 2))
    struts = gaussian_filter(struts, 0.5, mode="wrap")
    return np.asarray((struts - struts.mean()) / struts.std())


def _scrambled(count: int) -> Floats:
    """Numbers from -0.5 to 0.5 that follow no pattern: the counting numbers, bits mixed.

    Source: the mixing steps of SplitMix64 (Steele, Lea, Flood 2014), constants from memory.
    """
    mixed = np.arange(1, count + 1, dtype=np.uint64) * np.uint64(0x9E3779B97F4A7C15)
    for shift, factor in ((30, 0xBF58476D1CE4E5B9), (27, 0x94D049BB133111EB)):
        mixed = (mixed ^ (mixed >> np.uint64(shift))) * np.uint64(factor)
    mixed ^= mixed >> np.uint64(31)
    return np.asarray(mixed / 2.0**64 - 0.5)


__all__ = ["with_trabeculae"]
