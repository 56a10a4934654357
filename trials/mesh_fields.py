"""A closed mesh as a field on a tooth's grid: how far each place lies from it, negative inside."""

from math import ceil, floor

import numpy as np
from numpy.typing import NDArray

from bitewright.compiled import compiled
from bitewright.solids.tooth_grid import ToothGrid
from bitewright.space import ClosedMesh

Floats = NDArray[np.float64]
Ints = NDArray[np.int64]

BAND_MM = 2.5
"""Further off the field is this alone: enamel is nowhere as thick. Our choice."""

ASIDE_MM = 1e-5
"""Columns of the grid run beside its places by so little, so that none meets a mesh's corner."""


def mesh_field(mesh: ClosedMesh, grid: ToothGrid, *, step_mm: float) -> Floats:
    """Distance of a grid's places (X, Y, Z) from a mesh in the same axes, negative inside. [mm]

    Exact within `BAND_MM`. Bodies inside one another count as one; they must all be wound outward.
    """
    corners = np.ascontiguousarray(mesh.vertices_mm[mesh.triangles])
    shape = np.array([grid.mesial.size, grid.buccal.size, grid.height.size])
    apart = np.sqrt(_apart(corners, grid.low_mm, step_mm, shape, BAND_MM))
    rounds = _rounds(corners, grid.low_mm + ASIDE_MM * np.array([1.0, np.sqrt(2.0), 0.0]),
                     step_mm, shape)  # fmt: skip
    return np.asarray(np.where(rounds > 0, -apart, apart))


@compiled
def _rounds(corners: Floats, low: Floats, step: float, shape: Ints) -> Ints:
    """How often the surface goes round each place, by what a line straight up passes."""
    found = np.zeros((shape[0], shape[1], shape[2]), np.int64)
    for t in range(len(corners)):
        ax, ay, az = corners[t, 0, 0], corners[t, 0, 1], corners[t, 0, 2]
        bx, by, bz = corners[t, 1, 0], corners[t, 1, 1], corners[t, 1, 2]
        cx, cy, cz = corners[t, 2, 0], corners[t, 2, 1], corners[t, 2, 2]
        area = (bx - ax) * (cy - ay) - (by - ay) * (cx - ax)
        if area == 0.0:
            continue
        way = 1 if area > 0.0 else -1
        first_i = max(0, ceil((min(ax, bx, cx) - low[0]) / step))
        end_i = min(shape[0], floor((max(ax, bx, cx) - low[0]) / step) + 1)
        first_j = max(0, ceil((min(ay, by, cy) - low[1]) / step))
        end_j = min(shape[1], floor((max(ay, by, cy) - low[1]) / step) + 1)
        for i in range(first_i, end_i):
            x = low[0] + step * i
            for j in range(first_j, end_j):
                y = low[1] + step * j
                a = ((bx - x) * (cy - y) - (by - y) * (cx - x)) / area
                b = ((cx - x) * (ay - y) - (cy - y) * (ax - x)) / area
                c = 1.0 - a - b
                if a < 0.0 or b < 0.0 or c < 0.0:
                    continue
                below = ceil((a * az + b * bz + c * cz - low[2]) / step)
                for k in range(min(max(below, 0), shape[2])):
                    found[i, j, k] += way
    return found


@compiled
def _apart(corners: Floats, low: Floats, step: float, shape: Ints, band: float) -> Floats:
    """Squared distance of each place from the nearest triangle, the band's at most. [mm2]"""
    found = np.full((shape[0], shape[1], shape[2]), band * band)
    first, end = np.empty(3, np.int64), np.empty(3, np.int64)
    for t in range(len(corners)):
        for axis in range(3):
            least = min(corners[t, 0, axis], corners[t, 1, axis], corners[t, 2, axis])
            most = max(corners[t, 0, axis], corners[t, 1, axis], corners[t, 2, axis])
            first[axis] = max(0, ceil((least - band - low[axis]) / step))
            end[axis] = min(shape[axis], floor((most + band - low[axis]) / step) + 1)
        ax, ay, az = corners[t, 0, 0], corners[t, 0, 1], corners[t, 0, 2]
        ux, uy, uz = corners[t, 1, 0] - ax, corners[t, 1, 1] - ay, corners[t, 1, 2] - az
        vx, vy, vz = corners[t, 2, 0] - ax, corners[t, 2, 1] - ay, corners[t, 2, 2] - az
        uu, uv, vv = (
            ux * ux + uy * uy + uz * uz,
            ux * vx + uy * vy + uz * vz,
            vx * vx + vy * vy + vz * vz,
        )
        for i in range(first[0], end[0]):
            for j in range(first[1], end[1]):
                for k in range(first[2], end[2]):
                    px = low[0] + step * i - ax
                    py = low[1] + step * j - ay
                    pz = low[2] + step * k - az
                    d1, d2 = ux * px + uy * py + uz * pz, vx * px + vy * py + vz * pz
                    s, r = _shares(d1, d2, uu, uv, vv)
                    x, y, z = px - s * ux - r * vx, py - s * uy - r * vy, pz - s * uz - r * vz
                    square = x * x + y * y + z * z
                    found[i, j, k] = min(found[i, j, k], square)
    return found


@compiled
def _shares(d1: float, d2: float, uu: float, uv: float, vv: float) -> tuple[float, float]:
    """How far along both sides of a triangle its point nearest to a place lies, as shares.

    ``d1``, ``d2``: both sides times the way to the place; ``uu``, ``uv``, ``vv``: the sides' own.
    Model: by regions (Ericson, Real-Time Collision Detection 2005, 5.1.5, from memory).
    """
    d3, d4, d5, d6 = d1 - uu, d2 - uv, d1 - uv, d2 - vv
    va, vb, vc = d3 * d6 - d5 * d4, d5 * d2 - d1 * d6, d1 * d4 - d3 * d2
    if d1 <= 0.0 and d2 <= 0.0:
        return 0.0, 0.0
    if d3 >= 0.0 and d4 <= d3:
        return 1.0, 0.0
    if d6 >= 0.0 and d5 <= d6:
        return 0.0, 1.0
    s, r = vb / (va + vb + vc), vc / (va + vb + vc)
    if vc <= 0.0 and d1 >= 0.0 and d3 <= 0.0:
        s, r = d1 / (d1 - d3), 0.0
    elif vb <= 0.0 and d2 >= 0.0 and d6 <= 0.0:
        s, r = 0.0, d2 / (d2 - d6)
    elif va <= 0.0 and d4 - d3 >= 0.0 and d5 - d6 >= 0.0:
        r = (d4 - d3) / ((d4 - d3) + (d5 - d6))
        s = 1.0 - r
    return s, r


__all__ = ["BAND_MM", "mesh_field"]
