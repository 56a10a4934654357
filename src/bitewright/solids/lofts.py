"""Closed meshes from stacks of rings: the one way simple solids are made here."""

from collections.abc import Sequence

import numpy as np
from numpy.typing import NDArray

from bitewright.space import ClosedMesh

Floats = NDArray[np.float64]


def loft(rings: Floats, *, start: Floats | None = None, end: Floats | None = None) -> ClosedMesh:
    """Join rings of points into one closed surface, wound outward.

    Parameters
    ----------
    rings : (K, M, 3) float array
        K rings of M points each, all the same way round. [mm]
    start, end : (3,) float arrays, optional
        Points that close the first and the last ring; their middles if left out. [mm]

    Returns
    -------
    ClosedMesh
        In the frame of the points.
    """
    count, around = rings.shape[:2]
    start = rings[0].mean(axis=0) if start is None else start
    end = rings[-1].mean(axis=0) if end is None else end
    vertices = np.vstack([rings.reshape(-1, 3), start, end])
    first = np.arange(around)
    after = np.roll(first, -1)
    walls = []
    for k in range(count - 1):
        low, high = k * around, (k + 1) * around
        walls.append(np.stack([low + first, low + after, high + after], axis=1))
        walls.append(np.stack([low + first, high + after, high + first], axis=1))
    bottom = np.stack([np.full(around, count * around), after, first], axis=1)
    top_ring = (count - 1) * around
    top = np.stack(
        [np.full(around, count * around + 1), top_ring + first, top_ring + after], axis=1
    )
    mesh = ClosedMesh(vertices, np.vstack([*walls, bottom, top]))
    if mesh.volume_mm3 < 0:
        return ClosedMesh(mesh.vertices_mm, mesh.triangles[:, ::-1])
    return mesh


def joined(meshes: Sequence[ClosedMesh]) -> ClosedMesh:
    """Several closed surfaces that do not overlap, as one. They may touch along shared faces."""
    before = np.cumsum([0, *(len(mesh.vertices_mm) for mesh in meshes)])
    triangles = [mesh.triangles + shift for mesh, shift in zip(meshes, before[:-1], strict=True)]
    return ClosedMesh(np.vstack([m.vertices_mm for m in meshes]), np.vstack(triangles))


def box(middle: Floats, axes: Floats, half_mm: Floats) -> ClosedMesh:
    """A box: middle (3,), unit axes (3, 3) as rows, half lengths along them (3,). [mm]"""
    corners = np.array([[-1, -1], [1, -1], [1, 1], [-1, 1]]) * half_mm[:2]
    rings = [
        np.column_stack([corners, np.full(4, z)]) @ axes + middle for z in (-half_mm[2], half_mm[2])
    ]
    return loft(np.stack(rings))


__all__ = ["box", "joined", "loft"]
