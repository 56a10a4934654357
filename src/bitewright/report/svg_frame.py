"""A chart's frame as SVG: axes, grid, points, lines and words in one calm look."""

from collections.abc import Sequence
from dataclasses import dataclass, field
from html import escape

INK = "#26323a"
QUIET = "#6b7780"
GRID = "#e4e8ea"
CALM = "#2a6f8f"
PALE = "#d8e7ee"
WARM = "#b04a12"
FONT = "Libertinus Serif, Georgia, Times New Roman, serif"


@dataclass(frozen=True, slots=True, kw_only=True)
class Span:
    """Data range of an axis and its ticks with their words."""

    low: float
    high: float
    ticks: tuple[tuple[float, str], ...]
    title: str = ""


@dataclass(slots=True, kw_only=True)
class Frame:
    """A drawing that grows: place things in data units. Sizes are in CSS pixels."""

    x: Span
    y: Span
    alt: str
    width: int = 720
    height: int = 300
    left: int = 56
    right: int = 18
    top: int = 16
    bottom: int = 44
    parts: list[str] = field(default_factory=list)

    def at_x(self, value: float) -> float:
        """Pixel across."""
        room = self.width - self.left - self.right
        return self.left + room * (value - self.x.low) / (self.x.high - self.x.low)

    def at_y(self, value: float) -> float:
        """Pixel down."""
        room = self.height - self.top - self.bottom
        return self.height - self.bottom - room * (value - self.y.low) / (self.y.high - self.y.low)

    def line(
        self, xs: Sequence[float], ys: Sequence[float], *, colour: str = CALM, dash: str = ""
    ) -> None:
        """A line through points."""
        path = " ".join(
            f"{self.at_x(x):.1f},{self.at_y(y):.1f}" for x, y in zip(xs, ys, strict=True)
        )
        dashes = f' stroke-dasharray="{dash}"' if dash else ""
        self.parts.append(
            f'<polyline points="{path}" fill="none" stroke="{colour}" stroke-width="1.4"{dashes}/>'
        )

    def band(self, x0: float, x1: float, y0: float, y1: float, colour: str = PALE) -> None:
        """A filled box."""
        left, top = self.at_x(min(x0, x1)), self.at_y(max(y0, y1))
        wide = abs(self.at_x(x1) - self.at_x(x0))
        tall = abs(self.at_y(y1) - self.at_y(y0))
        self.parts.append(
            f'<rect x="{left:.1f}" y="{top:.1f}" width="{wide:.1f}" height="{tall:.1f}" '
            f'fill="{colour}"/>'
        )

    def dot(self, x: float, y: float, *, apart: bool = False) -> None:
        """A point; one set apart is a larger diamond in another colour."""
        px, py = self.at_x(x), self.at_y(y)
        if apart:
            r = 6
            path = f"M{px:.1f},{py - r:.1f} l{r},{r} l-{r},{r} l-{r},-{r} z"
            self.parts.append(f'<path d="{path}" fill="{WARM}" stroke="white"/>')
        else:
            self.parts.append(
                f'<circle cx="{px:.1f}" cy="{py:.1f}" r="3.4" fill="{CALM}" stroke="white"/>'
            )

    def word(
        self,
        x: float,
        y: float,
        text: str,
        *,
        anchor: str = "start",
        colour: str = INK,
        size: int = 12,
        dx: float = 0,
        dy: float = 0,
    ) -> None:
        """Words at a place in data units, moved by pixels."""
        self.parts.append(
            _text(
                self.at_x(x) + dx, self.at_y(y) + dy, text, anchor=anchor, colour=colour, size=size
            )
        )

    def svg(self) -> str:
        """The whole drawing."""
        return (
            f'<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 {self.width} {self.height}" '
            f'width="{self.width}" height="{self.height}" role="img" '
            f'aria-label="{escape(self.alt, quote=True)}" font-family="{FONT}">'
            f"{''.join(self._axes())}{''.join(self.parts)}</svg>"
        )

    def _axes(self) -> list[str]:
        out = []
        base = self.height - self.bottom
        for value, words in self.y.ticks:
            y = self.at_y(value)
            out.append(
                f'<line x1="{self.left}" x2="{self.width - self.right}" y1="{y:.1f}" '
                f'y2="{y:.1f}" stroke="{GRID}"/>'
            )
            out.append(_text(self.left - 8, y + 4, words, anchor="end", colour=QUIET, size=12))
        for value, words in self.x.ticks:
            x = self.at_x(value)
            out.append(
                f'<line x1="{x:.1f}" x2="{x:.1f}" y1="{base}" y2="{base + 4}" stroke="{QUIET}"/>'
            )
            out.append(_text(x, base + 18, words, anchor="middle", colour=QUIET, size=12))
        out.append(
            f'<line x1="{self.left}" x2="{self.width - self.right}" y1="{base}" y2="{base}" '
            f'stroke="{QUIET}"/>'
        )
        middle = (self.left + self.width - self.right) / 2
        if self.x.title:
            below = self.height - 6
            out.append(_text(middle, below, self.x.title, anchor="middle", colour=INK, size=12))
        if self.y.title:
            out.append(_text(self.left, 12, self.y.title, anchor="start", colour=INK, size=12))
        return out


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


def _text(x: float, y: float, words: str, *, anchor: str, colour: str, size: int) -> str:
    return (
        f'<text x="{x:.1f}" y="{y:.1f}" text-anchor="{anchor}" fill="{colour}" '
        f'font-size="{size}">{escape(words)}</text>'
    )


__all__ = ["CALM", "GRID", "INK", "PALE", "QUIET", "WARM", "Frame", "Span", "percent_span", "steps"]
