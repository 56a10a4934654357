"""Where vertices fall on a film, and which surfaces cast no shadow on it."""

import math

import numpy as np
from numpy.typing import NDArray

from bitewright.compiled import compiled

Floats = NDArray[np.float64]
Floats32 = NDArray[np.float32]
Ints32 = NDArray[np.int32]
Screen = tuple[Floats32, Floats32, Floats32, Ints32]
"""For each vertex its column, row, and depth g = 1/t - 1, t being the fraction of the way from the
source to the receptor plane; and the sides of a band of rows beyond which it lies."""

LEAST_CLEARANCE_MM = 1.0
"""Everything must lie at least this far beyond the source's plane."""

ZERO = np.float32(0.0)
"""0 in single precision, so that compiled sums stay in it."""

ONE = np.float32(1.0)
"""1 in single precision."""

LEFT_OF, RIGHT_OF, ABOVE, BELOW, TOO_NEAR = 1, 2, 4, 8, 16
"""Sides of a band of rows beyond which a vertex lies, added up."""


@compiled
def project_runs(
    vertices_mm: Floats,
    run_ends: NDArray[np.int64],
    run_frames: Ints32,
    balls_mm: Floats,
    to_receptor: Floats,
    view: Floats,
    band: tuple[int, int],
    columns: int,
    screen: Screen,
    is_seen: NDArray[np.bool_],
) -> float:
    """Project many small surfaces, those passed over whose ball casts no shadow on the band's rows.

    Parameters
    ----------
    vertices_mm : (n, 3) float array
        Of all surfaces, one after the other. [mm]
    run_ends : (runs, 2) int array
        Before which vertex and triangle each surface ends.
    run_frames : (runs,) int array
        Which of the poses moves each.
    balls_mm : (runs, 4) float array
        Centre and radius of a ball around each. [mm]
    to_receptor : (poses, 3, 4) float array
        Rotations and shifts into the receptor frame. [mm]
    view, band, columns, screen
        As `project_surface` takes them.
    is_seen : (runs,) bool array
        Filled: whether the band may show any of each.

    Returns
    -------
    float
        As `project_surface`, of all surfaces. [mm]
    """
    vertex, nearest = 0, np.inf
    for k in range(run_ends.shape[0]):
        end = run_ends[k, 0]
        pose = to_receptor[run_frames[k]]
        is_seen[k] = not passes_by(balls_mm[k], pose, view, band, columns)
        if is_seen[k]:
            here, is_seen[k] = project_surface(
                vertices_mm[vertex:end],
                pose,
                view,
                band,
                columns,
                part_of(screen, vertex, end),
            )
            nearest = min(nearest, here)
        vertex = end
    return nearest


@compiled
def project_surface(
    vertices_mm: Floats,
    pose: Floats,
    view: Floats,
    band: tuple[int, int],
    columns: int,
    screen: Screen,
) -> tuple[float, bool]:
    """Project a surface; tell how near the source it comes and whether the band may show any of it.

    Parameters
    ----------
    vertices_mm : (n, 3) float array
    pose : (3, 4) float array
        Rotation and shift into the receptor frame.
    view : (6,) float array
        Source u, v, w, centre of the first pixel u, v, and size of a pixel. [mm]
    band : tuple
        First row and the row after the last.
    columns : int
    screen : four (n,) arrays
        Filled. A triangle with all three corners beyond one side covers no pixel's centre.

    Returns
    -------
    tuple
        Least distance of a vertex from the source's plane if below `LEAST_CLEARANCE_MM`, and then
        nothing is to be seen; else infinity. [mm]
    """
    put_on_screen(vertices_mm, pose, view, screen)
    by_all, by_any = look_beside(screen, view, band, columns)
    if by_any & TOO_NEAR or view[2] >= 0.0:
        nearest = nearest_of(vertices_mm, pose, view)
        if nearest < LEAST_CLEARANCE_MM or view[2] >= 0.0:
            return nearest, False
    return np.inf, by_all == 0


def empty_screen(count: int) -> Screen:
    """A screen with room for a number of vertices, nothing filled in: four arrays (count,)."""
    across, down, depths = np.empty((3, count), dtype=np.float32)
    return across, down, depths, np.empty(count, dtype=np.int32)


@compiled
def put_on_screen(vertices_mm: Floats, pose: Floats, view: Floats, screen: Screen) -> None:
    """Fill in column, row and depth of each vertex; its sides are left.

    Parameters
    ----------
    vertices_mm : (n, 3) float array
    pose, view : (3, 4) and (6,) float arrays
        As `project_surface` takes them. [mm]
    screen : four (n,) arrays
    """
    columns, rows, depths, _ = screen
    for i in range(vertices_mm.shape[0]):
        x, y, z = vertices_mm[i, 0], vertices_mm[i, 1], vertices_mm[i, 2]
        u = pose[0, 0] * x + pose[0, 1] * y + pose[0, 2] * z + pose[0, 3]
        v = pose[1, 0] * x + pose[1, 1] * y + pose[1, 2] * z + pose[1, 3]
        w = pose[2, 0] * x + pose[2, 1] * y + pose[2, 2] * z + pose[2, 3]
        inverse = 1.0 / (w - view[2])
        stretch = -view[2] * inverse
        columns[i] = (view[0] + (u - view[0]) * stretch - view[3]) / view[5]
        rows[i] = (view[1] + (v - view[1]) * stretch - view[4]) / view[5]
        depths[i] = -w * inverse


@compiled
def look_beside(
    screen: Screen, view: Floats, band: tuple[int, int], columns: int
) -> tuple[int, int]:
    """Fill in beyond which sides of the band each vertex lies.

    Parameters
    ----------
    screen : four (n,) arrays
        Columns, rows and depths are known.
    view : (6,) float array
        As `project_surface` takes it. [mm]
    band : tuple
        First row and the row after the last.
    columns : int

    Returns
    -------
    tuple of int
        The sides beyond which all vertices lie, and those beyond which any does.
    """
    across, down, depths, sides = screen
    last_column, first_row = np.float32(columns - 1), np.float32(band[0])
    last_row = np.float32(band[1] - 1)
    most = np.float32(-view[2] / LEAST_CLEARANCE_MM - 1.0)
    by_all, by_any = -1, 0
    for i in range(sides.shape[0]):
        x, y, g = across[i], down[i], depths[i]
        side = LEFT_OF * (x <= ZERO) + RIGHT_OF * (x > last_column)
        side += ABOVE * (y <= first_row) + BELOW * (y > last_row)
        side += TOO_NEAR * (not ((g >= -ONE) & (g <= most)))
        sides[i] = side
        by_all &= side
        by_any |= side
    return by_all, by_any


@compiled
def part_of(screen: Screen, first: int, end: int) -> Screen:
    """The part of a screen, four (n,) arrays, from one vertex to before another."""
    across, down, depths, sides = screen
    return across[first:end], down[first:end], depths[first:end], sides[first:end]


@compiled
def nearest_of(vertices_mm: Floats, pose: Floats, view: Floats) -> float:
    """Least distance of vertices (n, 3) from the source's plane. [mm]"""
    nearest = np.inf
    for i in range(vertices_mm.shape[0]):
        x, y, z = vertices_mm[i, 0], vertices_mm[i, 1], vertices_mm[i, 2]
        w = pose[2, 0] * x + pose[2, 1] * y + pose[2, 2] * z + pose[2, 3]
        nearest = min(nearest, w - view[2])
    return nearest


@compiled
def passes_by(
    ball_mm: Floats, pose: Floats, view: Floats, band: tuple[int, int], columns: int
) -> bool:
    """Whether a ball (4,), centre and radius, surely casts its shadow beside a band of rows.

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
    """Whether a ball lies wholly further aside than the plane from the source to an edge.

    Parameters
    ----------
    aside, edge : float
        How far the ball's centre and the edge lie aside of the source. [mm]
    along, source_w : float
        How far the ball lies along w from the source, and the source's w. [mm]
    radius : float
        Of the ball. [mm]
    """
    return -source_w * aside - edge * along > radius * math.sqrt(source_w**2 + edge**2)


__all__ = ["LEAST_CLEARANCE_MM", "Screen", "empty_screen", "project_runs", "project_surface"]
