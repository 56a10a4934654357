"""A chart's frame: axes, grid, points, lines and words in one calm look, placed in data units."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field

from bitewright.report.palette import CALM, INK, PALE, QUIET, RULE, WARM, WHITE
from bitewright.report.shapes import Dot, Drawing, Line, Shape, Words, upright_box

DOT_PX = 3.4
APART_PX = 6.0
WORDS_PX = 12


@dataclass(frozen=True, slots=True, kw_only=True)
class Span:
    """Data range of an axis and its ticks with their words."""

    low: float
    high: float
    ticks: tuple[tuple[float, str], ...]
    title: str = ""


@dataclass(slots=True, kw_only=True)
class Frame:
    """A chart that grows: place things in data units. Sizes are in CSS pixels."""

    x: Span
    y: Span
    width: int = 720
    height: int = 300
    left: int = 56
    right: int = 18
    top: int = 16
    bottom: int = 44
    shapes: list[Shape] = field(default_factory=list)

    def at_x(self, value: float) -> float:
        """Pixel across."""
        room = self.width - self.left - self.right
        return self.left + room * (value - self.x.low) / (self.x.high - self.x.low)

    def at_y(self, value: float) -> float:
        """Pixel down."""
        room = self.height - self.top - self.bottom
        return self.height - self.bottom - room * (value - self.y.low) / (self.y.high - self.y.low)

    def line(
        self,
        xs: Sequence[float],
        ys: Sequence[float],
        *,
        colour: str = CALM,
        dashes: tuple[float, ...] = (),
    ) -> None:
        """A line through points."""
        places = tuple((self.at_x(x), self.at_y(y)) for x, y in zip(xs, ys, strict=True))
        self.shapes.append(Line(places=places, colour=colour, width=1.4, dashes=dashes))

    def band(
        self,
        x0: float,
        x1: float,
        y0: float,
        y1: float,
        colour: str = PALE,
        *,
        row: int | None = None,
    ) -> None:
        """A filled box."""
        left, top = self.at_x(min(x0, x1)), self.at_y(max(y0, y1))
        wide = abs(self.at_x(x1) - self.at_x(x0))
        tall = abs(self.at_y(y1) - self.at_y(y0))
        corners = upright_box(left, top, wide, tall)
        self.shapes.append(Line(places=corners, colour=None, closed=True, fill=colour, row=row))

    def dot(self, x: float, y: float, *, apart: bool = False, row: int | None = None) -> None:
        """A point; one set apart is a larger diamond in another colour."""
        px, py, r = self.at_x(x), self.at_y(y), APART_PX
        if apart:
            corners = ((px, py - r), (px + r, py), (px, py + r), (px - r, py))
            self.shapes.append(
                Line(places=corners, colour=WHITE, width=1.0, closed=True, fill=WARM, row=row)
            )
        else:
            self.shapes.append(Dot(place=(px, py), radius=DOT_PX, fill=CALM, colour=WHITE, row=row))

    def word(
        self,
        x: float,
        y: float,
        text: str,
        *,
        anchor: str = "start",
        colour: str = INK,
        dx: float = 0,
        dy: float = 0,
    ) -> None:
        """Words at a place in data units, moved by pixels."""
        place = (self.at_x(x) + dx, self.at_y(y) + dy)
        self.shapes.append(_words(place, text, anchor=anchor, colour=colour))

    def drawing(self, title: str, description: str) -> Drawing:
        """The whole chart; ``description`` is what a reader who cannot see it should know."""
        return Drawing(
            width=self.width,
            height=self.height,
            title=title,
            description=description,
            shapes=(*self._axes(), *self.shapes),
        )

    def _axes(self) -> Iterator[Shape]:
        base, right = self.height - self.bottom, self.width - self.right
        for value, words in self.y.ticks:
            y = self.at_y(value)
            yield Line(places=((self.left, y), (right, y)), colour=RULE, width=1.0)
            yield _words((self.left - 8, y + 4), words, anchor="end", colour=QUIET)
        for value, words in self.x.ticks:
            x = self.at_x(value)
            yield Line(places=((x, base), (x, base + 4)), colour=QUIET, width=1.0)
            yield _words((x, base + 18), words, anchor="middle", colour=QUIET)
        yield Line(places=((self.left, base), (right, base)), colour=QUIET, width=1.0)
        if self.x.title:
            middle = (self.left + right) / 2
            yield _words((middle, self.height - 6), self.x.title, anchor="middle")
        if self.y.title:
            yield _words((self.left, 12), self.y.title)


def steps(low: float, high: float, *, most: int = 6) -> list[float]:
    """Round tick places within a range."""
    span = max(high - low, 1e-12)
    for power in range(-6, 9):
        for base in (1.0, 2.0, 2.5, 5.0):
            step = base * 10.0**power
            if span / step <= most:
                first = -int(-low // step)
                return [k * step for k in range(first, int(high // step) + 1)]
    return [low, high]


def percent_span(high: float, title: str = "", *, most: int = 6) -> Span:
    """An axis of shares from nought, in percent."""
    top = min(max(high * 1.08, 0.02), 1.0)
    ticks = tuple((value, f"{100 * value:g}%") for value in steps(0.0, top, most=most))
    return Span(low=0.0, high=top, ticks=ticks, title=title)


def _words(
    place: tuple[float, float], text: str, *, anchor: str = "start", colour: str = INK
) -> Words:
    return Words(place=place, text=text, colour=colour, size=WORDS_PX, anchor=anchor, halo=None)


__all__ = ["Frame", "Span", "percent_span", "steps"]
