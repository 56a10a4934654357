"""From projected triangles to a signed depth in every pixel they cover.

Depth is kept as g = 1/t - 1, t being the fraction of the way from the source to the receptor
plane. For a flat triangle g is an affine function of the place on the receptor, so perspective is
exact; at the receptor g is 0, and g/(1 + g) = 1 - t is what is summed: plus where a ray enters a
surface, minus where it leaves. The sum over a closed surface, times the distance from source to
pixel, is the length inside it: in any order, without sorting, without an epsilon.

Every edge is turned into pixels by one expression from its upper end to its lower, held between its
ends, so the two triangles that share it agree to the last bit on which pixels are whose. For that
the compiler must not reorder or fuse that expression differently in different places, hence no
fast-math in this file. The sign comes from the same turning into pixels, never from a normal
computed apart.

Work goes in steps of many triangles or many rows at once, each a loop without branches over one
table whose columns lie at fixed places: so the compiler takes eight numbers at a time. Short spans
of pixels are added eight pixels at a time too, with nothing in those beside the span.
"""

import numpy as np
from numpy.typing import NDArray

from bitewright.compiled import compiled
from bitewright.film.film_screen import Screen

Floats32 = NDArray[np.float32]
Ints = NDArray[np.int64]
Ints32 = NDArray[np.int32]
Sums = tuple[Floats32, NDArray[np.bool_], Ints, Ints, Ints32]
"""Signed depths (groups, rows, columns), and whether a row of a group was added to; balances
(rows,) of the signs, and the codes (columns + 1,) they are summed with: a row's balance is 0 if at
every pixel rays leave as often as they enter, and else surely is not; steps of the signs from pixel
to pixel (rows, columns + 1), or an array without rows if they are not wanted."""

LANES = 8
"""Pixels, and rows, taken at a time. Callers hand it in: told beforehand, the compiler unrolls."""

ZERO = np.float32(0.0)
"""0 in single precision, so that compiled sums stay in it."""

ONE = np.float32(1.0)
"""1 in single precision."""

BATCH = 128
"""Triangles in their table at a time; the names below are where its columns begin."""

X_A, Y_A, G_A, X_B, Y_B, G_B, X_C, Y_C, G_C = ((BATCH + 16) * k for k in range(9))
SIGN, AC, AB, BC, PER_COLUMN, PER_ROW, NEAR, FAR = ((BATCH + 16) * k for k in range(9, 17))
LEFT_AC, RIGHT_AC, LEFT_AB, RIGHT_AB, LEFT_BC, RIGHT_BC = ((BATCH + 16) * k for k in range(17, 23))
FIRST_ROW, END_ROW = (BATCH + 16) * 23, (BATCH + 16) * 24
TABLE = (BATCH + 16) * 25

SPANS = 512
"""Spans in their table at a time; the names below are where its columns begin."""

MOST_ROWS = 64
"""Rows of one triangle that are turned into spans at a time."""

FIRST, END, SPAN_SIGN, SPAN_G, ROW, OWNER = ((SPANS + 16) * k for k in range(6))
SPAN_TABLE = (SPANS + 16) * 6


@compiled
def add_runs(
    screen: Screen,
    triangles: Ints32,
    run_ends: Ints,
    run_groups: Ints32,
    is_seen: NDArray[np.bool_],
    band: tuple[int, int],
    sums: Sums,
    lanes: int,
) -> None:
    """Add many small surfaces as `add_surface` does, those that are seen.

    Parameters
    ----------
    screen : four (n,) arrays
        All surfaces' vertices, as `film_screen.project_runs` leaves them.
    triangles : (m, 3) int array
        Corners counted from the surface's first vertex.
    run_ends : (runs, 2) int array
        Before which vertex and triangle each surface ends.
    run_groups : (runs,) int array
        Which sum each adds to.
    is_seen : (runs,) bool array
    band, sums, lanes
        As `add_surface` takes them.
    """
    vertex, triangle = 0, 0
    for k in range(run_ends.shape[0]):
        vertex_end, triangle_end = run_ends[k, 0], run_ends[k, 1]
        if is_seen[k]:
            across, down, depths, sides = screen
            add_surface(
                (
                    across[vertex:vertex_end],
                    down[vertex:vertex_end],
                    depths[vertex:vertex_end],
                    sides[vertex:vertex_end],
                ),
                triangles[triangle:triangle_end],
                run_groups[k],
                band,
                sums,
                lanes,
            )
        vertex, triangle = vertex_end, triangle_end


@compiled
def add_surface(
    screen: Screen,
    triangles: Ints32,
    group: int,
    band: tuple[int, int],
    sums: Sums,
    lanes: int,
) -> None:
    """Add a surface's signed depths to the rows of a band.

    Triangles are taken in order, so a pixel's sum does not depend on how rows are shared out.

    Parameters
    ----------
    screen : four (n,) arrays
        The surface's vertices, as `film_screen.project_surface` leaves them.
    triangles : (m, 3) int array
    group : int
        Which sum it adds to.
    band : tuple
        First row and the row after the last.
    sums : Sums
    lanes : int
        `LANES`, or the number of columns if there are fewer.
    """
    table, spans = np.empty(TABLE, dtype=np.float32), np.empty(SPAN_TABLE, dtype=np.float32)
    chosen = np.empty(BATCH + 1, dtype=np.int32)
    columns, group = sums[0].shape[2], index(group)
    for first in range(0, triangles.shape[0], BATCH):
        count = min(BATCH, triangles.shape[0] - first)
        count = choose_within(screen[3], triangles, first, count, chosen)
        gather(screen, triangles, chosen, count, table)
        order_corners(table, count)
        find_slopes(table, count)
        count = choose_covering(table, count, band, columns, chosen)
        filled = 0
        for k in range(count):
            i = index(chosen[k])
            row = table[i + index(FIRST_ROW)]
            left = int(table[i + index(END_ROW)] - row)
            while left > 0:
                rows = min(left, MOST_ROWS)
                if filled + rows > SPANS:
                    add_spans(table, spans, filled, group, sums, lanes)
                    filled = 0
                padded = (rows + lanes - 1) // lanes * lanes
                find_spans(table, i, row, padded, columns, spans, index(filled))
                filled, left, row = filled + rows, left - rows, row + np.float32(rows)
        add_spans(table, spans, filled, group, sums, lanes)


@compiled
def choose_within(sides: Ints32, triangles: Ints32, first: int, count: int, chosen: Ints32) -> int:
    """List the triangles not wholly beyond one side of the band; tell how many.

    ``sides`` (n,) are the vertices', ``triangles`` (m, 3) are asked from ``first`` on, ``chosen``
    (BATCH + 1,) is filled with their numbers.
    """
    found = index(0)
    for k in range(first, first + count):
        a, b, c = index(triangles[k, 0]), index(triangles[k, 1]), index(triangles[k, 2])
        chosen[found] = k
        found += index((sides[a] & sides[b] & sides[c]) == 0)
    return np.int64(found)  # type: ignore[return-value]  # a whole number either way


@compiled
def gather(screen: Screen, triangles: Ints32, chosen: Ints32, count: int, table: Floats32) -> None:
    """Fill the table (TABLE,) with the corners of ``count`` chosen triangles, of (m, 3)."""
    across, down, depths, _ = screen
    for i in range(count):
        k = index(chosen[i])
        a, b, c = index(triangles[k, 0]), index(triangles[k, 1]), index(triangles[k, 2])
        table[i + X_A], table[i + Y_A], table[i + G_A] = across[a], down[a], depths[a]
        table[i + X_B], table[i + Y_B], table[i + G_B] = across[b], down[b], depths[b]
        table[i + X_C], table[i + Y_C], table[i + G_C] = across[c], down[c], depths[c]


@compiled
def order_corners(table: Floats32, count: int) -> None:
    """Let a be the upper, b the middle, c the lower corner; the sign turns with each exchange.

    A face wound anticlockwise as the source sees it is an entry: plus. The table (TABLE,) holds
    ``count`` triangles and is changed in place.
    """
    for i in range(count):
        x_a, y_a, g_a = table[i + X_A], table[i + Y_A], table[i + G_A]
        x_b, y_b, g_b = table[i + X_B], table[i + Y_B], table[i + G_B]
        x_c, y_c, g_c = table[i + X_C], table[i + Y_C], table[i + G_C]
        sign = -ONE
        turn = y_b < y_a
        x_a, x_b = (x_b, x_a) if turn else (x_a, x_b)
        y_a, y_b = (y_b, y_a) if turn else (y_a, y_b)
        g_a, g_b = (g_b, g_a) if turn else (g_a, g_b)
        sign = -sign if turn else sign
        turn = y_c < y_a
        x_a, x_c = (x_c, x_a) if turn else (x_a, x_c)
        y_a, y_c = (y_c, y_a) if turn else (y_a, y_c)
        g_a, g_c = (g_c, g_a) if turn else (g_a, g_c)
        sign = -sign if turn else sign
        turn = y_c < y_b
        x_b, x_c = (x_c, x_b) if turn else (x_b, x_c)
        y_b, y_c = (y_c, y_b) if turn else (y_b, y_c)
        g_b, g_c = (g_c, g_b) if turn else (g_b, g_c)
        table[i + SIGN] = -sign if turn else sign
        table[i + X_A], table[i + Y_A], table[i + G_A] = x_a, y_a, g_a
        table[i + X_B], table[i + Y_B], table[i + G_B] = x_b, y_b, g_b
        table[i + X_C], table[i + Y_C], table[i + G_C] = x_c, y_c, g_c


@compiled
def find_slopes(table: Floats32, count: int) -> None:
    """Fill in columns per row along each edge, 0 if level, where it runs, and depth's slopes.

    Depth is level in a triangle seen as a line; it is held between the corners' own, for one seen
    all but edge-on runs away between pixels. The table (TABLE,) holds ``count`` triangles.
    """
    for i in range(count):
        x_a, y_a, g_a = table[i + X_A], table[i + Y_A], table[i + G_A]
        x_b, y_b, g_b = table[i + X_B], table[i + Y_B], table[i + G_B]
        x_c, y_c, g_c = table[i + X_C], table[i + Y_C], table[i + G_C]
        x_ac, y_ac, g_ac = x_c - x_a, y_c - y_a, g_c - g_a
        x_ab, y_ab, g_ab = x_b - x_a, y_b - y_a, g_b - g_a
        y_bc = y_c - y_b
        table[i + AC] = x_ac / (y_ac if y_ac != ZERO else ONE)
        table[i + AB] = x_ab / (y_ab if y_ab != ZERO else ONE)
        table[i + BC] = (x_c - x_b) / (y_bc if y_bc != ZERO else ONE)
        table[i + LEFT_AC], table[i + RIGHT_AC] = min(x_a, x_c), max(x_a, x_c)
        table[i + LEFT_AB], table[i + RIGHT_AB] = min(x_a, x_b), max(x_a, x_b)
        table[i + LEFT_BC], table[i + RIGHT_BC] = min(x_b, x_c), max(x_b, x_c)
        area = x_ab * y_ac - x_ac * y_ab
        is_line = area == ZERO
        area = ONE if is_line else area
        table[i + PER_COLUMN] = ZERO if is_line else (g_ab * y_ac - g_ac * y_ab) / area
        table[i + PER_ROW] = ZERO if is_line else (g_ac * x_ab - g_ab * x_ac) / area
        table[i + NEAR] = max(g_a, g_b, g_c, ZERO)
        table[i + FAR] = max(min(g_a, g_b, g_c), ZERO)


@compiled
def choose_covering(
    table: Floats32, count: int, band: tuple[int, int], columns: int, chosen: Ints32
) -> int:
    """Fill in each triangle's rows in the band, list those that may cover a pixel, tell how many.

    The table (TABLE,) holds ``count`` triangles; ``chosen`` (BATCH + 1,) is filled.
    """
    first, end, width = np.float32(band[0]), np.float32(band[1]), np.float32(columns)
    for i in range(count):
        first_row = ceiling(within(table[i + Y_A], first, end))
        end_row = ceiling(within(table[i + Y_C], first, end))
        leftmost = min(table[i + LEFT_AC], table[i + LEFT_AB])
        rightmost = max(table[i + RIGHT_AC], table[i + RIGHT_AB])
        left, right = within(leftmost, ZERO, width), within(rightmost, ZERO, width)
        table[i + FIRST_ROW] = first_row
        table[i + END_ROW] = end_row if ceiling(left) < ceiling(right) else first_row
    found = index(0)
    for i in range(count):
        chosen[found] = i
        found += index(table[i + FIRST_ROW] < table[i + END_ROW])
    return np.int64(found)  # type: ignore[return-value]  # a whole number either way


@compiled
def find_spans(
    table: Floats32,
    i: int,
    first_row: np.float32,
    rows: int,
    columns: int,
    spans: Floats32,
    at: int,
) -> None:
    """Fill in the spans of pixels that triangle i of the table (TABLE,) covers in some rows.

    ``rows`` is a multiple of the lanes; ``spans`` (SPAN_TABLE,) are filled from place ``at`` on.
    """
    x_a, y_a, x_b, y_b = table[i + X_A], table[i + Y_A], table[i + X_B], table[i + Y_B]
    per_row_ac, per_row_ab, per_row_bc = table[i + AC], table[i + AB], table[i + BC]
    left_ac, right_ac = table[i + LEFT_AC], table[i + RIGHT_AC]
    left_ab, right_ab = table[i + LEFT_AB], table[i + RIGHT_AB]
    left_bc, right_bc = table[i + LEFT_BC], table[i + RIGHT_BC]
    g_a, g_per_row, sign = table[i + G_A], table[i + PER_ROW], table[i + SIGN]
    width, owner = np.float32(columns), np.float32(i)
    for k in range(rows):
        row = first_row + np.float32(np.int32(k))
        long = within(x_a + (row - y_a) * per_row_ac, left_ac, right_ac)
        upper = within(x_a + (row - y_a) * per_row_ab, left_ab, right_ab)
        lower = within(x_b + (row - y_b) * per_row_bc, left_bc, right_bc)
        short = upper if row < y_b else lower
        is_turned = short < long
        left, right = (short, long) if is_turned else (long, short)
        spans[at + index(k + FIRST)] = ceiling(within(left, ZERO, width))
        spans[at + index(k + END)] = ceiling(within(right, ZERO, width))
        spans[at + index(k + SPAN_SIGN)] = -sign if is_turned else sign
        spans[at + index(k + SPAN_G)] = g_a + g_per_row * (row - y_a)
        spans[at + index(k + ROW)] = row
        spans[at + index(k + OWNER)] = owner


@compiled
def add_spans(
    table: Floats32,
    spans: Floats32,
    count: int,
    group: int,
    sums: Sums,
    lanes: int,
) -> None:
    """Add spans to their rows: depth to pixels, ends to the balance and, if wanted, signs.

    The first ``count`` of ``spans`` (SPAN_TABLE,) and ``table`` (TABLE,) are as `find_spans` left
    them, the rest as `add_surface` takes it.
    """
    depths, is_touched, balances, codes, steps = sums
    last_place = depths.shape[2] - lanes
    for k in range(count):
        row, sign = index(int(spans[k + ROW])), spans[k + SPAN_SIGN]
        first, end = int(spans[k + FIRST]), int(spans[k + END])
        is_touched[group, row] = True
        balances[row] += int(sign) * (codes[index(first)] - codes[index(end)])
        i = index(int(spans[k + OWNER]))
        while True:
            place = min(first, last_place)
            add_pixels(table, i, spans, k, group, row, place, first, depths, lanes)
            first = place + lanes
            if first >= end:
                break
    if steps.shape[0] > 0:
        for k in range(count):
            row, sign = index(int(spans[k + ROW])), int(spans[k + SPAN_SIGN])
            steps[row, index(int(spans[k + FIRST]))] += sign
            steps[row, index(int(spans[k + END]))] -= sign


@compiled
def add_pixels(
    table: Floats32,
    i: int,
    spans: Floats32,
    k: int,
    group: int,
    row: int,
    place: int,
    first: int,
    depths: Floats32,
    lanes: int,
) -> None:
    """Add triangle i's depth in span k to ``lanes`` pixels from a place on: 0 outside the span.

    ``table`` (TABLE,) and ``spans`` (SPAN_TABLE,) are as `find_spans` leaves them, ``depths``
    (groups, rows, columns) are added to; ``first`` is where the span begins or goes on.
    """
    x_a, near, far = table[i + X_A], table[i + NEAR], table[i + FAR]
    g_line, g_per_column, sign = spans[k + SPAN_G], table[i + PER_COLUMN], spans[k + SPAN_SIGN]
    start, begin, end = np.float32(place), np.float32(first), spans[k + END]
    for j in range(lanes):
        column = start + np.float32(np.int32(j))
        g = within(g_line + g_per_column * (column - x_a), far, near)
        depth = sign * (g / (ONE + g))
        is_inside = (column >= begin) & (column < end)
        depths[group, row, index(place + j)] += depth if is_inside else ZERO


@compiled
def index(i: int) -> int:
    """An index known not to be negative: spares the test for counting from the end."""
    return np.uint64(i)  # type: ignore[return-value]  # a whole number either way


@compiled
def ceiling(x: np.float32) -> np.float32:
    """Least whole number not below x, which is not negative and less than 2^31."""
    towards_zero = np.float32(np.int32(x))
    return towards_zero + ONE if towards_zero < x else towards_zero


@compiled
def within(x: np.float32, least: np.float32, most: np.float32) -> np.float32:
    """A number held between two bounds.

    What is no number becomes the lower bound: hence least is asked before most.
    """
    return min(most, max(least, x))


__all__ = ["LANES", "Sums", "add_runs", "add_surface"]
