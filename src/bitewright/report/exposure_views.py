"""One exposure laid flat: from above, from the side, and along the row of teeth. [mm]

Plane places are to the right and down as a person sees them: from above with the front of the
mouth at the top, from the side as the tube sees it, along the row as from in front of the patient.
"""

from dataclasses import dataclass
from functools import lru_cache

import numpy as np
from numpy.typing import NDArray
from scipy.spatial import ConvexHull

from bitewright.exposing.exposure import Exposures, Station
from bitewright.exposing.seating import Seat
from bitewright.mouth.jaws import opened
from bitewright.mouth.outlines import Outlines

Floats = NDArray[np.float64]

TAIL_MM = 22.0
"""So much of the tube is drawn behind its rim."""


@dataclass(frozen=True, slots=True, eq=False)
class Laid:
    """An exposure laid flat, every part (n, 2) in millimetres to the right and down.

    Parameters
    ----------
    casing, active : outline of the casing; the recording area, a line or an outline
    tube : outline of the tube's last part, its rim from the first place to the second
    ray : central ray, from the tube's tail to the receptor
    beam : the field's two edges, from rim to receptor, (2, 2, 2)
    middle : (2,) middle of the active area
    """

    casing: Floats
    active: Floats
    tube: Floats
    ray: Floats
    beam: Floats
    middle: Floats


def from_above(exposure: Exposures) -> Laid:
    """The first of some exposures, from above."""
    at, seat, beam = exposure.station, exposure.seat, exposure.beam
    front = at.region.front_sign * seat.axes_mouth[0, 0]
    away = seat.axes_mouth[0, 2]
    centre = seat.centres_mouth[0]
    casing = _casing_middle(exposure)
    half, thick = at.seating.half_along_mm, at.receptor.thickness_mm
    box = [casing + s * half * front + t * thick * away for s, t in _CORNERS]
    line = [centre + s * at.half_width_mm * front for s in (-1.0, 1.0)]
    ray, across = beam.rays_mouth[0], beam.across_mouth[0]
    rim = beam.sources_mouth[0] + beam.end_mm * ray
    edges = [rim + s * beam.half_across_mm * across for s in (-1.0, 1.0)]
    reach = float((centre - rim) @ ray)
    grown = beam.half_across_mm * (1.0 + reach / beam.end_mm)
    ends = [rim + reach * ray + s * grown * across for s in (-1.0, 1.0)]
    tube = [edges[0], edges[1], edges[1] - TAIL_MM * ray, edges[0] - TAIL_MM * ray]
    return Laid(
        casing=above(np.array(box)),
        active=above(np.array(line)),
        tube=above(np.array(tube)),
        ray=above(np.array([rim - TAIL_MM * ray, rim + reach * ray])),
        beam=above(np.array([[edges[k], ends[k]] for k in (0, 1)])),
        middle=above(centre),
    )


_CORNERS = ((-1.0, 0.0), (1.0, 0.0), (1.0, 1.0), (-1.0, 1.0))


def above(points_mouth: Floats) -> Floats:
    """Points as seen from above, the patient's right to the right, the front at the top."""
    return np.asarray(points_mouth[..., :2] * [-1.0, 1.0])


def from_side(exposure: Exposures) -> tuple[Floats, Floats]:
    """Casing and active area (4, 2) as the tube sees them, the bite level, square to the teeth."""
    at, seat = exposure.station, exposure.seat
    front, up = at.region.front_sign * seat.axes_mouth[0, 0], -seat.axes_mouth[0, 1]
    middle, centre = _casing_middle(exposure), seat.centres_mouth[0]
    signs = ((-1.0, -1.0), (1.0, -1.0), (1.0, 1.0), (-1.0, 1.0))
    halves = (at.seating.half_along_mm, at.seating.half_up_mm)
    casing = [middle + s * halves[0] * front + t * halves[1] * up for s, t in signs]
    active = [centre + s * at.half_width_mm * front + t * at.half_height_mm * up for s, t in signs]
    return beside(at, np.array(casing)), beside(at, np.array(active))


def beside(at: Station, points_mouth: Floats) -> Floats:
    """Points from the cheek, the bite level as on the film, the front to the right on the right."""
    slope = at.seating.slope
    front = at.seating.frame.front_mouth + np.array([0.0, 0.0, slope])
    front /= np.hypot(1.0, slope)
    up = np.array([0.0, 0.0, 1.0]) - front[2] * front
    up /= np.linalg.norm(up)
    return np.stack([at.region.front_sign * (points_mouth @ front), -(points_mouth @ up)], axis=-1)


def along_row(exposure: Exposures, *, origin_mouth: Floats) -> Laid:
    """Seen along the row of teeth, the tube turned into the picture about the receptor.

    ``origin_mouth`` is where the picture's zero lies, so that two exposures share one. [mm]
    """
    at, seat, beam = exposure.station, exposure.seat, exposure.beam
    centre, casing = seat.centres_mouth[0], _casing_middle(exposure)
    up, away = -seat.axes_mouth[0, 1], seat.axes_mouth[0, 2]
    half, thick = at.seating.half_up_mm, at.receptor.thickness_mm
    box = [casing + s * half * up + t * thick * away for s, t in _CORNERS]
    line = [centre + s * at.half_height_mm * up for s in (-1.0, 1.0)]
    middle = across(at, centre, origin_mouth=origin_mouth)
    side = at.region.front_sign
    ray = beam.rays_mouth[0]
    rim = beam.sources_mouth[0] + beam.end_mm * ray
    offset = rim - centre
    level = float(np.hypot(ray[0], ray[1]))
    flat_ray = np.array([side * level, -ray[2]])
    flat_rim = middle + np.array([-side * float(np.hypot(offset[0], offset[1])), -offset[2]])
    normal = np.array([-flat_ray[1], flat_ray[0]])
    edges = [flat_rim + s * beam.half_down_mm * normal for s in (-1.0, 1.0)]
    reach = float((middle - flat_rim) @ flat_ray)
    grown = beam.half_down_mm * (1.0 + reach / beam.end_mm)
    ends = [flat_rim + reach * flat_ray + s * grown * normal for s in (-1.0, 1.0)]
    return Laid(
        casing=across(at, np.array(box), origin_mouth=origin_mouth),
        active=across(at, np.array(line), origin_mouth=origin_mouth),
        tube=np.array(
            [edges[0], edges[1], edges[1] - TAIL_MM * flat_ray, edges[0] - TAIL_MM * flat_ray]
        ),
        ray=np.array([flat_rim - TAIL_MM * flat_ray, flat_rim + reach * flat_ray]),
        beam=np.array([[edges[k], ends[k]] for k in (0, 1)]),
        middle=middle,
    )


def across(at: Station, points_mouth: Floats, *, origin_mouth: Floats) -> Floats:
    """Points seen along the row from in front of the patient, about an origin."""
    offset = points_mouth - origin_mouth
    tongue = offset @ at.seating.frame.tongue_mouth
    return np.stack([at.region.front_sign * tongue, -offset[..., 2]], axis=-1)


def pointing_down_deg(exposure: Exposures) -> float:
    """`vertical_deg` of an exposure's central ray. [deg]"""
    return float(np.rad2deg(np.arcsin(-exposure.beam.rays_mouth[0, 2])))


def crowns_mouth(at: Station, seat: Seat, *, lower: bool) -> dict[int, Floats]:
    """Surface points of one jaw's crowns as opened by a receptor, (n, 3) by tooth. [mm]"""
    lines = at.outlines
    angle = float(seat.opening_deg[0])
    return {
        code: opened(points, lines.hinge_mm, angle) if lower else points
        for code, points in _closed_crowns(lines).items()
        if (code // 10 in (3, 4)) is lower
    }


@lru_cache(maxsize=8)
def _closed_crowns(lines: Outlines) -> dict[int, Floats]:
    """Surface points of every crown, jaws closed: the same for every exposure of a mouth. [mm]"""
    tips: dict[int, list[Floats]] = {code: [] for code in lines.codes}
    for name, place in lines.points_mouth.items():
        if name.endswith((".cusp", ".cej")):
            tips[int(name[:2])].append(place)
    return {
        code: np.concatenate([_crown_rings(lines, code), np.reshape(tips[code], (-1, 3))])
        for code in lines.codes
    }


RING_SHARES = np.array([0.0, 0.15, 0.3, 0.45, 0.55, 0.65, 0.75, 0.85])
"""Heights of a crown's rings as shares of its length; the cusps' tips close it above."""

RING_ANGLES = np.linspace(0.0, 2.0 * np.pi, 25)[:-1]


def _crown_rings(lines: Outlines, code: int) -> Floats:
    """Points round a crown at several heights, (n, 3). [mm]"""
    row = lines.row[code]
    height = RING_SHARES * float(lines.sections.crown_mm[row])
    section = lines.sections.at(np.full(len(height), row), height)[:, None, :]
    cos, sin = np.cos(RING_ANGLES), np.sin(RING_ANGLES)
    power = 2.0 / section[..., 4]
    buccal = section[..., 2] + section[..., 3] * np.sign(sin) * np.abs(sin) ** power
    wider = 1.0 + lines.sections.taper[row] * (buccal - section[..., 2])
    mesial = section[..., 0] + wider * section[..., 1] * np.sign(cos) * np.abs(cos) ** power
    mesial = mesial + lines.sections.shear[row] * buccal
    up = np.broadcast_to(height[:, None], mesial.shape)
    local = np.stack([mesial, buccal, up], axis=-1).reshape(-1, 3)
    return np.asarray(local @ lines.axes_mouth[row] + lines.origins_mouth[row])


def hull(points: Floats) -> Floats:
    """Corners of the convex outline of points (n, 2), in order."""
    return np.asarray(points[ConvexHull(points).vertices])


def casing_corners_mouth(exposure: Exposures) -> Floats:
    """The casing's eight corners, its face towards the tube first, (8, 3). [mm]"""
    at, seat = exposure.station, exposure.seat
    front = at.region.front_sign * seat.axes_mouth[0, 0]
    up, away = -seat.axes_mouth[0, 1], seat.axes_mouth[0, 2]
    half = at.seating.half_along_mm * front, at.seating.half_up_mm * up
    face = _casing_middle(exposure)
    signs = ((-1.0, -1.0), (1.0, -1.0), (1.0, 1.0), (-1.0, 1.0))
    return np.array(
        [
            face + s * half[0] + t * half[1] + depth * at.receptor.thickness_mm * away
            for depth in (0.0, 1.0)
            for s, t in signs
        ]
    )


def _casing_middle(exposure: Exposures) -> Floats:
    """Middle of the casing's face towards the tube. [mm]"""
    plan, seat = exposure.station.seating, exposure.seat
    front = exposure.station.region.front_sign * seat.axes_mouth[0, 0]
    up, away = -seat.axes_mouth[0, 1], seat.axes_mouth[0, 2]
    return np.asarray(
        seat.centres_mouth[0]
        + plan.offset_along_mm * front
        - plan.offset_up_mm * up
        - plan.receptor.active_depth_mm * away
    )


__all__ = [
    "Laid",
    "above",
    "across",
    "along_row",
    "beside",
    "casing_corners_mouth",
    "crowns_mouth",
    "from_above",
    "from_side",
    "hull",
    "pointing_down_deg",
]
