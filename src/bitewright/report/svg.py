"""A drawing as SVG, its words as words; every chart and drawing is written here."""

from base64 import b64encode
from html import escape
from io import BytesIO

from PIL import Image

from bitewright.report.shapes import Dot, Drawing, Line, Picture, Shape, Words

FONT = "Libertinus Serif, Times New Roman, Liberation Serif, Times, serif"
"""The first is what reports and pictures are set in; a browser that lacks it takes the next. The
last may be wider than all others: `shapes.text_width` leaves room for it."""


def svg_of(drawing: Drawing) -> str:
    """The drawing as an SVG document."""
    size = f'width="{drawing.width}" height="{drawing.height}"'
    parts = [
        (
            f'<svg xmlns="http://www.w3.org/2000/svg" {size} '
            f'viewBox="0 0 {drawing.width} {drawing.height}" role="img" font-family="{FONT}">'
        ),
        f"<title>{escape(drawing.title)}</title>",
        f"<desc>{escape(drawing.description)}</desc>",
        f'<rect {size} fill="{drawing.ground}"/>',
    ]
    for panel in drawing.panels:
        parts.append(
            f'<svg x="{panel.left}" y="{panel.top}" width="{panel.width}" '
            f'height="{panel.height}" overflow="hidden">'
        )
        parts += [_element(shape) for shape in panel.shapes]
        parts.append("</svg>")
    parts += [_element(shape) for shape in drawing.shapes]
    return "\n".join([*parts, "</svg>", ""])


def _element(shape: Shape) -> str:
    if isinstance(shape, Words):
        return _words(shape)
    if isinstance(shape, Line):
        return _line(shape)
    if isinstance(shape, Dot):
        return _dot(shape)
    return _picture(shape)


def _words(shape: Words) -> str:
    weight = ' font-weight="bold"' if shape.bold else ""
    halo = (
        f' stroke="{shape.halo}" stroke-width="4" stroke-linejoin="round" paint-order="stroke"'
        if shape.halo
        else ""
    )
    return (
        f'<text x="{shape.place[0]:.1f}" y="{shape.place[1]:.1f}" font-size="{shape.size}" '
        f'text-anchor="{shape.anchor}" fill="{shape.colour}"{weight}{halo}>'
        f"{escape(shape.text)}</text>"
    )


def _line(shape: Line) -> str:
    points = " ".join(f"{x:.1f},{y:.1f}" for x, y in shape.places)
    dashes = ",".join(f"{length:g}" for length in shape.dashes)
    dashed = f' stroke-dasharray="{dashes}"' if dashes else ""
    return (
        f'<{"polygon" if shape.closed else "polyline"} points="{points}" '
        f'fill="{shape.fill or "none"}" stroke="{shape.colour or "none"}" '
        f'stroke-width="{shape.width:g}"{dashed} stroke-linejoin="round"{_row(shape)}/>'
    )


def _dot(shape: Dot) -> str:
    return (
        f'<circle cx="{shape.place[0]:.1f}" cy="{shape.place[1]:.1f}" r="{shape.radius:g}" '
        f'fill="{shape.fill or "none"}" stroke="{shape.colour or "none"}" '
        f'stroke-width="{shape.width:g}"{_row(shape)}/>'
    )


def _row(shape: Line | Dot) -> str:
    return "" if shape.row is None else f' data-row="{shape.row}"'


def _picture(shape: Picture) -> str:
    rows, columns = shape.pixels.shape[:2]
    held = BytesIO()
    Image.fromarray(shape.pixels).save(held, format="png", compress_level=1)
    return (
        f'<image x="{shape.place[0]:g}" y="{shape.place[1]:g}" width="{columns}" '
        f'height="{rows}" href="data:image/png;base64,{b64encode(held.getvalue()).decode()}"/>'
    )


__all__ = ["svg_of"]
