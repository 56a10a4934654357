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


SQUARE_STEPS = 3
STEEP_STEPS, FLANK_END, SETTLED_MM = 3, 0.93, 0.05
"""Newton's steps to a surface, up to which share of its half-breadth a flank is met, and how small
the last step must be."""

MOST_PLACES = 16
CENTRE, HALF, MIDDLE, BREADTH, POWER = (MOST_PLACES * row for row in range(5))
MESIAL, BUCCAL, HEIGHT, REACH, OUT, STEP, MISSED = (MOST_PLACES * row for row in range(5, 12))
ROWS = 12
"""Where a search keeps what it knows of its places, in one array, one row after the other: a
tooth's section there (as `CrownSections.table`), the place, how far the surface lies beyond it, how
far out the flank is met as a share of its breadth, the last step, and whether it is missed."""

LEAST_DOWN = 0.1
"""A surface that a ray meets flatter is not met."""

LN_TWO = np.log(2.0)
ROOT_HALF_BITS = int(np.sqrt(0.5).view(np.int64))
"""The bits of the root of a half, as a whole number."""

OFF_MM = 1e5
"""No surface is looked for as far away."""

Crowns = tuple[Floats, Floats, Floats, Floats, Floats]
"""Origins, axes, lowest heights, tables, and shear beside taper, as `CrownSections`."""

Triple = tuple[float, float, float]
Ray = tuple[Triple, Triple, Triple, Triple]
"""A point, a step of breadth, a step of height and a direction, in a tooth's own axes."""


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
    right, left = _ray(c, 1.0, point, n, crowns), _ray(c + 1, -1.0, point, n, crowns)
    places, reach = np.empty((9, 2)), np.empty((2, 9))
    for halved in range(rounds):
        count = 0
        for i in range(-1, 2):
            for j in range(-1, 2):
                if halved and i == 0 and j == 0:
                    continue  # The best place of the round before.
                places[count, 0] = best_b + i * spacing
                places[count, 1] = best_z + j * spacing
                count += 1
        _reaches(reach[0], c, right, places[:count], crowns, steep)
        _reaches(reach[1], c + 1, left, places[:count], crowns, steep)
        for place in range(count):
            ahead, back = reach[0, place], reach[1, place]
            if -(ahead + back) < gap:
                gap = -(ahead + back)
                mid = 0.5 * (ahead - back)
                best_b, best_z = places[place, 0], places[place, 1]
        spacing *= 0.5
    return best_b, best_z, gap, mid


@compiled
def _turn_midway(c: int, point: Floats, n: Floats, b: float, z: float, crowns: Crowns) -> None:
    """Turn a horizontal normal to that of the surface midway between two crowns."""
    right, left = _ray(c, 1.0, point, n, crowns), _ray(c + 1, -1.0, point, n, crowns)
    places, reach = np.empty((2, 2)), np.empty((2, 2))
    places[0, 0], places[1, 0] = b - HALF_FACET_MM, b + HALF_FACET_MM
    places[:, 1] = z
    _reaches(reach[0], c, right, places, crowns, True)
    _reaches(reach[1], c + 1, left, places, crowns, True)
    ahead0, ahead1, back0, back1 = reach[0, 0], reach[0, 1], reach[1, 0], reach[1, 1]
    if min(ahead0, back0, ahead1, back1) > -OFF_MM:
        slope = 0.25 * (ahead1 - back1 - ahead0 + back0) / HALF_FACET_MM
        across, along = n[0], n[1]
        n[0], n[1] = across + slope * along, along - slope * across
        size = np.sqrt(n[0] ** 2 + n[1] ** 2)
        n[0] /= size
        n[1] /= size


@compiled
def _ray(tooth: int, way: float, point: Floats, n: Floats, crowns: Crowns) -> Ray:
    """A point, steps of breadth and height beside it, and a direction, along a tooth's own axes."""
    origins, axes = crowns[0], crowns[1]
    qx, qy = point[0] - origins[tooth, 0], point[1] - origins[tooth, 1]
    qz = point[2] - origins[tooth, 2]
    mx, my, mz = axes[tooth, 0, 0], axes[tooth, 0, 1], axes[tooth, 0, 2]
    bx, by, bz = axes[tooth, 1, 0], axes[tooth, 1, 1], axes[tooth, 1, 2]
    ox, oy, oz = axes[tooth, 2, 0], axes[tooth, 2, 1], axes[tooth, 2, 2]
    return (
        (mx * qx + my * qy + mz * qz, bx * qx + by * qy + bz * qz, ox * qx + oy * qy + oz * qz),
        (my * n[0] - mx * n[1], by * n[0] - bx * n[1], oy * n[0] - ox * n[1]),
        (mz, bz, oz),
        (
            way * (mx * n[0] + my * n[1]),
            way * (bx * n[0] + by * n[1]),
            way * (ox * n[0] + oy * n[1]),
        ),
    )


@compiled
def _reaches(
    reach: Floats, tooth: int, ray: Ray, places: Floats, crowns: Crowns, steep: bool
) -> None:
    """How far a tooth's surface lies beyond places along its ray; -1e6 off the flank."""
    at, wide, high, way = ray
    rows = np.zeros(ROWS * MOST_PLACES)
    for place in range(len(places)):
        b, z = places[place, 0], places[place, 1]
        rows[MESIAL + place] = at[0] + b * wide[0] + z * high[0]
        rows[BUCCAL + place] = at[1] + b * wide[1] + z * high[1]
        rows[HEIGHT + place] = at[2] + b * wide[2] + z * high[2]
    if steep:
        _steep_reaches(reach, tooth, rows, way, crowns)
    else:
        _square_reaches(reach, tooth, rows, way, crowns)


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
def _square_reaches(reach: Floats, tooth: int, rows: Floats, way: Triple, crowns: Crowns) -> None:
    """How far a tooth's surface lies beyond places in its own axes, met about square."""
    dx, dy, _ = way
    side = 1.0 if dx > 0 else -1.0
    shear, taper = crowns[4][tooth, 0], crowns[4][tooth, 1]
    count = len(reach)
    for _ in range(SQUARE_STEPS):
        _look_up(tooth, rows, count, way, crowns)
        for place in range(count):
            t = rows[REACH + place]
            y = rows[BUCCAL + place] + t * dy
            out = y - rows[MIDDLE + place]
            left = 1.0 - (abs(out) / rows[BREADTH + place]) ** rows[POWER + place]
            if left <= 0.0 or rows[MISSED + place] > 0.0:
                rows[MISSED + place] = 1.0
                continue
            half = rows[HALF + place] * (1.0 + taper * out) * left ** (1.0 / rows[POWER + place])
            surface = rows[CENTRE + place] + side * half + shear * y
            rows[REACH + place] = t + (surface - (rows[MESIAL + place] + t * dx)) / dx
    for place in range(count):
        reach[place] = -1e6 if rows[MISSED + place] > 0.0 else rows[REACH + place]


@compiled
def _steep_reaches(reach: Floats, tooth: int, rows: Floats, way: Triple, crowns: Crowns) -> None:
    """As `_square_reaches`, by Newton's steps, for surfaces that a ray meets far from square.

    All places take a step before the next, without a branch or a call, so that a processor takes
    several at once.
    """
    dx, dy, _ = way
    side = 1.0 if dx > 0 else -1.0
    shear, taper = crowns[4][tooth, 0], crowns[4][tooth, 1]
    count = len(reach)
    for _ in range(STEEP_STEPS):
        _look_up(tooth, rows, count, way, crowns)
        for place in range(count):
            t, middle, breadth = rows[REACH + place], rows[MIDDLE + place], rows[BREADTH + place]
            across = rows[BUCCAL + place] + t * dy
            out = (across - middle) / breadth
            share = min(FLANK_END, out)
            share = max(-FLANK_END, share)
            y = middle + share * breadth
            steep = _power(abs(share), rows[POWER + place] - 1.0)
            left = 1.0 - steep * abs(share)
            curve = _power(left, 1.0 / rows[POWER + place])
            wide = 1.0 + taper * (y - middle)
            half = side * rows[HALF + place]
            fall = steep * curve / (left * breadth)
            fall = -fall if share > 0.0 else fall
            slope = half * (fall * wide + curve * taper) + shear
            # Beyond the flank's end its tangent goes on.
            surface = rows[CENTRE + place] + half * wide * curve + shear * y + slope * (across - y)
            down = side * (dx - slope * dy)
            held = max(LEAST_DOWN, down)
            step = side * (surface - (rows[MESIAL + place] + t * dx)) / held
            rows[OUT + place], rows[STEP + place] = abs(out), abs(step)
            rows[MISSED + place] += 1.0 if down < LEAST_DOWN else 0.0
            rows[REACH + place] = t + step
    for place in range(count):
        off = rows[OUT + place] > FLANK_END or rows[STEP + place] >= SETTLED_MM
        reach[place] = -1e6 if off or rows[MISSED + place] > 0.0 else rows[REACH + place]


@compiled
def _look_up(tooth: int, rows: Floats, count: int, way: Triple, crowns: Crowns) -> None:
    """Fill in a tooth's sections at the heights that places have come to."""
    lowest, table = crowns[2][tooth], crowns[3][tooth]
    last = table.shape[0] - 1.000001
    for place in range(count):
        height = rows[HEIGHT + place] + rows[REACH + place] * way[2]
        row = min(max((height - lowest) / HEIGHT_STEP_MM, 0.0), last)
        k = int(row)
        f = row - k
        for field in range(5):
            low = table[k, field]
            rows[MOST_PLACES * field + place] = low + f * (table[k + 1, field] - low)


@compiled
def _power(base: float, exponent: float) -> float:
    """A number between 0 and 1 to a power, to 14 digits, by a series that needs no call."""
    bits = np.float64(base).view(np.int64)
    # Twos taken out, so that the rest lies between the roots of a half and of two.
    twos = (bits - ROOT_HALF_BITS) >> 52
    rest = np.int64(bits - (twos << 52)).view(np.float64)
    s = (rest - 1.0) / (rest + 1.0)
    w = s * s
    series = 1 / 15 + w * (1 / 17 + w * (1 / 19 + w * (1 / 21)))
    series = 1 / 9 + w * (1 / 11 + w * (1 / 13 + w * series))
    series = 1.0 + w * (1 / 3 + w * (1 / 5 + w * (1 / 7 + w * series)))
    power = exponent * (twos * LN_TWO + 2.0 * s * series)
    power = max(-700.0, power)
    whole = np.floor(power / LN_TWO + 0.5)
    r = power - whole * LN_TWO
    tail = 1 / 362880 + r * (1 / 3628800 + r * (1 / 39916800 + r * (1 / 479001600)))
    tail = 1 / 120 + r * (1 / 720 + r * (1 / 5040 + r * (1 / 40320 + r * tail)))
    tail = 1.0 + r * (1.0 + r * (0.5 + r * (1 / 6 + r * (1 / 24 + r * tail))))
    scale = np.int64((np.int64(whole) + 1023) << 52).view(np.float64)
    return float(tail * scale)


__all__ = ["least_gaps"]
