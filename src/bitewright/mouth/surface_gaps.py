"""How far neighbouring crowns stand apart, and where they come nearest: compiled searches."""

import numpy as np
from numpy.typing import NDArray

from bitewright.compiled import compiled
from bitewright.mouth.crown_sections import HEIGHT_STEP_MM

Floats = NDArray[np.float64]

PATCH_STEP_MM = 0.8

TURNS = 2
HALF_FACET_MM = 0.8
"""How often a plane is turned to lie midway between its surfaces, and over which half-breadth."""


STEEP_STEPS, FLANK_END, SETTLED_MM = 3, 0.93, 0.05
"""Newton's steps to a surface, up to which share of its half-breadth a flank is met, and how small
the last step must be."""

OFF_MM = 1e5
"""No surface is looked for as far away."""

Crowns = tuple[Floats, Floats, Floats, Floats, Floats]
"""Origins, axes, lowest heights, tables, and shear beside taper, as `CrownSections`."""


@compiled
def least_gaps(
    origins: Floats,
    axes: Floats,
    is_right: NDArray[np.bool_],
    lowest: Floats,
    table: Floats,
    turns: Floats,
    contact: Floats,
    nearest: NDArray[np.bool_],
    rounds: int,
) -> tuple[Floats, Floats, Floats, Floats]:
    """Search each contact along the bisector of its flanks, and along the surfaces' own normal.

    Parameters
    ----------
    origins, axes : (T, 3) and (T, 3, 3) float arrays
        Local origins [mm] and axes (rows: mesial, buccal, occlusal) of teeth from right to left.
    is_right : (T,) bool array
    lowest, table, contact : float arrays
        As `CrownSections.lowest_mm`, `table` and `contact_mm`.
    turns : (T, 2) float array
        Shear and taper, as `CrownSections`.
    nearest : (T - 1,) bool array
        Whether a pair meets where its surfaces come nearest, else at its flanks' middles.
    rounds : int
        Halvings of the search step.

    Returns
    -------
    four float arrays
        Patch middles (T - 1, 3), horizontal normals (T - 1, 3), least gaps (T - 1,) and the midway
        offsets along the normals (T - 1,). [mm]
    """
    count = len(origins) - 1
    points, normals = np.zeros((count, 3)), np.zeros((count, 3))
    gaps, mid = np.full(count, 1e9), np.zeros(count)
    for c in range(count):
        for k in range(2):
            tooth = c + k
            way = 1.0 if is_right[tooth] else -1.0
            # The right tooth of the pair faces left, the left one faces right.
            faces_mesially = is_right[tooth] == (k == 0)
            half = _add_flank_middle(
                points[c], tooth, faces_mesially, origins, axes, lowest, table, contact
            )
            # A turned flank faces across its turn, not along its crown's own axis.
            turn = turns[tooth, 0] + half * turns[tooth, 1]
            across = way * (axes[tooth, 0] - turn * axes[tooth, 1])
            normals[c] += across / np.sqrt((across**2).sum())
        normals[c, 2] = 0.0
        normals[c] /= np.sqrt((normals[c] ** 2).sum())
        n, crowns = normals[c], (origins, axes, lowest, table, turns)
        if not nearest[c]:
            _, _, gaps[c], mid[c] = _least_gap(c, points[c], n, crowns, rounds, (0.0, 0.0), False)
            continue
        at = (0.0, 0.0)
        for turn in range(TURNS + 1):
            halvings = rounds if turn in (0, TURNS) else 2
            b, z, gaps[c], mid[c] = _least_gap(c, points[c], n, crowns, halvings, at, True)
            at = (b, z)
            if turn < TURNS:
                _turn_midway(c, points[c], n, b, z, crowns)
        points[c, 0] -= b * n[1]
        points[c, 1] += b * n[0]
    return points, normals, gaps, mid


@compiled
def _least_gap(
    c: int,
    point: Floats,
    n: Floats,
    crowns: Crowns,
    rounds: int,
    start: tuple[float, float],
    steep: bool,
) -> tuple[float, float, float, float]:
    """Breadth and height of the least gap, the gap, and the midway offset there along n.

    Nine places around a start beside the point, then halved steps.
    """
    best_b, best_z, gap, mid = start[0], start[1], 1e9, 0.0
    spacing = PATCH_STEP_MM
    for halved in range(rounds):
        at_b, at_z = best_b, best_z
        for i in range(-1, 2):
            for j in range(-1, 2):
                if halved and i == 0 and j == 0:
                    continue  # The best place of the round before.
                b = at_b + i * spacing
                z = at_z + j * spacing
                ahead, back = _both_reach(c, point, n, b, z, crowns, steep)
                if -(ahead + back) < gap:
                    gap = -(ahead + back)
                    mid = 0.5 * (ahead - back)
                    best_b, best_z = b, z
        spacing *= 0.5
    return best_b, best_z, gap, mid


@compiled
def _turn_midway(c: int, point: Floats, n: Floats, b: float, z: float, crowns: Crowns) -> None:
    """Turn a horizontal normal to that of the surface midway between two crowns."""
    ahead0, back0 = _both_reach(c, point, n, b - HALF_FACET_MM, z, crowns, True)
    ahead1, back1 = _both_reach(c, point, n, b + HALF_FACET_MM, z, crowns, True)
    if min(ahead0, back0, ahead1, back1) > -OFF_MM:
        slope = 0.25 * (ahead1 - back1 - ahead0 + back0) / HALF_FACET_MM
        across, along = n[0], n[1]
        n[0], n[1] = across + slope * along, along - slope * across
        size = np.sqrt(n[0] ** 2 + n[1] ** 2)
        n[0] /= size
        n[1] /= size


@compiled
def _both_reach(
    c: int, point: Floats, n: Floats, b: float, z: float, crowns: Crowns, steep: bool
) -> tuple[float, float]:
    """How far both crowns of a pair reach, at a breadth and height beside a point."""
    origins, axes, lowest, table, turns = crowns
    gx, gy, gz = point[0] - b * n[1], point[1] + b * n[0], point[2] + z
    if steep:
        ahead = _steep_reach(c, 1.0, n, gx, gy, gz, origins, axes, lowest, table, turns)
        back = _steep_reach(c + 1, -1.0, n, gx, gy, gz, origins, axes, lowest, table, turns)
    else:
        ahead = _reach(c, 1.0, n, gx, gy, gz, origins, axes, lowest, table, turns)
        back = _reach(c + 1, -1.0, n, gx, gy, gz, origins, axes, lowest, table, turns)
    return ahead, back


@compiled
def _add_flank_middle(
    point: Floats,
    tooth: int,
    faces_mesially: bool,
    origins: Floats,
    axes: Floats,
    lowest: Floats,
    table: Floats,
    contact: Floats,
) -> float:
    """Add half of a flank's middle, at the height of its contact, to a point; its half-width."""
    height = contact[tooth, 0 if faces_mesially else 1]
    place = min(max((height - lowest[tooth]) / HEIGHT_STEP_MM, 0.0), table.shape[1] - 1.000001)
    k = int(place)
    row = table[tooth, k] + (place - k) * (table[tooth, k + 1] - table[tooth, k])
    half = row[1] if faces_mesially else -row[1]
    mesial = row[0] + half
    ax = axes[tooth]
    for i in range(3):
        placed = origins[tooth, i] + mesial * ax[0, i] + row[2] * ax[1, i] + height * ax[2, i]
        point[i] += 0.5 * placed
    return float(half)


@compiled
def _in_tooth(
    tooth: int,
    way: float,
    n: Floats,
    gx: float,
    gy: float,
    gz: float,
    origins: Floats,
    axes: Floats,
) -> tuple[float, float, float, float, float, float]:
    """A point and a direction, way * n, along a tooth's own axes."""
    ax = axes[tooth]
    qx, qy, qz = gx - origins[tooth, 0], gy - origins[tooth, 1], gz - origins[tooth, 2]
    return (
        ax[0, 0] * qx + ax[0, 1] * qy + ax[0, 2] * qz,
        ax[1, 0] * qx + ax[1, 1] * qy + ax[1, 2] * qz,
        ax[2, 0] * qx + ax[2, 1] * qy + ax[2, 2] * qz,
        way * (ax[0, 0] * n[0] + ax[0, 1] * n[1]),
        way * (ax[1, 0] * n[0] + ax[1, 1] * n[1]),
        way * (ax[2, 0] * n[0] + ax[2, 1] * n[1]),
    )


@compiled
def _section(
    tooth: int, height: float, lowest: Floats, table: Floats
) -> tuple[float, float, float, float, float]:
    """Centre, half width, middle, breadth and power of a tooth's section at a height."""
    place = (height - lowest[tooth]) / HEIGHT_STEP_MM
    place = min(max(place, 0.0), table.shape[1] - 1.000001)
    k = int(place)
    f = place - k
    row, nxt = table[tooth, k], table[tooth, k + 1]
    return (
        row[0] + f * (nxt[0] - row[0]),
        row[1] + f * (nxt[1] - row[1]),
        row[2] + f * (nxt[2] - row[2]),
        row[3] + f * (nxt[3] - row[3]),
        row[4] + f * (nxt[4] - row[4]),
    )


@compiled
def _reach(
    tooth: int,
    way: float,
    n: Floats,
    gx: float,
    gy: float,
    gz: float,
    origins: Floats,
    axes: Floats,
    lowest: Floats,
    table: Floats,
    turns: Floats,
) -> float:
    """How far a tooth's surface lies beyond a point along way * n; -1e6 off the flank."""
    px, py, pz, dx, dy, dz = _in_tooth(tooth, way, n, gx, gy, gz, origins, axes)
    side = 1.0 if dx > 0 else -1.0
    t = 0.0
    for _ in range(3):
        centre, half, middle, breadth, power = _section(tooth, pz + t * dz, lowest, table)
        y = py + t * dy
        left = 1.0 - (abs(y - middle) / breadth) ** power
        if left <= 0.0:
            return -1e6
        half *= 1.0 + turns[tooth, 1] * (y - middle)
        surface = centre + side * half * left ** (1.0 / power) + turns[tooth, 0] * y
        t += (surface - (px + t * dx)) / dx
    return float(t)


@compiled
def _steep_reach(
    tooth: int,
    way: float,
    n: Floats,
    gx: float,
    gy: float,
    gz: float,
    origins: Floats,
    axes: Floats,
    lowest: Floats,
    table: Floats,
    turns: Floats,
) -> float:
    """As `_reach`, by Newton's steps, for surfaces that a direction meets far from square."""
    px, py, pz, dx, dy, dz = _in_tooth(tooth, way, n, gx, gy, gz, origins, axes)
    side = 1.0 if dx > 0 else -1.0
    t, gone, step = 0.0, 0.0, 0.0
    for _ in range(STEEP_STEPS):
        centre, half, middle, breadth, power = _section(tooth, pz + t * dz, lowest, table)
        gone = (py + t * dy - middle) / breadth
        share = min(max(gone, -FLANK_END), FLANK_END)
        y = middle + share * breadth
        steep = abs(share) ** (power - 1.0)
        left = 1.0 - steep * abs(share)
        curve = left ** (1.0 / power)
        wide = 1.0 + turns[tooth, 1] * (y - middle)
        surface = centre + side * half * wide * curve + turns[tooth, 0] * y
        fall = -steep * curve / (left * breadth)
        fall = fall if share > 0.0 else -fall
        slope = side * half * (fall * wide + curve * turns[tooth, 1]) + turns[tooth, 0]
        # Beyond the flank's end its tangent goes on.
        surface += slope * (py + t * dy - y)
        down = dx - slope * dy
        if side * down < 0.1:
            return -1e6
        step = (surface - (px + t * dx)) / down
        t += step
    return float(t) if abs(gone) <= FLANK_END and abs(step) < SETTLED_MM else -1e6


__all__ = ["least_gaps"]
