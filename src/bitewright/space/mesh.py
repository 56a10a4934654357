"""Closed triangle meshes, wound outward: what the film's path lengths are summed over."""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from bitewright.errors import BitewrightError
from bitewright.space.pose import Pose


class OpenMeshError(BitewrightError):
    """A mesh has a hole, a doubled edge or mixed winding: no length through it is defined."""

    def __init__(self, unmatched_edges: int) -> None:
        self.unmatched_edges = unmatched_edges
        super().__init__(
            f"The mesh is not closed: {unmatched_edges} edges lack a neighbour running the other "
            "way; every edge must be shared by two triangles with the same winding. Repair the "
            "mesh (fill holes, make the winding consistent) and give it again."
        )


@dataclass(frozen=True, slots=True, eq=False)
class ClosedMesh:
    """A closed surface, triangles wound anticlockwise seen from outside.

    Parameters
    ----------
    vertices_mm : (n, 3) float array
        In whichever frame the holder of the mesh names. [mm]
    triangles : (m, 3) int array
        Rows of indices into the vertices.
    """

    vertices_mm: NDArray[np.float64]
    triangles: NDArray[np.int32]

    def __post_init__(self) -> None:
        object.__setattr__(self, "vertices_mm", np.ascontiguousarray(self.vertices_mm, np.float64))
        object.__setattr__(self, "triangles", np.ascontiguousarray(self.triangles, np.int32))

    @property
    def volume_mm3(self) -> float:
        """Enclosed volume; negative when wound inside out. [mm3]"""
        a, b, c = (self.vertices_mm[self.triangles[:, k]] for k in range(3))
        return float(np.einsum("ij,ij->i", a, np.cross(b, c)).sum() / 6.0)

    def moved(self, pose: Pose) -> "ClosedMesh":
        """The same surface carried by a rigid movement."""
        return ClosedMesh(pose.points(self.vertices_mm), self.triangles)

    def in_axes(self, axes: NDArray[np.float64], origin_mm: NDArray[np.float64]) -> "ClosedMesh":
        """The surface of places along axes (3, 3), as rows, from an origin (3,), in their frame.

        Left-handed axes mirror it: its triangles are wound the other way, outward again.
        """
        triangles = self.triangles if np.linalg.det(axes) > 0 else self.triangles[:, ::-1]
        return ClosedMesh(self.vertices_mm @ axes + origin_mm, triangles)

    def unmatched_edge_count(self) -> int:
        """How many directed edges lack their opposite (0 for a closed, consistent mesh)."""
        ends = np.concatenate([self.triangles[:, [k, (k + 1) % 3]] for k in range(3)])
        low, high = ends.min(axis=1).astype(np.int64), ends.max(axis=1)
        _, edge = np.unique(low * len(self.vertices_mm) + high, return_inverse=True)
        runs = np.bincount(edge, weights=np.sign(ends[:, 1] - ends[:, 0]))
        return int(np.abs(runs).sum())

    def checked(self) -> "ClosedMesh":
        """This mesh, or `OpenMeshError` if it is not closed and consistently wound."""
        unmatched = self.unmatched_edge_count()
        if unmatched:
            raise OpenMeshError(unmatched)
        return self


__all__ = ["ClosedMesh", "OpenMeshError"]
