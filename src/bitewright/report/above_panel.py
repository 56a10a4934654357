"""A correction seen from above."""

import numpy as np
from numpy.typing import NDArray

from bitewright.explanation.correction import Part
from bitewright.report import exposure_views as views
from bitewright.report.drawing_panel import (
    Content,
    Fit,
    Scene,
    laid_lines,
    told,
    tooth_line,
    tooth_shapes,
)
from bitewright.report.palette import INK, NEXT, QUIET
from bitewright.report.shapes import Shape, Words, arrow, arrow_along, text_width
from bitewright.words.drawing import FRONT, RECEPTOR, SEEN_FROM_ABOVE, TUBE

Floats = NDArray[np.float64]
LaidOut = list[tuple[views.Laid, bool]]

BEYOND_MM = 9.0
"""An arrow lies this far outside what it moves, and is at least so long to both sides."""


def above_panel(scene: Scene) -> Content:
    """Arch, receptor, tube, beam and the movements in this plane."""
    laid = [(views.from_above(each), is_next) for each, is_next in scene.shown]
    teeth = scene.teeth
    rows = [views.crowns_mouth(teeth.station, teeth.seat, lower=low) for low in (False, True)]
    outlines = {code: views.hull(views.above(p)) for code, p in (rows[0] or rows[1]).items()}
    parts = [*outlines.values()]
    for each, _ in laid:
        outward = each.ray[0] - each.ray[1]
        step = outward / float(np.linalg.norm(outward))
        parts += [each.tube, each.casing, each.tube[2:] + 1.3 * BEYOND_MM * step]
    parts.append(np.concatenate([each.tube for each, _ in laid]).min(axis=0)[None])
    parts[-1] = parts[-1] - np.array([0.0, 0.8 * BEYOND_MM])

    def shapes(fit: Fit) -> list[Shape]:
        return [
            *_arch(fit, scene, outlines),
            *[shape for each, nxt in laid[::-1] for shape in laid_lines(fit, each, is_next=nxt)],
            *_names(fit, laid[-1][0], is_next=laid[-1][1]),
            *_swing_arrow(fit, scene, laid),
            *_receptor_arrows(fit, scene, laid),
        ]

    return Content(SEEN_FROM_ABOVE, np.concatenate(parts), shapes)


def _arch(fit: Fit, scene: Scene, outlines: dict[int, Floats]) -> list[Shape]:
    quadrants = scene.present.station.region.quadrants
    own = {c: line for c, line in outlines.items() if c // 10 in quadrants and c % 10 >= 3}
    others = [tooth_line(fit, line) for code, line in outlines.items() if code not in own]
    x, y = fit.place(np.array([0.0, min(line[:, 1].min() for line in outlines.values())]))
    words = Words(place=(x, y - 10), text=FRONT, colour=QUIET, size=16, anchor="middle")
    return [*others, *tooth_shapes(fit, own), words]


def _names(fit: Fit, laid: views.Laid, *, is_next: bool) -> list[Shape]:
    """The words tube and receptor, once."""
    colour = NEXT if is_next else INK
    tube = fit.place(0.62 * laid.tube[2:].mean(axis=0) + 0.38 * laid.tube[[0, 3]].mean(axis=0))
    back = laid.casing[[0, 3]].mean(axis=0)
    way = back - laid.casing[[1, 2]].mean(axis=0)
    end = fit.place(back + 3.5 * way / float(np.linalg.norm(way)))
    return [
        Words(place=tube, text=TUBE, colour=colour, size=16, anchor="middle"),
        Words(place=(end[0], end[1] + 8), text=RECEPTOR, colour=colour, size=16, anchor="middle"),
    ]


def _swing_arrow(fit: Fit, scene: Scene, laid: LaidOut) -> list[Shape]:
    """An arrow behind the tube's end, along the way the rim slides."""
    movement = scene.needed(Part.SWING)
    if movement is None or len(laid) < 2:
        return []
    middle = laid[1][0].middle
    angles = [np.arctan2(*(each.ray[0] - each.ray[1])[::-1]) for each, _ in laid]
    turn = float(np.mod(angles[1] - angles[0] + np.pi, 2 * np.pi) - np.pi)
    reach = BEYOND_MM + max(float(np.linalg.norm(each.ray[0] - middle)) for each, _ in laid)
    halfway = angles[0] + 0.5 * turn
    # The way is the one told; the front of the mouth is at the top.
    way_told = -movement.needed.value * np.cos(halfway)
    span = float(np.copysign(max(abs(turn), 2.0 * BEYOND_MM / reach), way_told))
    start = halfway - 0.5 * span
    way = np.array(
        [
            middle + reach * np.array([np.cos(angle), np.sin(angle)])
            for angle in np.linspace(start, start + span, 12)
        ]
    )
    text = scene.arrow_words(movement)
    tops = [fit.place(corner)[1] for each, _ in laid for corner in each.tube]
    half = 0.5 * text_width(text, 20, bold=True) + 12
    x = float(np.clip(fit.place(way[0])[0], half, fit.width - half))
    return [*arrow_along(fit.places(way), INK), told((x, min(tops) - 16), text)]


def _receptor_arrows(fit: Fit, scene: Scene, laid: LaidOut) -> list[Shape]:
    """Arrows on the tongue's side of the receptor: to the front or back, and its turn."""
    if len(laid) < 2:
        return []
    casing = laid[1][0].casing
    front = (casing[1] - casing[0]) / float(np.linalg.norm(casing[1] - casing[0]))
    tongue = (casing[3] - casing[0]) / float(np.linalg.norm(casing[3] - casing[0]))
    depth = max(float(((each.casing - casing[0]) @ tongue).max()) for each, _ in laid)
    anchor = "end" if tongue[0] < 0 else "start"
    shapes: list[Shape] = []
    forward, turned = scene.needed(Part.FORWARD), scene.needed(Part.TURN)
    if forward is not None:
        way = front * np.sign(forward.needed.value)
        at = casing[:2].mean(axis=0) + (depth + 4.0) * tongue - 6.0 * front
        x, y = fit.place(at + 3.0 * tongue)
        shapes += arrow(fit.place(at - 5.0 * way), fit.place(at + 5.0 * way), INK)
        shapes.append(told((x, y + 7), scene.arrow_words(forward), anchor=anchor))
    if turned is not None:
        way = tongue * np.sign(turned.needed.value)
        at = casing[1] + (0.5 * depth) * tongue + 4.0 * front
        x, y = fit.place(at + 3.5 * front)
        shapes += arrow(fit.place(at - 5.0 * way), fit.place(at + 5.0 * way), INK)
        shapes.append(told((x, y), scene.arrow_words(turned)))
    return shapes


__all__ = ["above_panel"]
