"""A drawing of lines and words, written as SVG with its text as text, and as pixels.

Places are in the drawing's own pixels, to the right and down. A panel clips what is in it.
"""

from collections.abc import Iterator
from dataclasses import dataclass, field
from html import escape
from itertools import pairwise
from math import atan2, cos, hypot, pi, sin

import numpy as np
from numpy.typing import NDArray
from PIL import Image, ImageDraw, ImageFont

Colour = tuple[int, int, int]
Place = tuple[float, float]

SHARPER = 3
"""Pixels are drawn this much larger and then shrunk, for smooth lines."""

DASH = (11.0, 7.0)
CHAIN = (20.0, 6.0, 3.0, 6.0)
WHITE: Colour = (255, 255, 255)


@dataclass(frozen=True, slots=True, kw_only=True)
class Line:
    """A line through places, closed or open, filled or not; ``dashes`` are drawn and left."""

    places: tuple[Place, ...]
    colour: Colour | None
    width: float = 1.5
    dashes: tuple[float, ...] = ()
    closed: bool = False
    fill: Colour | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Words:
    """A line of text; ``anchor`` is "start", "middle" or "end", the place is on its base line."""

    place: Place
    text: str
    colour: Colour
    size: int = 17
    anchor: str = "start"
    bold: bool = False


Shape = Line | Words


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

    ``title`` and ``description`` go into the SVG for those who cannot see it.
    """

    width: int
    height: int
    title: str
    description: str
    panels: tuple[Panel, ...] = ()
    shapes: tuple[Shape, ...] = field(default=())

    def svg(self) -> str:
        """The drawing as an SVG document."""
        parts = [
            (
                '<svg xmlns="http://www.w3.org/2000/svg" '
                f'width="{self.width}" height="{self.height}" '
                f'viewBox="0 0 {self.width} {self.height}" role="img" '
                'font-family="Helvetica, Arial, sans-serif">'
            ),
            f"<title>{escape(self.title)}</title>",
            f"<desc>{escape(self.description)}</desc>",
            f'<rect width="{self.width}" height="{self.height}" fill="#ffffff"/>',
        ]
        for panel in self.panels:
            parts.append(
                f'<svg x="{panel.left}" y="{panel.top}" width="{panel.width}" '
                f'height="{panel.height}" overflow="hidden">'
            )
            parts += [_svg_of(shape) for shape in panel.shapes]
            parts.append("</svg>")
        parts += [_svg_of(shape) for shape in self.shapes]
        return "\n".join([*parts, "</svg>", ""])

    def picture(self) -> NDArray[np.uint8]:
        """The drawing as pixels, (rows, columns, 3)."""
        canvas = Image.new("RGB", (self.width * SHARPER, self.height * SHARPER), WHITE)
        for panel in self.panels:
            part = Image.new("RGB", (panel.width * SHARPER, panel.height * SHARPER), WHITE)
            for shape in panel.shapes:
                _paint(ImageDraw.Draw(part), shape)
            canvas.paste(part, (panel.left * SHARPER, panel.top * SHARPER))
        for shape in self.shapes:
            _paint(ImageDraw.Draw(canvas), shape)
        small = canvas.resize((self.width, self.height), Image.Resampling.LANCZOS)
        return np.asarray(small)


def arrow(start: Place, end: Place, colour: Colour, *, width: float = 6.0) -> tuple[Shape, ...]:
    """A straight arrow with a filled head."""
    return arrow_along((start, end), colour, width=width)


def arrow_along(
    places: tuple[Place, ...], colour: Colour, *, width: float = 6.0
) -> tuple[Shape, ...]:
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


def text_width(text: str, size: int) -> float:
    """Width of a line of text in pixels, as the picture has it."""
    return float(_font(size).getlength(text))


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


def _font(size: int) -> ImageFont.FreeTypeFont | ImageFont.ImageFont:
    return ImageFont.load_default(size)


def _svg_of(shape: Shape) -> str:
    if isinstance(shape, Words):
        weight = ' font-weight="bold"' if shape.bold else ""
        return (
            f'<text x="{shape.place[0]:.1f}" y="{shape.place[1]:.1f}" font-size="{shape.size}" '
            f'text-anchor="{shape.anchor}" fill="{_hex(shape.colour)}"{weight} stroke="#ffffff" '
            f'stroke-width="4" paint-order="stroke">{escape(shape.text)}</text>'
        )
    points = " ".join(f"{x:.1f},{y:.1f}" for x, y in shape.places)
    dashes = ",".join(f"{length:g}" for length in shape.dashes)
    return (
        f'<{"polygon" if shape.closed else "polyline"} points="{points}" '
        f'fill="{_hex(shape.fill)}" stroke="{_hex(shape.colour)}" stroke-width="{shape.width:g}"'
        f"{f' stroke-dasharray={chr(34)}{dashes}{chr(34)}' if dashes else ''} "
        'stroke-linejoin="round"/>'
    )


def _hex(colour: Colour | None) -> str:
    return "none" if colour is None else "#{:02x}{:02x}{:02x}".format(*colour)


def _paint(draw: ImageDraw.ImageDraw, shape: Shape) -> None:
    if isinstance(shape, Words):
        x, y = (SHARPER * value for value in shape.place)
        anchor = {"start": "ls", "middle": "ms", "end": "rs"}[shape.anchor]
        font = _font(shape.size * SHARPER)
        draw.text(
            (x, y), shape.text, WHITE, font, anchor, stroke_width=2 * SHARPER, stroke_fill=WHITE
        )
        bolder = SHARPER // 3 if shape.bold else 0
        draw.text((x, y), shape.text, shape.colour, font, anchor, stroke_width=bolder)
        return
    places = [(SHARPER * x, SHARPER * y) for x, y in shape.places]
    if shape.closed and shape.fill is not None:
        draw.polygon(places, fill=shape.fill)
    if shape.colour is None:
        return
    ends = [*places, places[0]] if shape.closed else places
    width = max(1, round(SHARPER * shape.width))
    for piece in _dashed(ends, tuple(SHARPER * length for length in shape.dashes)):
        draw.line(piece, fill=shape.colour, width=width, joint="curve")


def _dashed(places: list[Place], dashes: tuple[float, ...]) -> Iterator[list[Place]]:
    """The drawn pieces of a line; all of it without dashes."""
    if not dashes:
        yield places
        return
    which, left = 0, dashes[0]
    for (x0, y0), (x1, y1) in pairwise(places):
        length, done = hypot(x1 - x0, y1 - y0), 0.0
        while length - done > 1e-6:
            step = min(left, length - done)
            if which % 2 == 0:
                shares = (done / length, (done + step) / length)
                yield [(x0 + s * (x1 - x0), y0 + s * (y1 - y0)) for s in shares]
            done += step
            left -= step
            if left <= 1e-6:
                which = (which + 1) % len(dashes)
                left = dashes[which]


__all__ = [
    "CHAIN",
    "DASH",
    "Colour",
    "Drawing",
    "Line",
    "Panel",
    "Place",
    "Shape",
    "Words",
    "arrow",
    "arrow_along",
    "text_width",
    "wrapped",
]
