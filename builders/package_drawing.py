"""Packages as rooms, layer by layer, with an arrow to each room another leans on; an SVG.

Arrows that a longer way along other arrows replaces are left out. An arrow that passes a layer is
led through a gap in it. Rooms of a layer are put in the order that keeps arrows short.
"""

from collections.abc import Iterator, Mapping
from html import escape
from itertools import pairwise

ROOM_WIDTH, ROOM_HEIGHT = 116, 34
LAYER_HEIGHT = 72
GAP = 18
MARGIN = 28
SWEEPS = 24
"""Our choice: by then the order no longer changes."""

Place = str | tuple[str, str, int]
"""A room by its name, or where an arrow between two rooms passes a layer."""

STYLE = """\
<style>
text { font: 14px "DejaVu Sans", Verdana, sans-serif; text-anchor: middle; fill: #1d2733; }
.room { fill: #eaf1f7; stroke: #2f5d86; stroke-width: 1.4; }
.apart { fill: #ffffff; stroke-dasharray: 5 4; }
.arrow { fill: none; stroke: #6b7885; stroke-width: 1.3; marker-end: url(#head); }
</style>
<defs><marker id="head" viewBox="0 0 8 8" refX="7" refY="4" markerWidth="8" markerHeight="8"
 orient="auto"><path d="M0,0.8 L7,4 L0,7.2 z" fill="#6b7885"/></marker></defs>"""


def drawing(rows: list[list[str]], imports: Mapping[str, frozenset[str]], *, apart: str) -> str:
    """Draw the rooms of each layer, top to bottom.

    Parameters
    ----------
    rows : list of list of str
        The layers, top to bottom.
    imports : mapping
        What each room imports; only what lies in a lower layer is drawn.
    apart : str
        A room drawn dashed.

    Returns
    -------
    str
        The SVG.
    """
    layer = {name: number for number, names in enumerate(rows) for name in names}
    arrows = sorted(needed(lower_only(imports, layer)))
    ways = [way(first, last, layer) for first, last in arrows]
    across = spread(in_order(rows, ways), ways)
    width = max(across.values()) + ROOM_WIDTH / 2 + MARGIN
    height = LAYER_HEIGHT * (len(rows) - 1) + ROOM_HEIGHT + 2 * MARGIN
    down = {
        place: MARGIN + ROOM_HEIGHT / 2 + LAYER_HEIGHT * number for place, number in layer.items()
    }
    lines = [arrow([(across[place], place) for place in each], layer) for each in ways]
    rooms = [room(name, across[name], down[name], dashed=name == apart) for name in layer]
    return "\n".join(
        [
            f'<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 {width:.0f} {height:.0f}"',
            f'width="{width:.0f}" role="img" aria-label="The packages, layer by layer">',
            STYLE,
            f'<rect width="{width:.0f}" height="{height:.0f}" fill="#ffffff"/>',
            *lines,
            *rooms,
            "</svg>\n",
        ]
    )


def lower_only(
    imports: Mapping[str, frozenset[str]], layer: Mapping[str, int]
) -> dict[str, set[str]]:
    """What each room imports from below, which a contract says is all it imports."""
    return {
        name: {other for other in imports[name] if layer[other] > layer[name]} for name in layer
    }


def needed(imports: dict[str, set[str]]) -> Iterator[tuple[str, str]]:
    """The arrows that no longer way replaces."""
    reached: dict[str, set[str]] = {}
    for name in reversed(imports):  # from the lowest layer up
        reached[name] = set().union(imports[name], *(reached[other] for other in imports[name]))
    for name, others in imports.items():
        for other in others:
            if not any(other in reached[between] for between in others):
                yield name, other


def way(first: str, last: str, layer: Mapping[str, int]) -> list[Place]:
    """From one room to another, with a place in each layer between."""
    between = range(layer[first] + 1, layer[last])
    return [first, *((first, last, number) for number in between), last]


def in_order(rows: list[list[str]], ways: list[list[Place]]) -> list[list[Place]]:
    """Rooms and passing arrows of each layer, in an order that keeps arrows short."""
    layer = {name: number for number, names in enumerate(rows) for name in names}
    ordered: list[list[Place]] = [list(names) for names in rows]
    for each in ways:
        for number, passed in enumerate(each[1:-1], layer[str(each[0])] + 1):
            ordered[number].append(passed)
    above, under = neighbours(ways)
    for sweep in range(SWEEPS):
        downward = sweep % 2 == 0
        near = above if downward else under
        numbers = range(len(rows)) if downward else range(len(rows) - 1, -1, -1)
        for before, number in pairwise(numbers):
            rank = shares(ordered[before])
            own = shares(ordered[number])
            wished = {p: mean([rank[q] for q in near.get(p, [])], own[p]) for p in own}
            ordered[number].sort(key=wished.__getitem__)
    return ordered


def shares(row: list[Place]) -> dict[Place, float]:
    """How far along its layer each place stands, 0 to 1."""
    return {place: k / max(1, len(row) - 1) for k, place in enumerate(row)}


def spread(ordered: list[list[Place]], ways: list[list[Place]]) -> dict[Place, float]:
    """Where each place stands across: near those it is joined to, none upon another."""
    above, under = neighbours(ways)
    across = {place: float(k * ROOM_WIDTH) for row in ordered for k, place in enumerate(row)}
    for _ in range(8 * SWEEPS):
        for row in ordered:
            wished = [
                mean([across[q] for q in [*above.get(p, []), *under.get(p, [])]], across[p])
                for p in row
            ]
            across.update(zip(row, kept_apart(row, wished), strict=True))
    least = min(across.values()) - ROOM_WIDTH / 2 - MARGIN
    return {place: x - least for place, x in across.items()}


def kept_apart(row: list[Place], wished: list[float]) -> list[float]:
    """The places nearest to those wished at which neighbours keep their distance, in order."""
    needs = [0.0]
    for left, right in pairwise(row):
        needs.append(needs[-1] + (half(left) + half(right)) + GAP)
    groups: list[list[float]] = []
    for x, need in zip(wished, needs, strict=True):
        groups.append([x - need])
        while len(groups) > 1 and mean(groups[-2]) > mean(groups[-1]):
            groups[-2:] = [groups[-2] + groups[-1]]
    levelled = [mean(group) for group in groups for _ in group]
    return [x + need for x, need in zip(levelled, needs, strict=True)]


def neighbours(
    ways: list[list[Place]],
) -> tuple[dict[Place, list[Place]], dict[Place, list[Place]]]:
    """What each place is joined to above, and below."""
    above: dict[Place, list[Place]] = {}
    under: dict[Place, list[Place]] = {}
    for each in ways:
        for upper, lower in pairwise(each):
            above.setdefault(lower, []).append(upper)
            under.setdefault(upper, []).append(lower)
    return above, under


def half(place: Place) -> float:
    """Half the room a place takes."""
    return ROOM_WIDTH / 2 if isinstance(place, str) else 2.0


def mean(values: list[float], otherwise: float = 0.0) -> float:
    """The mean, or something else where there is nothing."""
    return sum(values) / len(values) if values else otherwise


def arrow(places: list[tuple[float, Place]], layer: Mapping[str, int]) -> str:
    """One arrow as a smooth line from the foot of a room to the head of another."""
    first = layer[str(places[0][1])]
    points = []
    for k, (x, place) in enumerate(places):
        top = MARGIN + LAYER_HEIGHT * (first + k)
        if k > 0:
            points.append((x, float(top)))
        if not (isinstance(place, str) and k > 0):
            points.append((x, float(top + ROOM_HEIGHT)))
    path = f"M{points[0][0]:.0f},{points[0][1]:.0f}"
    for (x0, y0), (x1, y1) in pairwise(points):
        bend = (y1 - y0) / 2
        path += f" C{x0:.0f},{y0 + bend:.0f} {x1:.0f},{y1 - bend:.0f} {x1:.0f},{y1:.0f}"
    return f'<path class="arrow" d="{path}"/>'


def room(name: str, x: float, y: float, *, dashed: bool) -> str:
    """One room with its name."""
    kind = "room apart" if dashed else "room"
    left, top = x - ROOM_WIDTH / 2, y - ROOM_HEIGHT / 2
    return (
        f'<rect class="{kind}" x="{left:.0f}" y="{top:.0f}" width="{ROOM_WIDTH}" '
        f'height="{ROOM_HEIGHT}" rx="5"/><text x="{x:.0f}" y="{y + 5:.0f}">{escape(name)}</text>'
    )
