"""How far each ray runs inside each group of closed surfaces."""

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from functools import lru_cache

import numpy as np
from numpy.typing import ArrayLike, NDArray

from bitewright.errors import BitewrightError
from bitewright.film.film_screen import (
    LEAST_CLEARANCE_MM,
    empty_screen,
    part_of,
    project_surface,
)
from bitewright.film.ray_scale import to_millimetres
from bitewright.film.receptor_grid import ReceptorGrid
from bitewright.film.scan_conversion import LANES, Sums, add_surface
from bitewright.row_bands import ALONE, Threads, in_row_bands
from bitewright.solids.fixed_noise import splitmix64
from bitewright.space import ClosedMesh, Pose
from bitewright.steps import Begin, unwatched

Floats = NDArray[np.float64]
Floats32 = NDArray[np.float32]
Ints = NDArray[np.int64]

SAMPLED = 16
"""One vertex in so many tells how work is spread over rows."""

WORK_PER_VERTEX = 16.0
"""Work of a vertex against that of a pixel; only how rows are shared out hangs on it."""


class SourceInsideSceneError(BitewrightError):
    """A surface reaches the plane of the source, so it has no shadow on the receptor."""

    def __init__(self, source_w_mm: float, nearest_w_mm: float) -> None:
        self.source_w_mm = source_w_mm
        self.nearest_w_mm = nearest_w_mm
        super().__init__(
            f"The source lies at w = {source_w_mm:.1f} mm and a surface reaches w = "
            f"{nearest_w_mm:.1f} mm in the receptor frame; the source must lie on the tube side "
            f"(w < 0) with every surface at least {LEAST_CLEARANCE_MM:g} mm further on. "
            "Move the tube back, or check which way the receptor faces."
        )


class UnbalancedPixelsError(BitewrightError):
    """Some rays enter surfaces more often than they leave: a surface is open or turned over."""

    def __init__(self, pixels: int) -> None:
        self.pixels = pixels
        super().__init__(
            f"In {pixels} pixels the rays do not leave the surfaces as often as they enter; every "
            "surface must be closed and wound one way. Check the meshes (ClosedMesh.checked)."
        )


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class PathLengths:
    """Lengths inside each group, along the ray from the source to each pixel's centre.

    Parameters
    ----------
    lengths_mm : (groups, rows, columns) float32 array
        Length of the ray inside the group's surfaces, those it shares counted twice. Rounding
        leaves about 1e-5 mm, of either sign; more only for a ray that runs along a flat wall. [mm]
    signs : (rows, columns) int32 array
        Times a ray enters less times it leaves; exactly 0 everywhere for closed surfaces.
    unbalanced_pixels : int
        In how many it is not 0.
    """

    lengths_mm: NDArray[np.float32]
    signs: NDArray[np.int32]
    unbalanced_pixels: int

    def checked(self) -> "PathLengths":
        """These lengths, or `UnbalancedPixelsError` if a surface was not closed."""
        if self.unbalanced_pixels:
            raise UnbalancedPixelsError(self.unbalanced_pixels)
        return self


def path_lengths(
    meshes: Sequence[ClosedMesh],
    groups: Sequence[int],
    source_receptor_mm: ArrayLike,
    grid: ReceptorGrid,
    *,
    poses: Sequence[Pose] | None = None,
    group_count: int | None = None,
    threads: Threads = ALONE,
    begin: Begin = unwatched,
) -> PathLengths:
    """Length of every ray inside each group of closed meshes, in the receptor frame.

    Our model: a point source; rays end at the receptor plane (w = 0), so what lies behind it counts
    nothing. Meshes must be closed and wound outward; this is not checked here, but shows in
    ``signs``. Exact for the facets but for float32 rounding: measured
    about 1e-6 mm within a body and at most 2e-4 mm along outlines.

    Parameters
    ----------
    meshes : sequence of ClosedMesh
    groups : sequence of int
        Which sum each mesh adds to, counted from 0.
    source_receptor_mm : (3,) float
        The focal spot in the receptor frame; w < 0. [mm]
    grid : ReceptorGrid
    poses : sequence of Pose, optional
        What moves each mesh into the receptor frame; left out, they are in it. [mm]
    group_count : int, optional
        How many sums; as many as are named if left out.
    threads : Threads
        Workers to share the rows among. The result is the same to the last bit.
    begin : Begin
        Called before each surface, from any of the threads; may refuse to go on.

    Raises
    ------
    SourceInsideSceneError
        If a vertex lies less than 1 mm beyond the plane of the source.
    """
    poses = [Pose.identity()] * len(meshes) if poses is None else poses
    matrices = pose_matrices(poses)
    view = view_of(source_receptor_mm, grid)
    most = max((len(mesh.vertices_mm) for mesh in meshes), default=0)

    def add(band: tuple[int, int], sums: Sums, lanes: int) -> float:
        screen, nearest = empty_screen(most), np.inf
        for mesh, group, matrix in zip(meshes, groups, matrices, strict=True):
            begin("the rays' ways")
            part = part_of(screen, 0, len(mesh.vertices_mm))
            surface = (mesh.vertices_mm, matrix, view, band, grid.columns, part)
            here, is_seen = project_surface(*surface)
            if is_seen:
                add_surface(part, mesh.triangles, group, band, sums, lanes)
            nearest = min(nearest, here)
        return nearest

    count = max(groups, default=-1) + 1 if group_count is None else group_count
    if threads.count == 1:
        return summed(add, count, view, grid, threads)
    some = [
        pose.points(mesh.vertices_mm[::SAMPLED]) for mesh, pose in zip(meshes, poses, strict=True)
    ]
    work = work_by_row(np.concatenate([np.empty((0, 3)), *some]), SAMPLED, view, grid)
    return summed(add, count, view, grid, threads, work)


def summed(
    add: Callable[[tuple[int, int], Sums, int], float],
    group_count: int,
    view: Floats,
    grid: ReceptorGrid,
    threads: Threads,
    work: Floats | None = None,
) -> PathLengths:
    """Path lengths by a function that adds surfaces to the rows of a band.

    Parameters
    ----------
    add : callable
        Given a band, the sums and `LANES`; tells how near the source the surfaces come. [mm]
    group_count : int
    view : (6,) float array
        As `view_of` gives it. [mm]
    grid : ReceptorGrid
    threads : Threads
    work : (rows,) float array, optional
        How much there is to do in each row; even if left out.

    Raises
    ------
    SourceInsideSceneError
    """
    depths, is_touched, balances, _, _ = sums = empty_sums(group_count, grid)
    nearest: list[float] = []

    def fill(first_row: int, end_row: int) -> None:
        nearest.append(add((first_row, end_row), sums, min(LANES, grid.columns)))
        to_millimetres(depths, is_touched, view, first_row, end_row)

    in_row_bands(fill, np.ones(grid.rows) if work is None else work, threads)
    if not (view[2] < 0.0 and min(nearest) >= LEAST_CLEARANCE_MM):
        raise SourceInsideSceneError(float(view[2]), float(min(nearest) + view[2]))
    signs, unbalanced = np.zeros(grid.shape, dtype=np.int32), 0
    if balances.any():
        again = empty_sums(group_count, grid, with_steps=True)
        add((0, grid.rows), again, min(LANES, grid.columns))
        signs = np.cumsum(again[-1][:, :-1], axis=1, dtype=np.int32)
        unbalanced = int(np.count_nonzero(signs))
    return PathLengths(lengths_mm=depths, signs=signs, unbalanced_pixels=unbalanced)


def empty_sums(group_count: int, grid: ReceptorGrid, *, with_steps: bool = False) -> Sums:
    """What `add_surface` adds to: `Sums` of nothing yet.

    Parameters
    ----------
    group_count : int
    grid : ReceptorGrid
    with_steps : bool
        Whether the signs' steps from pixel to pixel are wanted.
    """
    steps = (grid.rows if with_steps else 0, grid.columns + 1)
    return (
        np.zeros((group_count, *grid.shape), dtype=np.float32),
        np.zeros((group_count, grid.rows), dtype=np.bool_),
        np.zeros(grid.rows, dtype=np.int64),
        column_codes(grid.columns + 1),
        np.zeros(steps, dtype=np.int32),
    )


@lru_cache(maxsize=8)
def column_codes(count: int) -> Ints:
    """A number of 64 bits for each column, (count,): always the same, without a pattern.

    Times a ray enters a row's pixels less times it leaves, each times its column's code, add up to
    0 for other counts than zeros once in 2^64.
    """
    return splitmix64(count).view(np.int64)


def pose_matrices(poses: Sequence[Pose]) -> Floats:
    """Rotations and shifts side by side, shape (poses, 3, 4)."""
    sides = [np.column_stack([pose.rotation, pose.shift_mm]) for pose in poses]
    return np.array(sides).reshape(-1, 3, 4)


def view_of(source_receptor_mm: ArrayLike, grid: ReceptorGrid) -> Floats:
    """Source and grid as the compiled functions take them, shape (6,)."""
    source = np.asarray(source_receptor_mm, dtype=np.float64).reshape(3)
    return np.array([*source, grid.first_u_mm, grid.first_v_mm, grid.pixel_mm])


def work_by_row(
    points_mm: Floats, weights: Floats | float, view: Floats, grid: ReceptorGrid
) -> Floats:
    """Work expected in each row, from points that stand for so many vertices.

    Parameters
    ----------
    points_mm : (n, 3) float array
        In the receptor frame. [mm]
    weights : (n,) float array or float
        How many vertices each stands for.
    view : (6,) float array
        As `view_of` gives it. [mm]
    grid : ReceptorGrid

    Returns
    -------
    (rows,) float array
        In pixels' work.
    """
    stretch = -view[2] / (points_mm[:, 2] - view[2])
    columns, rows = (
        (view[k] + (points_mm[:, k] - view[k]) * stretch - view[3 + k]) / grid.pixel_mm
        for k in (0, 1)
    )
    inside = (rows >= 0) & (rows < grid.rows) & (columns >= 0) & (columns < grid.columns)
    weights = np.broadcast_to(weights, inside.shape)[inside]
    vertices = np.bincount(rows[inside].astype(np.int64), weights, minlength=grid.rows)
    return np.asarray(WORK_PER_VERTEX * vertices + grid.columns)


__all__ = [
    "PathLengths",
    "SourceInsideSceneError",
    "UnbalancedPixelsError",
    "path_lengths",
    "pose_matrices",
    "summed",
    "view_of",
    "work_by_row",
]
