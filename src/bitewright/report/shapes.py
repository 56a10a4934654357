"""What every drawing is made of: lines, dots, words and pictures, described once.

Places are in the drawing's own pixels, to the right and down. A panel clips what is in it.
"""

from dataclasses import dataclass, field
from math import atan2, cos, pi, sin

import numpy as np
from numpy.typing import NDArray
from PIL import ImageFont

from bitewright.report.palette import INK, WHITE

Place = tuple[float, float]

DASH = (11.0, 7.0)
CHAIN = (20.0, 6.0, 3.0, 6.0)


@dataclass(frozen=True, slots=True, kw_only=True)
class Line:
    """A line through places, closed or open, filled or not; ``dashes`` are drawn and left.

    ``row``: of the figure's table, which it stands for; a page leads from here to what is in it.
    """

    places: tuple[Place, ...]
    colour: str | None
    width: float = 1.5
    dashes: tuple[float, ...] = ()
    closed: bool = False
    fill: str | None = None
    row: int | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Dot:
    """A round point, filled or a ring; ``row`` as a line's."""

    place: Place
    radius: float
    fill: str | None
    colour: str | None = None
    width: float = 1.0
    row: int | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Words:
    """A line of text; ``anchor`` is "start", "middle" or "end", the place is on its base line.

    ``halo``: colour of the rim that sets it off from what lies under it; not in a report, where
    letters are set one by one and each rim would eat into the letter before.
    """

    place: Place
    text: str
    colour: str = INK
    size: int = 17
    anchor: str = "start"
    bold: bool = False
    halo: str | None = WHITE


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Picture:
    """Pixels, (rows, columns) or (rows, columns, 3) uint8, each as large as one of the drawing."""

    place: Place
    pixels: NDArray[np.uint8]


Shape = Line | Dot | Words | Picture


@dataclass(frozen=True, slots=True, kw_only=True)
class Panel:
    """A part of a drawing, clipped to its own size."""

    left: int
    top: int
    width: int
    height: int
    shapes: tuple[Shape, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class Drawing:
    """A page with panels, and shapes drawn over them.

    ``title`` and ``description`` are for those who cannot see it.
    """

    width: int
    height: int
    title: str
    description: str
    panels: tuple[Panel, ...] = ()
    shapes: tuple[Shape, ...] = field(default=())
    ground: str = WHITE


def upright_box(left: float, top: float, width: float, height: float) -> tuple[Place, ...]:
    """Corners of an upright box, for a closed line."""
    right, foot = left + width, top + height
    return ((left, top), (right, top), (right, foot), (left, foot))


def arrow(start: Place, end: Place, colour: str, *, width: float = 6.0) -> tuple[Shape, ...]:
    """A straight arrow with a filled head."""
    return arrow_along((start, end), colour, width=width)


def arrow_along(places: tuple[Place, ...], colour: str, *, width: float = 6.0) -> tuple[Shape, ...]:
    """An arrow along places, its head at the last."""
    (x0, y0), (x, y) = places[-2:]
    way = atan2(y - y0, x - x0)
    head = 3.6 * width
    corners = tuple(
        (x + head * cos(way + turn) * reach, y + head * sin(way + turn) * reach)
        for turn, reach in ((0.0, 0.55), (pi - 0.5, 0.85), (pi + 0.5, 0.85))
    )
    neck = (x - 0.5 * head * cos(way), y - 0.5 * head * sin(way))
    return (
        Line(places=(*places[:-1], neck), colour=colour, width=width),
        Line(places=corners, colour=colour, width=1.0, closed=True, fill=colour),
    )


WIDER, BOLDER = 1.17, 1.3
"""So much wider than what is measured here text may be, usual and bold: in DejaVu Serif, the widest
that browsers take where they have none of a drawing's typefaces, 1.16 and 1.28 over the sentences
of corrections."""


def text_width(text: str, size: int, *, bold: bool = False) -> float:
    """Room for a line of text in pixels: no less than it takes, whichever typeface is there."""
    font = ImageFont.load_default(size)
    return float(font.getlength(text)) * (BOLDER if bold else WIDER)


def wrapped(text: str, width: float, size: int) -> list[str]:
    """Text in lines that fit a width."""
    lines: list[str] = []
    line = ""
    for word in text.split():
        longer = f"{line} {word}".strip()
        if line and text_width(longer, size) > width:
            lines.append(line)
            line = word
        else:
            line = longer
    return [*lines, line] if line else lines


__all__ = [
    "CHAIN",
    "DASH",
    "Dot",
    "Drawing",
    "Line",
    "Panel",
    "Picture",
    "Place",
    "Shape",
    "Words",
    "arrow",
    "arrow_along",
    "text_width",
    "upright_box",
    "wrapped",
]
