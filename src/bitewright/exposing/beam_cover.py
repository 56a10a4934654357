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

    along_u, along_v = axes[:, :, 0].T[..., None], axes[:, :, 1].T[..., None]
    from_source = np.einsum("eab,eb->ae", axes, sources)[..., None]

    def inside(u: Floats, v: Floats) -> Floats:
        placed = along_u * u + along_v * v - from_source
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
    lines = [_Lines(inside, along, half_size_mm[along]) for along in (0, 1)]
    for along in (0, 1, 0, 1):
        within = np.clip(lines[along].exposed(middle), -half_size_mm[along], half_size_mm[along])
        middle = middle.copy()
        middle[:, along] = within.mean(axis=1)
    (low_u, high_u), (upper, lower) = (line.beyond(middle) for line in lines)
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


class _Lines:
    """Lines across the receptor along one axis, and what of them is exposed.

    ``inside`` and ``half`` as in `cover_of`, ``along`` 0 for u and 1 for v. A line through the same
    places as the one before is not looked along again.
    """

    def __init__(self, inside: Inside, along: int, half: float) -> None:
        self.inside, self.along, self.half = inside, along, half
        self._at: Floats | None = None
        self._ends = np.zeros((0, 2))

    def beyond(self, middle: Floats) -> tuple[Floats, Floats]:
        """Exposed beyond the lower and the higher end, through ``middle``, (E,) each. [mm]"""
        ends = self.exposed(middle)
        low, high = -self.half - ends[:, 0], ends[:, 1] - self.half
        return np.maximum(low, -2.0 * self.half), np.maximum(high, -2.0 * self.half)

    def exposed(self, middle: Floats) -> Floats:
        """Ends (E, 2) of the exposed stretch through ``middle``; both there if none is. [mm]"""
        at = middle[:, 1 - self.along]
        if self._at is None or not np.array_equal(at, self._at):
            self._at, self._ends = at, self._stretch(at)
        return np.where(np.isnan(self._ends), middle[:, self.along, None], self._ends)

    def _stretch(self, at: Floats) -> Floats:
        """Ends (E, 2) of the exposed stretch of lines at ``at`` on the other axis, NaN if none."""
        reach = self.half + FURTHEST_MM
        places = np.linspace(-reach, reach, round(2.0 * reach / STEP_MM) + 1)
        line = np.broadcast_to(places, (len(at), len(places)))
        other = np.broadcast_to(at[:, None], line.shape)
        depth = self.inside(line, other) if self.along == 0 else self.inside(other, line)
        lit = np.asarray(depth > 0.0)
        rows = np.arange(len(at))
        first, last = lit.argmax(axis=1), lit.shape[1] - 1 - lit[:, ::-1].argmax(axis=1)
        before, after = np.maximum(first - 1, 0), np.minimum(last + 1, lit.shape[1] - 1)
        ends = np.stack(
            [
                _crossing(places, depth, rows, before, first),
                _crossing(places, depth, rows, after, last),
            ],
            axis=1,
        )
        return np.where(np.asarray(lit.any(axis=1))[:, None], ends, np.nan)


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
