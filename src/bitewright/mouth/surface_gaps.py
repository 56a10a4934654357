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

GRID = 9
TOGETHER = 7
"""Places tried around the best one, and contacts searched together."""

LANES = 128
CENTRE, HALF, MIDDLE, BREADTH, POWER = (LANES * row for row in range(5))
MESIAL, BUCCAL, HEIGHT, REACH, OUT, STEP, MISSED = (LANES * row for row in range(5, 12))
ACROSS, ALONG, DOWN, SIDE, SHEAR, TAPER = (LANES * row for row in range(12, 18))
ROWS = 18
"""Where a search keeps what it knows of its places, in one array, one row after the other, with
room for both teeth's places of all contacts searched together: a tooth's section there (as
`CrownSections.table`), the place, how far the surface lies beyond it, how far out the flank is met
as a share of its breadth, the last step, and whether it is missed; then its ray's direction in the
tooth's axes, the side it leaves, and the tooth's shear and taper."""

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
    bisectors: tuple[Floats, Floats],
    origins: Floats,
    axes: Floats,
    lowest: Floats,
    table: Floats,
    turns: Floats,
    nearest: NDArray[np.bool_],
    rounds: int,
) -> tuple[Floats, Floats, Floats, Floats]:
    """Search each contact along the bisector of its flanks, and along the surfaces' own normal.

    Parameters
    ----------
    bisectors : two (T - 1, 3) float arrays
        As `flank_bisectors`.
    origins, axes, lowest, table, turns
        As there.
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
    points, normals = bisectors[0].copy(), bisectors[1].copy()
    count = len(points)
    gaps, mid = np.full(count, 1e9), np.zeros(count)
    crowns, rows = (origins, axes, lowest, table, turns), np.empty(ROWS * LANES)
    for c in range(count):
        if not nearest[c]:
            gaps[c], mid[c] = _least_gap(c, points, normals, crowns, rounds, rows)
    together, held = np.empty(TOGETHER, dtype=np.int64), 0
    for c in range(count):
        if nearest[c]:
            together[held] = c
            held += 1
        if held == TOGETHER or (held and c == count - 1):
            _nearest_gaps(together[:held], points, normals, crowns, rounds, rows, gaps, mid)
            held = 0
    return points, normals, gaps, mid


@compiled
def _nearest_gaps(
    together: NDArray[np.int64],
    points: Floats,
    normals: Floats,
    crowns: Crowns,
    rounds: int,
    rows: Floats,
    gaps: Floats,
    mid: Floats,
) -> None:
    """Search contacts where surfaces come nearest: least gaps, midway offsets, patches, normals.

    All take a step before the next, so that a processor takes several at once.
    """
    held = len(together)
    best, places = np.zeros((held, 2)), np.empty((held, GRID, 2))
    for turn in range(TURNS + 1):
        halvings = rounds if turn in (0, TURNS) else 2
        spacing = PATCH_STEP_MM
        for h in range(held):
            gaps[together[h]] = 1e9
        for halved in range(halvings):
            # Later rounds leave out the best place of the round before.
            count = _lay_grid(places, best, spacing, halved > 0)
            _aim(rows, together, points, normals, places, count, crowns)
            _steep_reaches(rows, together, count, crowns)
            for h in range(held):
                c, first = together[h], 2 * h * count
                gaps[c], mid[c] = _nearest(
                    rows, first, count, places[h], best[h], (gaps[c], mid[c])
                )
            spacing *= 0.5
        if turn < TURNS:
            places[:, 0], places[:, 1] = best, best
            places[:, 0, 0] -= HALF_FACET_MM
            places[:, 1, 0] += HALF_FACET_MM
            _aim(rows, together, points, normals, places, 2, crowns)
            _steep_reaches(rows, together, 2, crowns)
            for h in range(held):
                first = REACH + 4 * h
                _turn_midway(normals[together[h]], rows[first : first + 4])
    for h in range(held):
        c, b = together[h], best[h, 0]
        points[c, 0] -= b * normals[c, 1]
        points[c, 1] += b * normals[c, 0]


@compiled
def _nearest(
    rows: Floats, first: int, count: int, places: Floats, best: Floats, before: tuple[float, float]
) -> tuple[float, float]:
    """Gap and midway offset where they are least, of places (count, 2) or before; the best place.

    The right tooth's places lie from ``first`` on, the left one's behind them.
    """
    gap, mid = before
    for place in range(count):
        ahead, back = rows[REACH + first + place], rows[REACH + first + count + place]
        if -(ahead + back) < gap:
            gap = -(ahead + back)
            mid = 0.5 * (ahead - back)
            best[0], best[1] = places[place]
    return gap, mid


@compiled
def _lay_grid(places: Floats, best: Floats, spacing: float, around: bool) -> int:
    """Lay places of breadth and height around the best ones, without these if so; how many each."""
    count = 0
    for i in range(-1, 2):
        for j in range(-1, 2):
            if around and i == 0 and j == 0:
                continue
            for h in range(len(best)):
                places[h, count, 0] = best[h, 0] + i * spacing
                places[h, count, 1] = best[h, 1] + j * spacing
            count += 1
    return count


@compiled
def _least_gap(
    c: int, points: Floats, normals: Floats, crowns: Crowns, rounds: int, rows: Floats
) -> tuple[float, float]:
    """The least gap of one contact at its flanks' middles, and the midway offset along its normal.

    Nine places around the point, then halved steps.
    """
    gap, mid, spacing = 1e9, 0.0, PATCH_STEP_MM
    together, best = np.full(1, c), np.zeros((1, 2))
    places = np.empty((1, GRID, 2))
    for halved in range(rounds):
        count = _lay_grid(places, best, spacing, halved > 0)
        _aim(rows, together, points, normals, places, count, crowns)
        _square_reaches(rows, c, count, crowns)
        gap, mid = _nearest(rows, 0, count, places[0], best[0], (gap, mid))
        spacing *= 0.5
    return gap, mid


@compiled
def _turn_midway(n: Floats, reach: Floats) -> None:
    """Turn a horizontal normal to that of the surface midway between two crowns.

    ``reach`` (4,): of both crowns to both sides of the least gap.
    """
    ahead0, ahead1, back0, back1 = reach
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
def _aim(
    rows: Floats,
    together: NDArray[np.int64],
    points: Floats,
    normals: Floats,
    places: Floats,
    count: int,
    crowns: Crowns,
) -> None:
    """Fill in places of contacts and their rays, in the axes of the right tooth and of the left."""
    turns = crowns[4]
    for h in range(len(together)):
        c = together[h]
        for k in range(2):
            tooth, first = c + k, (2 * h + k) * count
            at, wide, high, way = _ray(tooth, 1.0 - 2.0 * k, points[c], normals[c], crowns)
            side = 1.0 if way[0] > 0 else -1.0
            for place in range(count):
                b, z, lane = places[h, place, 0], places[h, place, 1], first + place
                rows[MESIAL + lane] = at[0] + b * wide[0] + z * high[0]
                rows[BUCCAL + lane] = at[1] + b * wide[1] + z * high[1]
                rows[HEIGHT + lane] = at[2] + b * wide[2] + z * high[2]
                rows[REACH + lane], rows[MISSED + lane] = 0.0, 0.0
                rows[ACROSS + lane], rows[ALONG + lane], rows[DOWN + lane] = way
                rows[SIDE + lane] = side
                rows[SHEAR + lane], rows[TAPER + lane] = turns[tooth, 0], turns[tooth, 1]


@compiled
def _square_reaches(rows: Floats, right: int, count: int, crowns: Crowns) -> None:
    """How far both teeth's surfaces lie beyond their places along their rays, met about square.

    -1e6 off the flank.
    """
    for _ in range(SQUARE_STEPS):
        for k in range(2):
            _look_up(right + k, rows, k * count, count, crowns)
        for lane in range(2 * count):
            t, dx = rows[REACH + lane], rows[ACROSS + lane]
            y = rows[BUCCAL + lane] + t * rows[ALONG + lane]
            out = y - rows[MIDDLE + lane]
            left = 1.0 - (abs(out) / rows[BREADTH + lane]) ** rows[POWER + lane]
            if left <= 0.0 or rows[MISSED + lane] > 0.0:
                rows[MISSED + lane] = 1.0
                continue
            half = rows[HALF + lane] * (1.0 + rows[TAPER + lane] * out)
            half *= left ** (1.0 / rows[POWER + lane])
            surface = rows[CENTRE + lane] + rows[SIDE + lane] * half + rows[SHEAR + lane] * y
            rows[REACH + lane] = t + (surface - (rows[MESIAL + lane] + t * dx)) / dx
    for lane in range(2 * count):
        if rows[MISSED + lane] > 0.0:
            rows[REACH + lane] = -1e6


@compiled
def _steep_reaches(rows: Floats, together: NDArray[np.int64], count: int, crowns: Crowns) -> None:
    """As `_square_reaches`, by Newton's steps, for surfaces that a ray meets far from square.

    Of several contacts. All places take a step before the next, without a branch or a call, so that
    a processor takes several at once.
    """
    lanes = 2 * count * len(together)
    for _ in range(STEEP_STEPS):
        for h in range(len(together)):
            for k in range(2):
                _look_up(together[h] + k, rows, (2 * h + k) * count, count, crowns)
        for lane in range(lanes):
            t, middle, breadth = rows[REACH + lane], rows[MIDDLE + lane], rows[BREADTH + lane]
            dx, dy, side = rows[ACROSS + lane], rows[ALONG + lane], rows[SIDE + lane]
            shear, taper = rows[SHEAR + lane], rows[TAPER + lane]
            across = rows[BUCCAL + lane] + t * dy
            out = (across - middle) / breadth
            share = min(FLANK_END, out)
            share = max(-FLANK_END, share)
            y = middle + share * breadth
            steep = _power(abs(share), rows[POWER + lane] - 1.0)
            left = 1.0 - steep * abs(share)
            curve = _power(left, 1.0 / rows[POWER + lane])
            wide = 1.0 + taper * (y - middle)
            half = side * rows[HALF + lane]
            fall = steep * curve / (left * breadth)
            fall = -fall if share > 0.0 else fall
            slope = half * (fall * wide + curve * taper) + shear
            # Beyond the flank's end its tangent goes on.
            surface = rows[CENTRE + lane] + half * wide * curve + shear * y + slope * (across - y)
            down = side * (dx - slope * dy)
            held = max(LEAST_DOWN, down)
            step = side * (surface - (rows[MESIAL + lane] + t * dx)) / held
            rows[OUT + lane], rows[STEP + lane] = abs(out), abs(step)
            rows[MISSED + lane] += 1.0 if down < LEAST_DOWN else 0.0
            rows[REACH + lane] = t + step
    for lane in range(lanes):
        off = rows[OUT + lane] > FLANK_END or rows[STEP + lane] >= SETTLED_MM
        if off or rows[MISSED + lane] > 0.0:
            rows[REACH + lane] = -1e6


@compiled
def _look_up(tooth: int, rows: Floats, first: int, count: int, crowns: Crowns) -> None:
    """Fill in a tooth's sections at the heights that its places have come to."""
    lowest, table = crowns[2][tooth], crowns[3][tooth]
    last = table.shape[0] - 1.000001
    for lane in range(first, first + count):
        height = rows[HEIGHT + lane] + rows[REACH + lane] * rows[DOWN + lane]
        row = min(max((height - lowest) / HEIGHT_STEP_MM, 0.0), last)
        k = int(row)
        f = row - k
        for field in range(5):
            low = table[k, field]
            rows[LANES * field + lane] = low + f * (table[k + 1, field] - low)


@compiled
def _power(base: float, exponent: float) -> float:
    """A number between 0 and 1 to a power, to 13 digits, by a series that needs no call.

    Its terms are added by twos and fours, which a processor can do beside one another.
    """
    bits = np.float64(base).view(np.int64)
    # Twos taken out, so that the rest lies between the roots of a half and of two.
    twos = (bits - ROOT_HALF_BITS) >> 52
    rest = np.int64(bits - (twos << 52)).view(np.float64)
    s = (rest - 1.0) / (rest + 1.0)
    w = s * s
    w2 = w * w
    w4 = w2 * w2
    series = (1.0 + w * (1 / 3)) + w2 * (1 / 5 + w * (1 / 7))
    series += w4 * ((1 / 9 + w * (1 / 11)) + w2 * (1 / 13 + w * (1 / 15)))
    power = exponent * (twos * LN_TWO + 2.0 * s * series)
    power = max(-700.0, power)
    whole = np.floor(power / LN_TWO + 0.5)
    r = power - whole * LN_TWO
    r2 = r * r
    r4 = r2 * r2
    tail = (1.0 + r) + r2 * (0.5 + r * (1 / 6))
    tail += r4 * ((1 / 24 + r * (1 / 120)) + r2 * (1 / 720 + r * (1 / 5040)))
    tail += r4 * r4 * ((1 / 40320 + r * (1 / 362880)) + r2 * (1 / 3628800 + r * (1 / 39916800)))
    scale = np.int64((np.int64(whole) + 1023) << 52).view(np.float64)
    return float(tail * scale)


__all__ = ["least_gaps"]
