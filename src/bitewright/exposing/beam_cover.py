"""How far the beam reaches beyond each edge of the receptor, or how much of it stays blank."""

from collections.abc import Callable
from dataclasses import replace
from enum import StrEnum

import numpy as np
from numpy.typing import NDArray

from bitewright.exposing.clear_edge import ClearEdge
from bitewright.exposing.exposure import Exposures
from bitewright.exposing.landmarks import Landmarks, Status
from bitewright.exposing.project import field_axes, field_opening, projection_matrices

Floats = NDArray[np.float64]
Inside = Callable[[Floats, Floats], Floats]
"""How far places (E, S) on the receptor lie inside what is exposed, (E, S). [mm]"""

FURTHEST_MM = 30.0
"""Beam further beyond an edge than this counts as this much. Our choice."""

STEP_MM = 0.5
"""A field's edge is looked for at this step and then between two places. Our choice."""


class BeamPlace(StrEnum):
    """Where on the receptor a beam's reach is measured."""

    FRONT = "front"
    BACK = "back"
    UPPER = "upper"
    LOWER = "lower"
    FRONT_UPPER = "front-upper"
    FRONT_LOWER = "front-lower"
    BACK_UPPER = "back-upper"
    BACK_LOWER = "back-lower"


BEAM_PLACES = tuple(BeamPlace)
BEAM_EDGES = BEAM_PLACES[:4]
BEAM_CORNERS = BEAM_PLACES[4:]


def beam_cover_mm(exposures: Exposures, *, cut: ClearEdge | None = None) -> Floats:
    """Beam beyond each of `BEAM_PLACES` of the active area; negative is what stays blank. [mm]

    An edge is measured across the middle of what is exposed. A corner is measured to the nearest
    edge of the field, and beside a cut edge it is never worse than that.

    Parameters
    ----------
    exposures : Exposures
    cut : ClearEdge, optional
        A further edge of the exposed part, of a film spoilt to order.

    Returns
    -------
    (E, 8) float array
    """
    at = exposures.station
    sources, axes = projection_matrices(exposures).source_receptor, field_axes(exposures)
    across, down, is_round, end = field_opening(exposures)

    def inside(u: Floats, v: Floats) -> Floats:
        seen = np.stack([u - sources[:, :1], v - sources[:, 1:2], 0.0 * u - sources[:, 2:]])
        placed = np.einsum("eab,bes->aes", axes, seen)
        grown = placed[2] / end
        if is_round:
            reach = across * grown - np.hypot(placed[0], placed[1])
        else:
            reach = np.minimum(across * grown - abs(placed[0]), down * grown - abs(placed[1]))
        return np.asarray(reach if cut is None else np.minimum(reach, cut.inside_mm(u, v)))

    # Begun where the central ray falls, or as near to it as the receptor reaches.
    half = np.array([at.half_width_mm, at.half_height_mm])
    ray = axes[:, 2]
    hit = sources[:, :2] - ray[:, :2] * (sources[:, 2] / ray[:, 2])[:, None]
    return cover_of(
        inside,
        np.clip(hit, -half, half),
        half_size_mm=half,
        front_sign=at.region.front_sign,
        corner_radius_mm=at.receptor.corner_radius_mm,
    )


def cover_of(
    inside: Inside,
    start_mm: Floats,
    *,
    half_size_mm: Floats,
    front_sign: float,
    corner_radius_mm: float,
) -> Floats:
    """As `beam_cover_mm`, of any exposed part without dents.

    Parameters
    ----------
    inside : Inside
    start_mm : (E, 2) float array
        A place in the exposed part of each, or near it. [mm]
    half_size_mm : (2,) float array
        Half the active area along u and v. [mm]
    front_sign : float
        +1 where the front of the mouth lies to the viewer's right, else -1.
    corner_radius_mm : float
    """
    middle = start_mm
    for along in (0, 1, 0, 1):
        ends = _exposed(inside, middle, along, half_size_mm[along])
        within = np.clip(ends, -half_size_mm[along], half_size_mm[along])
        middle = middle.copy()
        middle[:, along] = within.mean(axis=1)
    low_u, high_u = _beyond(inside, middle, 0, half_size_mm[0])
    upper, lower = _beyond(inside, middle, 1, half_size_mm[1])
    front, back = (high_u, low_u) if front_sign > 0.0 else (low_u, high_u)
    edges = np.stack([front, back, upper, lower], axis=1)
    corner = half_size_mm - corner_radius_mm * (1.0 - np.sqrt(0.5))
    u = front_sign * corner[0] * np.array([1.0, 1.0, -1.0, -1.0])
    v = corner[1] * np.array([-1.0, 1.0, -1.0, 1.0])
    count = len(start_mm)
    corners = inside(np.tile(u, (count, 1)), np.tile(v, (count, 1)))
    worst = edges.min(axis=1)[:, None]
    corners = np.where(worst < 0.0, np.maximum(corners, worst), corners)
    corners = np.minimum(corners, FURTHEST_MM)
    return np.concatenate([edges, corners], axis=1)


def cut_landmarks(landmarks: Landmarks, cut: ClearEdge) -> Landmarks:
    """Landmarks of a film that is blank beyond an edge: what lies there is cut off."""
    u, v = np.moveaxis(landmarks.points_receptor, -1, 0)
    margin = np.minimum(landmarks.beam_margin_mm, cut.inside_mm(u, v))
    is_cut = (landmarks.status == Status.SEEN) & (margin < 0.0)
    return replace(
        landmarks,
        beam_margin_mm=margin,
        status=np.where(is_cut, Status.CUT, landmarks.status).astype(np.int8),
    )


def _beyond(inside: Inside, middle: Floats, along: int, half: float) -> tuple[Floats, Floats]:
    """Exposed beyond the lower and the higher end of an axis, through ``middle``, (E,) each."""
    ends = _exposed(inside, middle, along, half)
    low, high = -half - ends[:, 0], ends[:, 1] - half
    return np.maximum(low, -2.0 * half), np.maximum(high, -2.0 * half)


def _exposed(inside: Inside, middle: Floats, along: int, half: float) -> Floats:
    """Ends (E, 2) of the exposed stretch of a line through ``middle``; both there if none is."""
    reach = half + FURTHEST_MM
    places = np.linspace(-reach, reach, round(2.0 * reach / STEP_MM) + 1)
    line = np.broadcast_to(places, (len(middle), len(places)))
    other = np.broadcast_to(middle[:, 1 - along, None], line.shape)
    depth = inside(line, other) if along == 0 else inside(other, line)
    lit = np.asarray(depth > 0.0)
    rows = np.arange(len(middle))
    first, last = lit.argmax(axis=1), lit.shape[1] - 1 - lit[:, ::-1].argmax(axis=1)
    before, after = np.maximum(first - 1, 0), np.minimum(last + 1, lit.shape[1] - 1)
    ends = np.stack(
        [
            _crossing(places, depth, rows, before, first),
            _crossing(places, depth, rows, after, last),
        ],
        axis=1,
    )
    return np.where(np.asarray(lit.any(axis=1))[:, None], ends, middle[:, along, None])


def _crossing(
    places: Floats,
    depth: Floats,
    rows: NDArray[np.int_],
    out: NDArray[np.int_],
    lit: NDArray[np.int_],
) -> Floats:
    """Where the depth passes nought between a place out of the field and one in it, (E,)."""
    low, high = depth[rows, out], depth[rows, lit]
    rise = high - low
    share = np.divide(-low, rise, out=np.zeros_like(low), where=rise > 0.0)
    return np.asarray(places[out] + np.clip(share, 0.0, 1.0) * (places[lit] - places[out]))


__all__ = [
    "BEAM_CORNERS",
    "BEAM_EDGES",
    "BEAM_PLACES",
    "BeamPlace",
    "beam_cover_mm",
    "cover_of",
    "cut_landmarks",
]
