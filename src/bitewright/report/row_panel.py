"""A correction seen along the row of teeth: how far tube and receptor lean."""

import numpy as np
from numpy.typing import NDArray

from bitewright.explanation.correction import Need, Part
from bitewright.exposing.exposure import Exposures
from bitewright.report import exposure_views as views
from bitewright.report.drawing_panel import (
    Content,
    Fit,
    Scene,
    laid_lines,
    told,
    tooth_shapes,
)
from bitewright.report.palette import INK, NEXT, QUIET, WAS
from bitewright.report.shapes import CHAIN, Line, Shape, Words, arrow
from bitewright.words.drawing import BITE_PLANE, SEEN_ALONG_THE_ROW, pointing_words

Floats = NDArray[np.float64]
LaidOut = list[tuple[views.Laid, bool]]

BEYOND_MM = 7.0
HALF_MM = 6.0
LINE_PX = 22


def row_panel(scene: Scene) -> Content:
    """Receptor, tube and beam over the two nearest teeth, the bite's plane and the angles to it."""
    teeth = scene.teeth
    centre, frame = teeth.seat.centres_mouth[0], teeth.station.seating.frame
    half_block = 0.5 * teeth.station.holder.bite_block_thickness_mm
    origin = np.array([centre[0], centre[1], frame.middle_mouth[2] - half_block])
    laid = [(views.along_row(each, origin_mouth=origin), is_next) for each, is_next in scene.shown]
    outlines = _nearest_teeth(teeth, origin)
    parts = [*outlines.values()]
    for each, _ in laid:
        tail = each.ray[0] - each.ray[1]
        step = tail / float(np.linalg.norm(tail))
        parts += [each.tube, each.casing, each.tube[2:] + 1.4 * BEYOND_MM * step]
    parts.append(np.concatenate(parts).min(axis=0)[None] - np.array([0.0, BEYOND_MM]))
    pointing = _pointing(scene)

    def shapes(fit: Fit) -> list[Shape]:
        level = fit.place(np.zeros(2))[1]
        plane = Line(
            places=((8, level), (fit.width - 8, level)), colour=QUIET, width=1.0, dashes=CHAIN
        )
        lines = [s for each, nxt in laid[::-1] for s in laid_lines(fit, each, is_next=nxt)]
        return [
            *tooth_shapes(fit, outlines),
            plane,
            *lines,
            *_angles(fit, pointing),
            *_vertical_arrow(fit, scene, laid),
            *_tilt_arrow(fit, scene, laid),
        ]

    return Content(SEEN_ALONG_THE_ROW, np.concatenate(parts), shapes, 2 * LINE_PX + 10)


def _nearest_teeth(teeth: Exposures, origin: Floats) -> dict[int, Floats]:
    """Outline of the upper and of the lower tooth nearest to the receptor's middle."""
    along = teeth.station.seating.frame.front_mouth
    found = {}
    for lower in (False, True):
        crowns = {
            code: points
            for code, points in views.crowns_mouth(teeth.station, teeth.seat, lower=lower).items()
            if code // 10 in teeth.station.region.quadrants
        }
        away = {c: abs(float((p.mean(axis=0) - origin) @ along)) for c, p in crowns.items()}
        if away:
            code = min(away, key=away.__getitem__)
            found[code] = views.hull(views.across(teeth.station, crowns[code], origin_mouth=origin))
    return found


def _pointing(scene: Scene) -> list[tuple[float, bool]]:
    """How the tube points, and whether it is for next time; nothing that no mark tells.

    Where it is to stay, what is drawn for next time differs by less than is told of any movement.
    """
    need = scene.correction.of(Part.VERTICAL).need
    if need is Need.UNSURE:
        return []
    return [
        (views.pointing_down_deg(each), is_next)
        for each, is_next in scene.shown
        if not is_next or need is not Need.STAY
    ]


def _angles(fit: Fit, pointing: list[tuple[float, bool]]) -> list[Shape]:
    """How the tube points, in words."""
    shapes: list[Shape] = []
    for k, (angle, is_next) in enumerate(pointing):
        said = pointing_words(angle, is_next=is_next)
        place = (16.0, fit.height - 14.0 - LINE_PX * (len(pointing) - 1 - k))
        shapes.append(Words(place=place, text=said, colour=NEXT if is_next else WAS, size=16))
    bite = Words(
        place=(fit.width - 16, fit.height - 14),
        text=BITE_PLANE,
        colour=QUIET,
        size=15,
        anchor="end",
    )
    return [*shapes, bite]


def _vertical_arrow(fit: Fit, scene: Scene, laid: LaidOut) -> list[Shape]:
    movement = scene.needed(Part.VERTICAL)
    if movement is None or len(laid) < 2:
        return []
    tails = [each.ray[0] for each, _ in laid]
    outward = float(np.sign(tails[1][0] - laid[1][0].middle[0]))
    corner = max(float((outward * each.tube[2:, 0]).max()) for each, _ in laid)
    up = movement.needed.value > 0
    at = np.array([outward * (corner + 0.7 * BEYOND_MM), float(np.mean([t[1] for t in tails]))])
    way = np.array([0.0, -1.0 if up else 1.0])
    start, end = fit.place(at - HALF_MM * way), fit.place(at + HALF_MM * way)
    anchor, edge = ("end", fit.width - 14.0) if outward > 0 else ("start", 14.0)
    text = scene.arrow_words(movement)
    above = min(fit.place(corner)[1] for each, _ in laid for corner in each.tube) - 14
    return [*arrow(start, end, INK), told((edge, above), text, anchor=anchor)]


def _tilt_arrow(fit: Fit, scene: Scene, laid: LaidOut) -> list[Shape]:
    movement = scene.needed(Part.TILT)
    if movement is None or len(laid) < 2:
        return []
    casing = laid[1][0].casing
    top = casing[casing[:, 1].argsort()[:2]].mean(axis=0) - [0.0, 3.0]
    midline = float(np.sign(laid[1][0].middle[0] - laid[1][0].ray[0][0]))
    inward = movement.needed.value > 0
    way = np.array([midline if inward else -midline, 0.0])
    text = scene.arrow_words(movement)
    x, y = fit.place(top)
    return [
        *arrow(fit.place(top - HALF_MM * way), fit.place(top + HALF_MM * way), INK),
        told((x, y - 16), text, anchor="end" if midline > 0 else "start"),
    ]


__all__ = ["row_panel"]
