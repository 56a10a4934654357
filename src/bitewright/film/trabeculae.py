"""Trabeculae: a network fixed in each jaw and marched along every ray, so it moves with the tube.

The network is drawn aside over millimetres so that struts change direction, softer next to cortex
and deep inside wide bone (`trabecular_network`). Figures: ``tables/trabeculae.toml``.
"""

import numpy as np
from numpy.typing import NDArray

from bitewright.exposing.exposure import Exposures
from bitewright.film.jaw_rays import rays_in_jaw
from bitewright.film.receptor_grid import ReceptorGrid
from bitewright.film.shells import ShellGroup
from bitewright.film.trabecular_network import (
    TRABECULAE,
    WAVE_CELLS,
    Marching,
    march,
    network_cube,
)
from bitewright.row_bands import ALONE, Threads, in_row_bands
from bitewright.solids.spongiosa import SpongiosaField

Floats = NDArray[np.float64]
Floats32 = NDArray[np.float32]

FINE_STEP_MM = 0.2
"""Rays of a full film are marched this finely."""

COARSE_STEP_MM = 0.4
"""Rays of a film with coarse pixels are marched this finely."""

COARSE_FROM_MM = 0.1
"""Pixels are coarse from this size on."""

FINEST_PIXEL_MM = 0.09
"""Rays lie about this far apart: the network holds nothing finer."""


def add_trabeculae(
    lengths_mm: Floats32,
    exposures: Exposures,
    grid: ReceptorGrid,
    fields: tuple[SpongiosaField, ...],
    *,
    threads: Threads = ALONE,
) -> None:
    """Change some spongiosa for cortex and back along the rays of the first exposure.

    Our model: level sets of two Gaussian fields, sheets in one place and rods in another.

    Parameters
    ----------
    lengths_mm : (groups, rows, columns) float32 array
        Lengths in each `ShellGroup`; that in spongiosa is changed in place. [mm]
    exposures : Exposures
        Only the first counts.
    grid : ReceptorGrid
    fields : tuple of SpongiosaField
        Where spongiosa is, jaw by jaw.
    threads : Threads
        The result is the same to the last bit.
    """
    plain = lengths_mm[ShellGroup.SPONGIOSA]
    if not (plain > 0.0).any():
        return
    coarse = grid.pixel_mm >= COARSE_FROM_MM
    skipped = 1 if coarse else max(round(FINEST_PIXEL_MM / grid.pixel_mm), 1)
    step = COARSE_STEP_MM if coarse else FINE_STEP_MM
    rows, columns = (np.arange(0, n + skipped - 1, skipped) for n in grid.shape)
    taken = np.ix_(np.minimum(rows, grid.rows - 1), np.minimum(columns, grid.columns - 1))
    asked = plain[taken]
    more = np.zeros(asked.shape, dtype=np.float32)
    for field in fields:
        rays = rays_in_jaw(exposures, grid, skipped=skipped, is_lower=field.is_lower)
        more += extra_bone_mm(field, rays, asked, step_mm=step, threads=threads)
    roots = TRABECULAE.roots
    beside = np.clip(lengths_mm[ShellGroup.TOOTH][taken] / roots.whole_mm, 0.0, 1.0)
    more *= 1.0 - roots.weaker_share * beside
    if skipped > 1:
        more = stretched(stretched(more, skipped).T, skipped).T[: grid.rows, : grid.columns]
    plain -= more * np.clip(plain / np.float32(TRABECULAE.surface.least_mm), 0.0, 1.0)


def stretched(image: Floats32, times: int) -> Floats32:
    """An image (rows, columns) with rows on straight lines between its own, ``times`` apart."""
    shares = np.arange(times, dtype=np.float32)[:, None] / np.float32(times)
    between_rows = image[:-1, None] + shares * np.diff(image, axis=0)[:, None]
    return np.concatenate([between_rows.reshape(-1, image.shape[1]), image[-1:]])


def extra_bone_mm(
    field: SpongiosaField,
    rays: Floats,
    spongiosa_mm: Floats32,
    *,
    step_mm: float,
    threads: Threads = ALONE,
) -> Floats32:
    """Bone beyond the even material's along each ray, as a length of cortex.

    Parameters
    ----------
    field : SpongiosaField
    rays : (4, 3) float array
        As `rays_in_jaw` gives them. [mm]
    spongiosa_mm : (rows, columns) float32 array
        Length of spongiosa on each ray; rays without any are left out. [mm]
    step_mm : float
        How finely rays are marched. [mm]
    threads : Threads

    Returns
    -------
    (rows, columns) float32 array
        [mm]
    """
    jaw = TRABECULAE.lower if field.is_lower else TRABECULAE.upper
    scale = WAVE_CELLS / (2.0 * np.array([jaw.along_mm, jaw.across_mm, jaw.upright_mm]))
    turns = [field.axes_mouth / field.cell_mm, scale[:, None] * field.grain_axes_mouth]
    origins = field.origin_mouth, field.grain_origin_mouth
    cells = np.concatenate(
        [
            np.column_stack([turn, -turn @ origin])
            for turn, origin in zip(turns, origins, strict=True)
        ]
    )
    marching = Marching(step_mm=step_mm, jaw=jaw, figures=TRABECULAE)
    asked = np.ascontiguousarray(spongiosa_mm > 0.0)
    extra = np.zeros(asked.shape, dtype=np.float32)

    cube = network_cube()  # before threads ask for it at once

    def fill(first_row: int, end_row: int) -> None:
        band = first_row, end_row
        march(rays, cells, field.distance_mm, cube, marching, asked, band, extra)

    in_row_bands(fill, 1.0 + np.count_nonzero(asked, axis=1), threads)
    return extra


__all__ = ["add_trabeculae", "extra_bone_mm", "stretched"]
