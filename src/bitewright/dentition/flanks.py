"""Flanks: the proximal surfaces of the crowns as rows of points, with the contact facets cut."""

import numpy as np
from numpy.typing import NDArray

from bitewright.dentition.crown_sections import CrownSections

Floats = NDArray[np.float64]

MESIAL, DISTAL = 0, 1

FLANK_ROWS_MM = np.array([-2.0, -1.3, -0.7, -0.3, 0.0, 0.3, 0.8, 1.5])
"""Heights of a flank's rows above its contact. [mm]"""

FLANK_BREADTHS = np.sin(np.linspace(-1.0, 1.0, 17) * np.deg2rad(68.0))
"""Places across a flank as shares of the section's half-breadth."""

NO_FACET_MM = 1e6
"""Offset of a facet plane where there is none."""


def crown_flanks(sections: CrownSections, origins: Floats, axes: Floats, planes: Floats) -> Floats:
    """Mesial and distal flanks of placed crowns, facets cut and their corners added.

    Parameters
    ----------
    sections : CrownSections of T teeth
    origins, axes : (T, 3) and (T, 3, 3) float arrays
        Local origins [mm] and axes (rows: mesial, buccal, occlusal).
    planes : (T, 2, 4) float array
        Facet planes: outward normal and offset. [mm]

    Returns
    -------
    (T, 2, K, M + 2, 3) float array [mm]
    """
    count = len(origins)
    tooth = np.arange(count)[:, None, None]
    height = sections.contact_mm[:, :, None] + FLANK_ROWS_MM
    height = np.clip(height, 0.15, sections.crown_mm[:, None, None] - 1.0)
    row = sections.at(np.broadcast_to(tooth, height.shape), height)[..., None, :]
    share = (1.0 - np.abs(FLANK_BREADTHS) ** row[..., 4]) ** (1.0 / row[..., 4])
    buccal = row[..., 2] + row[..., 3] * FLANK_BREADTHS
    side = np.array([1.0, -1.0])[:, None, None]
    mesial = row[..., 0] + side * row[..., 1] * share + sections.shear[:, None, None, None] * buccal
    local = np.stack(np.broadcast_arrays(mesial, buccal, height[..., None]), axis=-1)
    points = (local.reshape(count, -1, 3) @ axes).reshape(local.shape)
    points += origins[:, None, None, None]
    return _cut(points, planes)


def _cut(points: Floats, planes: Floats) -> Floats:
    """Press points beyond their facet plane onto it, and add the facet's corners to each row."""
    normal = planes[:, :, None, None, :3]
    over = (points * normal).sum(axis=-1) - planes[:, :, None, None, 3]
    rise = (over[..., :-1] < 0) & (over[..., 1:] >= 0)
    fall = (over[..., :-1] >= 0) & (over[..., 1:] < 0)
    cut = points - np.maximum(over, 0.0)[..., None] * normal
    corners = [_crossing(points, over, rise), _crossing(points, over, fall)]
    plain = cut[..., :1, :]
    found = [
        np.where(c.any(axis=-1)[..., None, None], k, plain)
        for c, k in zip((rise, fall), corners, strict=True)
    ]
    return np.concatenate([cut, *found], axis=-2)


def _crossing(points: Floats, over: Floats, where: NDArray[np.bool_]) -> Floats:
    index = where.argmax(axis=-1)[..., None]
    a = np.take_along_axis(over, index, axis=-1)
    b = np.take_along_axis(over, index + 1, axis=-1)
    step = np.where(a == b, 1.0, a - b)
    share = (a / step)[..., None]
    p = np.take_along_axis(points, index[..., None], axis=-2)
    q = np.take_along_axis(points, index[..., None] + 1, axis=-2)
    return np.asarray(p + share * (q - p))


__all__ = ["DISTAL", "FLANK_BREADTHS", "FLANK_ROWS_MM", "MESIAL", "NO_FACET_MM", "crown_flanks"]
