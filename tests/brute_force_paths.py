"""Path lengths the slow, plain way: every ray against every triangle, float64, numpy only.

Independent of the code it checks: a ray hits a triangle where three scalar triple products share
a sign; no epsilon, no projection, no rows.
"""

import numpy as np
from numpy.typing import NDArray

Floats = NDArray[np.float64]


def brute_force_lengths_mm(
    vertices_mm: Floats, triangles: NDArray[np.int32], source_mm: Floats, pixels_mm: Floats
) -> tuple[Floats, NDArray[np.int64]]:
    """Length inside closed surfaces on the way to each pixel (n, 3), and entries less exits."""
    a, b, c = (vertices_mm[triangles[:, k]] - source_mm for k in range(3))
    sides = [np.cross(p, q) for p, q in ((b, c), (c, a), (a, b))]
    normals = sides[0] + sides[1] + sides[2]
    heights = np.einsum("ij,ij->i", normals, a)
    lengths_mm, balances = [], []
    for ray in pixels_mm - source_mm:
        s, t, u = (side @ ray for side in sides)
        hit = ((s > 0) & (t > 0) & (u > 0)) | ((s < 0) & (t < 0) & (u < 0))
        along = normals[hit] @ ray
        left = 1.0 - np.minimum(heights[hit] / along, 1.0)
        lengths_mm.append(-(np.sign(along) * left).sum() * np.linalg.norm(ray))
        balances.append(-int(np.sign(along).sum()))
    return np.array(lengths_mm), np.array(balances)
