"""A correction seen from the side: the receptor against the teeth."""

import numpy as np
from numpy.typing import NDArray

from bitewright.explanation.correction import Part
from bitewright.report import exposure_views as views
from bitewright.report.drawing_panel import Content, Fit, Scene, told, tooth_shapes
from bitewright.report.palette import INK, NEXT, QUIET, WAS
from bitewright.report.shapes import CHAIN, DASH, Line, Place, Shape, Words, arrow
from bitewright.words.drawing import FRONT_TO_THE_LEFT, FRONT_TO_THE_RIGHT, SEEN_FROM_THE_SIDE

Floats = NDArray[np.float64]

BEYOND_MM = 5.0
HALF_MM = 4.0
FOOT_PX = 24


def side_panel(scene: Scene) -> Content:
    """Both rows of teeth, the receptor over them, and its movements in this plane."""
    teeth = scene.teeth
    boxes = [(*views.from_side(each), is_next) for each, is_next in scene.shown]
    outlines = {
        code: views.hull(views.beside(teeth.station, points))
        for lower in (False, True)
        for code, points in views.crowns_mouth(teeth.station, teeth.seat, lower=lower).items()
        if code // 10 in teeth.station.region.quadrants and code % 10 >= 3
    }
    casings = np.concatenate([casing for casing, _, _ in boxes])
    low, high = casings.min(axis=0), casings.max(axis=0)
    room = np.array([2.0 * BEYOND_MM, BEYOND_MM])
    fits = np.concatenate([*outlines.values(), [low - room, high + room]])
    frame = teeth.station.seating.frame
    bite = frame.middle_mouth - [0.0, 0.0, 0.5 * teeth.station.holder.bite_block_thickness_mm]
    level_mm = float(views.beside(teeth.station, bite)[1])

    def shapes(fit: Fit) -> list[Shape]:
        level = fit.place(np.array([0.0, level_mm]))[1]
        drawn: list[Shape] = [
            *tooth_shapes(fit, outlines),
            Line(
                places=((8, level), (fit.width - 8, level)), colour=QUIET, width=1.0, dashes=CHAIN
            ),
        ]
        for casing, active, is_next in boxes[::-1]:
            drawn += _receptor(fit, casing, active, is_next=is_next)
        return [*drawn, *_arrows(fit, scene, (low, high)), _front_word(fit, scene)]

    return Content(SEEN_FROM_THE_SIDE, fits, shapes, FOOT_PX)


def _front_word(fit: Fit, scene: Scene) -> Words:
    right = scene.present.station.region.front_sign > 0
    return Words(
        place=(fit.width - 16 if right else 16, fit.height - 14),
        text=FRONT_TO_THE_RIGHT if right else FRONT_TO_THE_LEFT,
        colour=QUIET,
        size=16,
        anchor="end" if right else "start",
    )


def _receptor(fit: Fit, casing: Floats, active: Floats, *, is_next: bool) -> list[Shape]:
    colour, dashes = (NEXT, ()) if is_next else (WAS, DASH)
    width = 3.0 if is_next else 2.5
    return [
        Line(places=fit.places(casing), colour=colour, width=width, dashes=dashes, closed=True),
        Line(places=fit.places(active), colour=colour, width=1.0, dashes=dashes, closed=True),
    ]


def _arrows(fit: Fit, scene: Scene, box: tuple[Floats, Floats]) -> list[Shape]:
    """Arrows and figures outside the receptors: below, behind and in front."""
    if scene.best is None:
        return []
    toward = scene.present.station.region.front_sign
    (low, high), middle = box, 0.5 * (box[0] + box[1])
    sides = (high[0] + BEYOND_MM, low[0] - BEYOND_MM)
    front, back = sides if toward > 0 else sides[::-1]
    forward, height, roll, closure = (
        scene.needed(part) for part in (Part.FORWARD, Part.HEIGHT, Part.ROLL, Part.CLOSURE)
    )
    shapes: list[Shape] = []
    if forward is not None:
        way = np.array([np.sign(forward.needed.value) * toward, 0.0])
        text = scene.arrow_words(forward)
        ends, words = _arrow(fit, np.array([middle[0], high[1] + 0.6 * BEYOND_MM]), way)
        right = max(ends[0][0], ends[1][0]) + 12
        shapes += [*words, told((right, ends[0][1] + 7), text, anchor="start")]
    if height is not None:
        up = height.needed.value > 0
        ends, words = _arrow(fit, np.array([back, middle[1]]), np.array([0.0, -1.0 if up else 1.0]))
        top = min(ends[0][1], ends[1][1]) - 12
        shapes += [*words, told((ends[0][0], top), scene.arrow_words(height))]
    if roll is not None:
        down = roll.needed.value > 0
        way = np.array([0.0, 1.0 if down else -1.0])
        ends, words = _arrow(fit, np.array([front, middle[1]]), way)
        text = scene.arrow_words(roll)
        edge, anchor = (fit.width - 14.0, "end") if toward > 0 else (14.0, "start")
        shapes += [*words, told((edge, fit.place(low)[1] - 12), text, anchor=anchor)]
    if closure is not None:
        text = scene.arrow_words(closure)
        edge, anchor = (14.0, "start") if toward > 0 else (fit.width - 14.0, "end")
        shapes.append(told((edge, 58), text, anchor=anchor))
    return shapes


def _arrow(fit: Fit, at: Floats, way: Floats) -> tuple[tuple[Place, Place], tuple[Shape, ...]]:
    ends = fit.place(at - HALF_MM * way), fit.place(at + HALF_MM * way)
    return ends, arrow(*ends, INK)


__all__ = ["side_panel"]
