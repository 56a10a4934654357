"""Where the edge of a beam's field crosses the receptor: the edge of a cone cut made by aiming."""

import numpy as np
from numpy.typing import NDArray

from bitewright.exposing.exposure import Exposures
from bitewright.exposing.project import field_axes, field_opening, projection_matrices

Floats = NDArray[np.float64]

INSET, ROUND_PLACES, AROUND = 0.05, 7, 1440
"""Places stand this share of the edge's length from its ends; so many of a round edge, looked for
at so many directions about the central ray."""


def field_edge_receptor_mm(exposures: Exposures, *, exposure: int = 0) -> Floats:
    """Places on the field's edge that lies on the active area, of one exposure. [mm]

    Where several sides of a rectangular field do, the one that leaves most blank.

    Parameters
    ----------
    exposures : Exposures
    exposure : int
        Which of them.

    Returns
    -------
    (n, 2) float array
        Two of a straight edge, `ROUND_PLACES` of a round one, along it; none where the field's edge
        misses the active area.
    """
    at = exposures.station
    half = np.array([at.half_width_mm, at.half_height_mm])
    source = projection_matrices(exposures).source_receptor[exposure]
    axes = field_axes(exposures)[exposure]
    across, down, is_round, end = field_opening(exposures)
    if is_round > 0.0:
        return _on_a_round_edge(source, axes, across / end, half)
    return _on_a_straight_edge(source, axes, np.array([across, down]) / end, half)


def _on_a_straight_edge(source: Floats, axes: Floats, slope: Floats, half: Floats) -> Floats:
    """Two places on the side of a rectangular field that leaves most of the image blank, (2, 2)."""
    corners = half * np.array([[1, 1], [1, -1], [-1, -1], [-1, 1]])
    found, most = np.zeros((0, 2)), 0.0
    for axis in (0, 1):
        for side in (1.0, -1.0):
            # Inside is where `normal . (place - source)` is positive, a plane through the source.
            normal = slope[axis] * axes[2] - side * axes[axis]
            size = float(np.hypot(*normal[:2]))
            inside = (corners @ normal[:2] - normal @ source) / size
            ends = _crossings(corners, inside)
            if len(ends) == 2 and inside.min() < most:
                found, most = ends, float(inside.min())
    if len(found) == 0:
        return found
    first, last = found
    return np.stack([first + INSET * (last - first), last - INSET * (last - first)])


def _crossings(corners: Floats, inside: Floats) -> Floats:
    """Where a line crosses the image's border, (n, 2); ``inside`` (4,): corners from that line."""
    following, beyond = np.roll(corners, -1, axis=0), np.roll(inside, -1)
    crosses = (inside < 0.0) != (beyond < 0.0)
    share = (inside[crosses] / (inside[crosses] - beyond[crosses]))[:, None]
    return np.asarray(corners[crosses] + share * (following[crosses] - corners[crosses]))


def _on_a_round_edge(source: Floats, axes: Floats, slope: float, half: Floats) -> Floats:
    """Places along the longest stretch of a round field's edge on the image, (ROUND_PLACES, 2)."""
    angle = np.arange(AROUND) * 2.0 * np.pi / AROUND
    rays = slope * (np.cos(angle)[:, None] * axes[0] + np.sin(angle)[:, None] * axes[1]) + axes[2]
    places: Floats = source[:2] - rays[:, :2] * (source[2] / rays[:, 2])[:, None]
    on_image = (np.abs(places) <= half).all(axis=1)
    if not on_image.any():
        return np.zeros((0, 2))
    if on_image.all():
        return places[:: AROUND // ROUND_PLACES][:ROUND_PLACES]
    start = int(np.flatnonzero(~on_image)[0])
    turned, lit = np.roll(places, -start, axis=0), np.roll(on_image, -start)
    starts = np.flatnonzero(lit & ~np.roll(lit, 1))
    ends = np.flatnonzero(lit & ~np.roll(lit, -1))
    longest = int(np.argmax(ends - starts))
    first, last = starts[longest], ends[longest]
    inset = INSET * (last - first)
    steps = np.linspace(first + inset, last - inset, ROUND_PLACES)
    return np.asarray(turned[np.round(steps).astype(np.int_)])


__all__ = ["field_edge_receptor_mm"]
