"""Inside or outside a closed surface, by how often it goes round a point."""

import numpy as np
from numpy.typing import NDArray

from bitewright.space import ClosedMesh

Floats = NDArray[np.float64]


def winding(mesh: ClosedMesh, points: Floats) -> Floats:
    """How often a closed surface goes round each point: 1 inside, 0 outside."""
    total = np.empty(len(points))
    corners = mesh.vertices_mm[mesh.triangles]
    for k, point in enumerate(points):
        a, b, c = (corners[:, i] - point for i in range(3))
        la, lb, lc = (np.linalg.norm(x, axis=1) for x in (a, b, c))
        flat = la * lb * lc + (a * b).sum(1) * lc + (b * c).sum(1) * la + (c * a).sum(1) * lb
        total[k] = np.arctan2((a * np.cross(b, c)).sum(1), flat).sum() / (2 * np.pi)
    return total
