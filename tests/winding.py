"""Inside or outside a closed surface, by how often it goes round a point."""

from math import atan2, pi, sqrt

import numpy as np
from numpy.typing import NDArray

from bitewright.compiled import compiled
from bitewright.space import ClosedMesh

Floats = NDArray[np.float64]


def winding(mesh: ClosedMesh, points: Floats) -> Floats:
    """How often a closed surface goes round each point: 1 inside, 0 outside."""
    corners = np.ascontiguousarray(mesh.vertices_mm[mesh.triangles])
    return _windings(corners, np.ascontiguousarray(points, dtype=np.float64))


@compiled
def _windings(corners: Floats, points: Floats) -> Floats:
    """The solid angles of all triangles (n, 3, 3) seen from each point, over that of the sphere."""
    total = np.zeros(len(points))
    for k in range(len(points)):
        px, py, pz = points[k]
        for t in range(len(corners)):
            ax, ay, az = corners[t, 0, 0] - px, corners[t, 0, 1] - py, corners[t, 0, 2] - pz
            bx, by, bz = corners[t, 1, 0] - px, corners[t, 1, 1] - py, corners[t, 1, 2] - pz
            cx, cy, cz = corners[t, 2, 0] - px, corners[t, 2, 1] - py, corners[t, 2, 2] - pz
            la = sqrt(ax * ax + ay * ay + az * az)
            lb = sqrt(bx * bx + by * by + bz * bz)
            lc = sqrt(cx * cx + cy * cy + cz * cz)
            volume = ax * (by * cz - bz * cy) + ay * (bz * cx - bx * cz) + az * (bx * cy - by * cx)
            flat = (
                la * lb * lc
                + (ax * bx + ay * by + az * bz) * lc
                + (bx * cx + by * cy + bz * cz) * la
                + (cx * ax + cy * ay + cz * az) * lb
            )
            total[k] += atan2(volume, flat)
    return total / (2.0 * pi)
