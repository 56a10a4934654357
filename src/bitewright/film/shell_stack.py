"""Many closed meshes in small pieces, so that what lies beside the receptor is passed over.

Most of a mouth lies beside any one film. Each mesh is cut into the triangles of one cube of space
each; a piece whose ball casts its shadow elsewhere costs next to nothing, and the others stay in
the nearest cache. A piece holds all its vertices, those on a cut are in both: projected by the same
expression they agree to the last bit, so no ray slips through.
"""

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike, NDArray

from bitewright.film.film_screen import empty_screen, project_runs
from bitewright.film.path_lengths import (
    PathLengths,
    pose_matrices,
    summed,
    view_of,
    work_by_row,
)
from bitewright.film.receptor_grid import ReceptorGrid
from bitewright.film.scan_conversion import Sums, add_runs
from bitewright.row_bands import ALONE, Threads
from bitewright.space import ClosedMesh, Pose

Floats = NDArray[np.float64]
Ints = NDArray[np.int64]

CUBE_MM = 4.0
"""Meshes are cut into cubes of this size."""

ROUNDING_MM = 1e-6
"""A ball is larger by this much than what it holds, for what rounding may add."""


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class ShellStack:
    """Pieces of closed meshes as few arrays, for filming again and again.

    Parameters
    ----------
    vertices_mm : (n, 3) float array
        Piece by piece, in the frame of its mesh. [mm]
    triangles : (m, 3) int array
        Corners counted from the piece's first vertex.
    ends : (pieces, 2) int array
        The vertex and the triangle after each piece's last.
    groups, frames : (pieces,) int arrays
        Which sum each piece adds to, and which pose moves it.
    balls_mm : (pieces, 4) float array
        Centre and radius of a ball around each. [mm]
    group_count : int
    """

    vertices_mm: Floats
    triangles: NDArray[np.int32]
    ends: Ints
    groups: NDArray[np.int32]
    frames: NDArray[np.int32]
    balls_mm: Floats
    group_count: int

    @classmethod
    def of(
        cls,
        meshes: Sequence[ClosedMesh],
        groups: Sequence[int],
        *,
        frames: Sequence[int] | None = None,
        group_count: int | None = None,
    ) -> "ShellStack":
        """Cut meshes into cubes and stack them.

        Parameters
        ----------
        meshes : sequence of ClosedMesh
        groups : sequence of int
            Which sum each mesh adds to.
        frames : sequence of int, optional
            Which pose moves each; the first if left out.
        group_count : int, optional
            How many sums; as many as are named if left out.
        """
        frames = [0] * len(meshes) if frames is None else frames
        cut = [in_cubes(mesh) for mesh in meshes]
        pieces = [len(sizes) for _, _, sizes in cut]
        sizes = np.concatenate([np.empty((0, 2), dtype=np.int64), *(sizes for _, _, sizes in cut)])
        vertices = np.concatenate([np.empty((0, 3)), *(vertices for vertices, _, _ in cut)])
        corners = [np.empty((0, 3), dtype=np.int32), *(triangles for _, triangles, _ in cut)]
        ends = np.cumsum(sizes, axis=0)
        return cls(
            vertices_mm=vertices,
            triangles=np.concatenate(corners),
            ends=ends,
            groups=np.repeat(np.asarray(groups, dtype=np.int32), pieces),
            frames=np.repeat(np.asarray(frames, dtype=np.int32), pieces),
            balls_mm=_balls(vertices, ends[:, 0] - sizes[:, 0]),
            group_count=max(groups, default=-1) + 1 if group_count is None else group_count,
        )


def path_lengths_of_stack(
    stack: ShellStack,
    source_receptor_mm: ArrayLike,
    grid: ReceptorGrid,
    *,
    poses: Sequence[Pose] = (Pose.identity(),),
    threads: Threads = ALONE,
) -> PathLengths:
    """As `path_lengths`, for meshes stacked beforehand.

    Parameters
    ----------
    stack : ShellStack
    source_receptor_mm : (3,) float
        The focal spot in the receptor frame; w < 0. [mm]
    grid : ReceptorGrid
    poses : sequence of Pose
        What moves each frame into the receptor's. [mm]
    threads : Threads

    Raises
    ------
    SourceInsideSceneError
    """
    view, matrices = view_of(source_receptor_mm, grid), pose_matrices(poses)

    def add(band: tuple[int, int], sums: Sums, lanes: int) -> float:
        screen = empty_screen(len(stack.vertices_mm))
        is_seen = np.empty(len(stack.ends), dtype=np.bool_)
        nearest = project_runs(
            stack.vertices_mm,
            stack.ends,
            stack.frames,
            stack.balls_mm,
            matrices,
            view,
            band,
            grid.columns,
            screen,
            is_seen,
        )
        add_runs(screen, stack.triangles, stack.ends, stack.groups, is_seen, band, sums, lanes)
        return nearest

    if threads.count == 1:
        return summed(add, stack.group_count, view, grid, threads)
    turn = matrices[stack.frames]
    centres = np.einsum("nij,nj->ni", turn[:, :, :3], stack.balls_mm[:, :3]) + turn[:, :, 3]
    weights = np.diff(stack.ends[:, 0], prepend=0).astype(np.float64)
    work = work_by_row(centres, weights, view, grid)
    return summed(add, stack.group_count, view, grid, threads, work)


def in_cubes(mesh: ClosedMesh) -> tuple[Floats, NDArray[np.int32], Ints]:
    """A mesh cut into cubes of `CUBE_MM`, vertices on a cut in both.

    Returns
    -------
    vertices_mm : (n, 3) float array
        Cube by cube. [mm]
    triangles : (m, 3) int array
        Cube by cube, corners counted from the cube's first vertex.
    sizes : (cubes, 2) int array
        Vertices and triangles in each.
    """
    middles = mesh.vertices_mm[mesh.triangles].mean(axis=1)
    cells = np.floor(middles / CUBE_MM).astype(np.int64)
    order = np.lexsort(cells.T)
    triangles, cells = mesh.triangles[order].astype(np.int64), cells[order]
    cube = np.cumsum(np.any(np.diff(cells, axis=0, prepend=cells[:1]) != 0, axis=1))
    count = len(mesh.vertices_mm)
    held, corners = np.unique(cube[:, None] * count + triangles, return_inverse=True)
    vertex_counts = np.bincount(held // max(count, 1))
    first = np.cumsum(vertex_counts) - vertex_counts
    local = corners.reshape(-1, 3) - first[cube][:, None]
    sizes = np.column_stack([vertex_counts, np.bincount(cube)])
    return mesh.vertices_mm[held % max(count, 1)], local.astype(np.int32), sizes


def _balls(vertices_mm: Floats, firsts: Ints) -> Floats:
    """A ball around each piece, of vertices from these on, shape (pieces, 4). [mm]"""
    if not len(firsts):
        return np.empty((0, 4))
    low = np.minimum.reduceat(vertices_mm, firsts, axis=0)
    high = np.maximum.reduceat(vertices_mm, firsts, axis=0)
    radii = 0.5 * np.linalg.norm(high - low, axis=1) + ROUNDING_MM
    return np.column_stack([0.5 * (low + high), radii])


__all__ = ["ShellStack", "path_lengths_of_stack"]
