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

Floats = NDArray[np.float64]
Floats32 = NDArray[np.float32]
LEAST_CLEARANCE_MM = 1.0
ZERO = np.float32(0.0)
ONE = np.float32(1.0)


@compiled
def add_runs(
    vertices_mm: Floats,
    triangles: NDArray[np.int32],
    run_ends: NDArray[np.int64],
    run_groups: NDArray[np.int32],
    run_frames: NDArray[np.int32],
    balls_mm: Floats,
    to_receptor: Floats,
    view: Floats,
    band: tuple[int, int],
    depths: Floats32,
    signs: NDArray[np.int32],
) -> float:
    """Add many small surfaces, those passed over whose ball casts no shadow on the band's rows.

    Run k ends before vertex ``run_ends[k, 0]`` and triangle ``run_ends[k, 1]``, whose corners are
    counted from the run's first vertex; ``to_receptor[run_frames[k]]`` moves it. The rest as
    `add_surface`.
    """
    most, start = 0, 0
    for end in run_ends[:, 0]:
        most, start = max(most, end - start), end
    screen = np.empty((most, 3), dtype=np.float32)
    vertex, triangle, nearest = 0, 0, np.inf
    for k in range(run_ends.shape[0]):
        vertex_end, triangle_end = run_ends[k, 0], run_ends[k, 1]
        pose = to_receptor[run_frames[k]]
        if not passes_by(balls_mm[k], pose, view, band, depths.shape[2]):
            here = add_surface(
                vertices_mm[vertex:vertex_end],
                triangles[triangle:triangle_end],
                run_groups[k],
                pose,
                view,
                band,
                screen,
                depths,
                signs,
            )
            nearest = min(nearest, here)
        vertex, triangle = vertex_end, triangle_end
    return nearest


@compiled
def passes_by(
    ball_mm: Floats, pose: Floats, view: Floats, band: tuple[int, int], columns: int
) -> bool:
    """Whether a ball (centre and radius) surely casts its shadow beside a band of rows.

    Its centre is further than its radius outside one of four planes through the source and the
    pixels next to the band. What comes near the source's plane is never passed over.
    """
    x, y, z, radius = ball_mm
    u = pose[0, 0] * x + pose[0, 1] * y + pose[0, 2] * z + pose[0, 3] - view[0]
    v = pose[1, 0] * x + pose[1, 1] * y + pose[1, 2] * z + pose[1, 3] - view[1]
    w = pose[2, 0] * x + pose[2, 1] * y + pose[2, 2] * z + pose[2, 3] - view[2]
    if view[2] >= 0.0 or w - radius < LEAST_CLEARANCE_MM:
        return False
    first_u, first_v, pixel = view[3] - view[0], view[4] - view[1], view[5]
    return (
        beyond(-u, -(first_u - pixel), w, view[2], radius)
        or beyond(u, first_u + columns * pixel, w, view[2], radius)
        or beyond(-v, -(first_v + (band[0] - 1) * pixel), w, view[2], radius)
        or beyond(v, first_v + band[1] * pixel, w, view[2], radius)
    )


@compiled
def beyond(aside: float, edge: float, along: float, source_w: float, radius: float) -> bool:
    """Whether a ball lies wholly further aside than the plane from the source to an edge."""
    return -source_w * aside - edge * along > radius * math.sqrt(source_w**2 + edge**2)


@compiled
def add_surface(
    vertices_mm: Floats,
    triangles: NDArray[np.int32],
    group: int,
    pose: Floats,
    view: Floats,
    band: tuple[int, int],
    screen: Floats32,
    depths: Floats32,
    signs: NDArray[np.int32],
) -> float:
    """Add a surface's signed depths to the rows of a band, and tell how near the source it comes.

    Parameters
    ----------
    vertices_mm : (n, 3) float array
    triangles : (m, 3) int array
    group : int
        Which sum it adds to.
    pose : (3, 4) float array
        Rotation and shift into the receptor frame.
    view : (6,) float array
        Source u, v, w, centre of the first pixel u, v, and size of a pixel. [mm]
    band : tuple
        First row and the row after the last.
    screen : (at least n, 3) float32 array
        Overwritten.
    depths : (groups, rows, columns) float32 array
    signs : (rows, columns) int32 array

    Returns
    -------
    float
        Least distance of a vertex from the source's plane; if it is below `LEAST_CLEARANCE_MM`
        nothing was added. [mm]
    """
    nearest, leftmost, rightmost, upmost, downmost = np.inf, np.inf, -np.inf, np.inf, -np.inf
    for i in range(vertices_mm.shape[0]):
        x, y, z = vertices_mm[i, 0], vertices_mm[i, 1], vertices_mm[i, 2]
        u = pose[0, 0] * x + pose[0, 1] * y + pose[0, 2] * z + pose[0, 3]
        v = pose[1, 0] * x + pose[1, 1] * y + pose[1, 2] * z + pose[1, 3]
        w = pose[2, 0] * x + pose[2, 1] * y + pose[2, 2] * z + pose[2, 3]
        from_source = w - view[2]
        stretch = -view[2] / from_source
        column = (view[0] + (u - view[0]) * stretch - view[3]) / view[5]
        row = (view[1] + (v - view[1]) * stretch - view[4]) / view[5]
        screen[i, 0], screen[i, 1], screen[i, 2] = column, row, -w / from_source
        nearest = min(nearest, from_source)
        leftmost, rightmost = min(leftmost, column), max(rightmost, column)
        upmost, downmost = min(upmost, row), max(downmost, row)
    off = rightmost < -1.0 or leftmost > depths.shape[2]
    off = off or downmost < band[0] - 1.0 or upmost > band[1]
    if nearest >= LEAST_CLEARANCE_MM and not off:
        add_triangles(screen, triangles, group, band[0], band[1], depths, signs)
    return nearest


@compiled
def add_triangles(
    screen: Floats32,
    triangles: NDArray[np.int32],
    group: int,
    first_row: int,
    end_row: int,
    depths: Floats32,
    signs: NDArray[np.int32],
) -> None:
    """Add every triangle's signed depth to the rows from first_row to before end_row.

    ``depths`` is (groups, rows, columns), ``signs`` (rows, columns). Triangles are taken in order,
    so a pixel's sum does not depend on how the rows are shared out among threads.
    """
    columns, group = depths.shape[2], index(group)
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
def to_millimetres(depths: Floats32, view: Floats, band: tuple[int, int]) -> None:
    """Turn fractions of the way from source to pixel into mm, in place."""
    for row in range(band[0], band[1]):
        v = view[4] + view[5] * row - view[1]
        aside = v * v + view[2] * view[2]
        for column in range(depths.shape[2]):
            u = view[3] + view[5] * column - view[0]
            whole_mm = np.float32(math.sqrt(u * u + aside))
            for group in range(depths.shape[0]):
                depths[group, row, column] *= whole_mm


__all__ = ["LEAST_CLEARANCE_MM", "add_runs", "add_surface", "to_millimetres"]
