"""The occlusal plane as an image shows it: direction, place, and how far the arches are apart.

Overlap is measured along the contacts of both arches: one common slope, each arch its own height.
Whether the plane lies level is judged on the buccal cusps, as an eye does, or on the contacts where
an arch has fewer than two known cusps.
"""

from dataclasses import dataclass
from functools import lru_cache

import numpy as np
from numpy.typing import NDArray

from bitewright.exposing.landmarks import Landmarks
from bitewright.quality.views import View
from bitewright.quality.wanted import Wanted

Floats = NDArray[np.float64]

BLOCK_HALF_MM = 7.5
"""Half a bite block's length: closure is judged where it lies, at the middle of the image."""


@dataclass(frozen=True, slots=True, eq=False)
class OcclusalLine:
    """The occlusal plane in N images.

    Parameters
    ----------
    front : (N, 2) float array
        Unit direction towards the front of the mouth.
    slope_deg : (N,) float array
        Positive with the front end lower; NaN where no arch has two known places. [deg]
    offset_mm : (N,) float array
        Middle between the rows of cusps (contacts, where no cusps are known) below the image's
        middle. [mm]
    separation_mm : (N,) float array
        Between the rows of cusps, on the receptor; NaN where no cusps are known. [mm]
    """

    front: Floats
    slope_deg: Floats
    offset_mm: Floats
    separation_mm: Floats


def occlusal_line(landmarks: Landmarks, points: Floats, wanted: Wanted) -> OcclusalLine:
    """Find the occlusal plane in points (N, L, 2) named by landmarks."""
    upper, lower = (_contacts(landmarks, wanted, points, quadrant) for quadrant in (0, 1))
    rise = _common_slope([upper, lower])
    cusps = [_cusps(landmarks, wanted, points, quadrant, lingual=False) for quadrant in (0, 1)]
    enough = [np.isfinite(row).all(axis=2).sum(axis=1) >= 2 for row in cusps]
    level = np.where(enough[0] & enough[1], _common_slope(cusps), rise)
    tells = (enough[0] & enough[1]) | (_two_apart(upper) | _two_apart(lower))
    sign = landmarks.front_sign
    length = np.hypot(1.0, rise)
    front = np.stack([sign / length, sign * rise / length], axis=1)
    rows = [_cusp_row(landmarks, wanted, points, quadrant, rise) for quadrant in (0, 1)]
    heights = [_nanmean(arch[..., 1] - rise[:, None] * arch[..., 0]) for arch in (upper, lower)]
    tops = [
        np.where(np.isfinite(row), row, height) for row, height in zip(rows, heights, strict=True)
    ]
    return OcclusalLine(
        front=front,
        slope_deg=np.where(tells, np.rad2deg(np.arctan(sign * level)), np.nan),
        offset_mm=0.5 * (tops[0] + tops[1]),
        separation_mm=(rows[1] - rows[0]) / length,
    )


def _contacts(landmarks: Landmarks, wanted: Wanted, points: Floats, quadrant: int) -> Floats:
    """Middles of one arch's contacts, (N, n, 2); NaN where an edge is missing."""
    own = wanted.view.region.quadrants[quadrant]
    pairs = [
        (landmarks.column[f"{front}.distal"], landmarks.column[f"{back}.mesial"])
        for front, back in wanted.contacts
        if front // 10 == own
        and f"{front}.distal" in landmarks.column
        and f"{back}.mesial" in landmarks.column
    ]
    if not pairs:
        return np.full((len(points), 1, 2), np.nan)
    return np.stack([0.5 * (points[:, a] + points[:, b]) for a, b in pairs], axis=1)


def _common_slope(arches: list[Floats]) -> Floats:
    """Least-squares slope shared by both arches, each with its own height, (N,); 0 if unknown."""
    across = np.zeros(len(arches[0]))
    both = np.zeros(len(arches[0]))
    for arch in arches:
        known = np.asarray(np.isfinite(arch).all(axis=2))
        centred = np.where(known[..., None], arch - _nanmean(arch)[:, None], 0.0)
        both += (centred[..., 0] * centred[..., 1]).sum(axis=1)
        across += (centred[..., 0] ** 2).sum(axis=1)
    return np.divide(both, across, out=np.zeros_like(both), where=across > 0)


def _two_apart(arch: Floats) -> NDArray[np.bool_]:
    """Whether an arch (N, n, 2) has two known places or more, (N,)."""
    return np.asarray(np.isfinite(arch).all(axis=2).sum(axis=1) >= 2)


def _cusp_row(
    landmarks: Landmarks, wanted: Wanted, points: Floats, quadrant: int, rise: Floats
) -> Floats:
    """Height, at the image's middle, of the line that one arch's cusps touch, (N,).

    Buccal and lingual cusps are shifted against each other by the beam's vertical angle, so each
    row is taken alone and the buccal one counts; the lingual where no buccal cusp is known.
    """
    for lingual in (False, True):
        tips = _cusps(landmarks, wanted, points, quadrant, lingual=lingual)
        if np.isfinite(tips).all(axis=2).any():
            return _touching(tips, rise, towards=1.0 if quadrant == 0 else -1.0)
    return np.full(len(points), np.nan)


def _cusps(
    landmarks: Landmarks, wanted: Wanted, points: Floats, quadrant: int, *, lingual: bool
) -> Floats:
    """Buccal or lingual cusps of the view's teeth in one arch, (N, n, 2)."""
    columns = _cusp_columns(landmarks.names, wanted.view, quadrant, lingual=lingual)
    if not columns:
        return np.full((len(points), 1, 2), np.nan)
    return np.asarray(points[:, list(columns)])


@lru_cache(maxsize=64)
def _cusp_columns(
    names: tuple[str, ...], view: View, quadrant: int, *, lingual: bool
) -> tuple[int, ...]:
    """Columns of those cusps among landmarks of these names."""
    own = view.region.quadrants[quadrant]
    teeth = {code for code in view.teeth if code // 10 == own}
    return tuple(
        column
        for column, name in enumerate(names)
        if name.endswith(".cusp") and int(name[:2]) in teeth and ("lingual" in name) == lingual
    )


def _touching(tips: Floats, rise: Floats, *, towards: float) -> Floats:
    """Extreme height of cusps near the middle; of the nearest cusp where none is that near."""
    height = tips[..., 1] - rise[:, None] * tips[..., 0]
    distance = np.where(np.isfinite(height), np.abs(tips[..., 0]), np.inf)
    reach = np.maximum(BLOCK_HALF_MM, distance.min(axis=1))[:, None]
    near = np.where(distance <= reach, towards * height, -np.inf)
    return np.asarray(towards * near.max(axis=1))


def _nanmean(values: Floats) -> Floats:
    """Mean over the second axis of what is known; NaN where nothing is."""
    known = np.isfinite(values)
    total = np.where(known, values, 0.0).sum(axis=1)
    count = known.sum(axis=1)
    mean = np.divide(total, count, out=np.full_like(total, np.nan), where=count > 0)
    return np.asarray(mean)


__all__ = ["OcclusalLine", "occlusal_line"]
