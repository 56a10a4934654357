"""The drawing of a chair card: from above, and from the side against both rows of teeth."""

import numpy as np
from numpy.typing import NDArray

from bitewright.exposing.exposure import Exposures
from bitewright.report import exposure_views as views
from bitewright.report.drawing_panel import Content, Fit, made_panel, tooth_line, tooth_shapes
from bitewright.report.palette import INK, NEXT, NEXT_FILL, PALE, WARM
from bitewright.report.shapes import CHAIN, DASH, Drawing, Line, Shape, Words
from bitewright.words.card_drawing import (
    BLOCK,
    BLOCK_HERE,
    CASING,
    FROM_ABOVE,
    FROM_SIDE,
    RIM,
    RING,
    drawing_description,
)

Floats = NDArray[np.float64]

WIDTH, HEIGHT, ABOVE = 700, 290, 400
SHORT_TAIL_MM = 10.0
RING_BEYOND_MM = 5.0
LABEL_PX = 15


def card_drawing(exposure: Exposures, title: str) -> Drawing:
    """Receptor, bite block, ring and rim against named teeth, of one exposure."""
    above = made_panel((0, 0, ABOVE, HEIGHT), _above(exposure))
    side = made_panel((ABOVE + 8, 0, WIDTH - ABOVE - 8, HEIGHT), _side(exposure))
    return Drawing(
        width=WIDTH,
        height=HEIGHT,
        title=title,
        description=drawing_description(),
        panels=(above, side),
    )


def _above(exposure: Exposures) -> Content:
    at, laid = exposure.station, views.from_above(exposure)
    rows = views.crowns_mouth(at, exposure.seat, lower=False)
    outlines = {code: views.hull(views.above(points)) for code, points in rows.items()}
    own = {c: line for c, line in outlines.items() if c // 10 in at.region.quadrants}
    block, ring, tube = _block(exposure), _ring(exposure), _rim(laid)
    near = [line for code, line in outlines.items() if code in own or code % 10 <= 3]
    fits = np.concatenate([*near, laid.casing, tube, ring])

    def shapes(fit: Fit) -> list[Shape]:
        others = [tooth_line(fit, line) for code, line in outlines.items() if code not in own]
        drawn: list[Shape] = [*others, *tooth_shapes(fit, own)]
        if len(block):
            drawn.append(
                Line(places=fit.places(block), colour=INK, width=1.6, dashes=DASH, closed=True)
            )
        drawn += [
            Line(
                places=fit.places(laid.ray[1:]) + fit.places(tube[:2].mean(axis=0)[None]),
                colour=WARM,
                width=1.2,
                dashes=CHAIN,
            ),
            Line(
                places=fit.places(laid.casing), colour=NEXT, width=2.0, closed=True, fill=NEXT_FILL
            ),
            Line(places=fit.places(laid.active), colour=NEXT, width=3.0),
            Line(places=fit.places(tube[[1, 2, 3, 0]]), colour=WARM, width=2.0),
            Line(places=fit.places(tube[:2]), colour=WARM, width=4.0),
        ]
        if at.holder.ring:
            drawn.append(Line(places=fit.places(ring), colour=INK, width=2.5))
        return [*drawn, *_labels(fit, exposure, laid, tube)]

    return Content(FROM_ABOVE, fits, shapes, 10)


def _labels(fit: Fit, exposure: Exposures, laid: views.Laid, tube: Floats) -> list[Shape]:
    at = exposure.station
    right = at.region.front_sign > 0
    back = fit.place(laid.casing[[0, 3]].mean(axis=0))
    rim = fit.place(tube[0] if tube[0][1] > tube[1][1] else tube[1])
    anchor = "end" if right else "start"
    words = f"{RING}, {RIM}" if at.holder.ring else RIM
    named: list[Shape] = []
    if exposure.station.holder.bite_block_length_mm:
        corner = (fit.width - 12.0, 30.0)
        named.append(Words(place=corner, text=BLOCK_HERE, colour=INK, size=LABEL_PX, anchor="end"))
    return [
        *named,
        Words(
            place=(back[0], back[1] + 18), text=CASING, colour=NEXT, size=LABEL_PX, anchor="middle"
        ),
        Words(
            place=(rim[0] + (6 if right else -6), rim[1] + 18),
            text=words,
            colour=WARM,
            size=LABEL_PX,
            anchor=anchor,
        ),
    ]


def _block(exposure: Exposures) -> Floats:
    """The bite block from above, from the receptor's face out over the teeth, (4, 2) or (0, 2)."""
    holder = exposure.station.holder
    if not holder.bite_block_length_mm:
        return np.empty((0, 2))
    laid = views.from_above(exposure)
    back, front = laid.casing[0], laid.casing[1]
    along = (front - back) / np.linalg.norm(front - back)
    depth = laid.casing[3] - laid.casing[0]
    out = -depth / np.linalg.norm(depth)
    middle = 0.5 * (back + front)
    half = 0.5 * holder.bite_block_length_mm
    ends = (middle - half * along, middle + half * along)
    reach = holder.bite_block_width_mm * out
    return np.array([ends[0], ends[1], ends[1] + reach, ends[0] + reach])


def _ring(exposure: Exposures) -> Floats:
    """The ring's edge from above, square in front of the receptor, (2, 2)."""
    at = exposure.station
    laid = views.from_above(exposure)
    along = (laid.casing[1] - laid.casing[0]) / np.linalg.norm(laid.casing[1] - laid.casing[0])
    depth = laid.casing[3] - laid.casing[0]
    out = -depth / np.linalg.norm(depth)
    half = 0.5 * float(np.linalg.norm(laid.tube[1] - laid.tube[0])) + RING_BEYOND_MM
    middle = laid.middle + at.holder.ring_to_receptor_mm * out
    return np.array([middle - half * along, middle + half * along])


def _rim(laid: views.Laid) -> Floats:
    """The tube's outline with a short tail, its rim first, (4, 2)."""
    tail = laid.tube[2] - laid.tube[1]
    short = SHORT_TAIL_MM * tail / float(np.linalg.norm(tail))
    return np.array([laid.tube[0], laid.tube[1], laid.tube[1] + short, laid.tube[0] + short])


def _side(exposure: Exposures) -> Content:
    at = exposure.station
    casing, active = views.from_side(exposure)
    outlines = {
        code: views.hull(views.beside(at, points))
        for lower in (False, True)
        for code, points in views.crowns_mouth(at, exposure.seat, lower=lower).items()
        if code // 10 in at.region.quadrants and code % 10 >= 2
    }
    front = casing[:, 0].mean()
    half = 0.5 * at.holder.bite_block_length_mm
    level = at.seating.frame.middle_mouth - [0.0, 0.0, 0.5 * at.holder.bite_block_thickness_mm]
    y = float(views.beside(at, level)[1])
    bite = np.array([[front - half, y], [front + half, y]])

    def shapes(fit: Fit) -> list[Shape]:
        drawn: list[Shape] = [
            Line(places=fit.places(casing), colour=NEXT, width=2.0, closed=True, fill=PALE),
            *tooth_shapes(fit, outlines),
            Line(places=fit.places(casing), colour=NEXT, width=2.5, closed=True),
            Line(places=fit.places(active), colour=NEXT, width=1.0, dashes=DASH, closed=True),
        ]
        if half:
            x = fit.place(bite.mean(axis=0))[0]
            drawn.append(Line(places=fit.places(bite), colour=INK, width=5.0))
            foot = (x, fit.height - 12.0)
            drawn.append(Words(place=foot, text=BLOCK, colour=INK, size=LABEL_PX, anchor="middle"))
        return drawn

    return Content(FROM_SIDE, np.concatenate([casing, *outlines.values()]), shapes, 26)


__all__ = ["card_drawing"]
