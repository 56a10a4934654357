"""From projected triangles to a signed depth in every pixel they cover.

Depth is kept as g = 1/t - 1, t being the fraction of the way from the source to the receptor
plane. For a flat triangle g is an affine function of the place on the receptor, so perspective is
exact; at the receptor g is 0, and g/(1 + g) = 1 - t is what is summed: plus where a ray enters a
surface, minus where it leaves. The sum over a closed surface, times the distance from source to
pixel, is the length inside it: in any order, without sorting, without an epsilon.

Every edge is turned into pixels by one expression from its upper end to its lower, so the two
triangles that share it agree to the last bit on which pixels are whose. For that the compiler must
not reorder or fuse that expression differently in different places, hence no fast-math in this
file. The sign comes from the same turning into pixels, never from a normal computed apart.
"""

import math

import numpy as np
from numpy.typing import NDArray

from bitewright.compiled import compiled

Floats32 = NDArray[np.float32]
ZERO = np.float32(0.0)
ONE = np.float32(1.0)


@compiled
def projected(
    vertices_mm: NDArray[np.float64],
    source_mm: NDArray[np.float64],
    first_u_mm: float,
    first_v_mm: float,
    pixel_mm: float,
) -> Floats32:
    """Column, row and depth g of every vertex, shape (n, 3), from the receptor frame."""
    out = np.empty((vertices_mm.shape[0], 3), dtype=np.float32)
    source_u, source_v, source_w = source_mm
    for i in range(vertices_mm.shape[0]):
        from_source = vertices_mm[i, 2] - source_w
        stretch = -source_w / from_source
        u = source_u + (vertices_mm[i, 0] - source_u) * stretch
        v = source_v + (vertices_mm[i, 1] - source_v) * stretch
        out[i, 0] = (u - first_u_mm) / pixel_mm
        out[i, 1] = (v - first_v_mm) / pixel_mm
        out[i, 2] = -vertices_mm[i, 2] / from_source
    return out


@compiled
def add_triangles(
    screen: Floats32,
    triangles: NDArray[np.int32],
    triangle_groups: NDArray[np.int32],
    first_row: int,
    end_row: int,
    depths: Floats32,
    signs: NDArray[np.int32],
) -> None:
    """Add every triangle's signed depth to the rows from first_row to before end_row.

    ``depths`` is (groups, rows, columns), ``signs`` (rows, columns). Triangles are taken in order,
    so a pixel's sum does not depend on how the rows are shared out among threads.
    """
    columns = depths.shape[2]
    for k in range(triangles.shape[0]):
        a, b, c = index(triangles[k, 0]), index(triangles[k, 1]), index(triangles[k, 2])
        sign = -1  # a face wound anticlockwise as the source sees it is an entry: plus
        y_a, y_b, y_c = screen[a, 1], screen[b, 1], screen[c, 1]
        start = max(ceiling(min(y_a, y_b, y_c)), first_row)
        end = min(ceiling(max(y_a, y_b, y_c)), end_row)
        if start >= end:
            continue
        if y_b < y_a:  # from here a is the upper, b the middle, c the lower vertex
            a, b, y_a, y_b, sign = b, a, y_b, y_a, -sign
        if y_c < y_a:
            a, c, y_a, y_c, sign = c, a, y_c, y_a, -sign
        if y_c < y_b:
            b, c, y_b, y_c, sign = c, b, y_c, y_b, -sign
        x_a, x_b, x_c = screen[a, 0], screen[b, 0], screen[c, 0]
        if max(x_a, x_b, x_c) <= 0 or min(x_a, x_b, x_c) > columns - 1:
            continue
        slope_ac = edge_slope(x_a, y_a, x_c, y_c)
        slope_ab = edge_slope(x_a, y_a, x_b, y_b)
        slope_bc = edge_slope(x_b, y_b, x_c, y_c)
        g_a, g_b, g_c = screen[a, 2], screen[b, 2], screen[c, 2]
        per_column, per_row = depth_slopes(
            x_b - x_a, y_b - y_a, g_b - g_a, x_c - x_a, y_c - y_a, g_c - g_a
        )
        nearest = max(g_a, g_b, g_c, ZERO)
        farthest = max(min(g_a, g_b, g_c), ZERO)
        middle = index(max(ceiling(y_b), start))
        group = index(triangle_groups[k])
        for row in range(index(start), index(end)):
            left = edge_column(x_a, y_a, slope_ac, row)
            right = (
                edge_column(x_a, y_a, slope_ab, row)
                if row < middle
                else edge_column(x_b, y_b, slope_bc, row)
            )
            here = sign
            if right < left:
                left, right, here = right, left, -sign
            first = first_column(left, columns)
            last = first_column(right, columns)
            g_line = g_a + per_row * (np.float32(row) - y_a) - per_column * x_a
            for column in range(first, last):
                g = g_line + per_column * np.float32(column)
                g = min(max(g, farthest), nearest)
                depths[group, row, column] += np.float32(here) * (g / (ONE + g))
                signs[row, column] += here


@compiled
def index(i: int) -> int:
    """An index known not to be negative: spares the test for counting from the end."""
    return np.uint64(i)  # type: ignore[return-value]  # a whole number either way


@compiled
def ceiling(x: np.float32) -> int:
    """Least whole number not below x; several times quicker here than math.ceil."""
    towards_zero = int(x)
    return towards_zero + int(np.float32(towards_zero) < x)


@compiled
def edge_slope(
    x_upper: np.float32, y_upper: np.float32, x_lower: np.float32, y_lower: np.float32
) -> np.float32:
    """Columns per row along an edge; 0 for a level edge, which covers no row."""
    if y_lower == y_upper:
        return ZERO
    return (x_lower - x_upper) / (y_lower - y_upper)


@compiled
def edge_column(
    x_upper: np.float32, y_upper: np.float32, slope: np.float32, row: int
) -> np.float32:
    """Column where an edge crosses a row: the one expression both its triangles use."""
    return x_upper + (np.float32(row) - y_upper) * slope


@compiled
def first_column(x: np.float32, columns: int) -> int:
    """First pixel centre at or right of x, within the image."""
    return index(ceiling(min(max(x, ZERO), np.float32(columns))))


@compiled
def depth_slopes(
    x_ab: np.float32,
    y_ab: np.float32,
    g_ab: np.float32,
    x_ac: np.float32,
    y_ac: np.float32,
    g_ac: np.float32,
) -> tuple[np.float32, np.float32]:
    """Change of depth per column and per row; level if the triangle is seen as a line."""
    area = x_ab * y_ac - x_ac * y_ab
    if area == ZERO:
        return ZERO, ZERO
    return (g_ab * y_ac - g_ac * y_ab) / area, (g_ac * x_ab - g_ab * x_ac) / area


@compiled
def to_millimetres(
    depths: Floats32,
    source_mm: NDArray[np.float64],
    first_u_mm: float,
    first_v_mm: float,
    pixel_mm: float,
    first_row: int,
    end_row: int,
) -> None:
    """Turn fractions of the way from source to pixel into mm, in place."""
    for row in range(first_row, end_row):
        v = first_v_mm + pixel_mm * row - source_mm[1]
        aside = v * v + source_mm[2] * source_mm[2]
        for column in range(depths.shape[2]):
            u = first_u_mm + pixel_mm * column - source_mm[0]
            whole_mm = np.float32(math.sqrt(u * u + aside))
            for group in range(depths.shape[0]):
                depths[group, row, column] *= whole_mm


__all__ = ["add_triangles", "projected", "to_millimetres"]
