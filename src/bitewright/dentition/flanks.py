"""Flanks: the proximal surfaces of the crowns as rows of points, with the contact facets cut."""

import numpy as np
from numpy.typing import NDArray

from bitewright.compiled import compiled
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
    return flanks_through(flank_sections(sections), sections.shear, origins, axes, planes)


def flank_sections(sections: CrownSections) -> Floats:
    """Heights and sections of every crown's flanks, (T, 2, K, 6).

    Per row: height, then as `CrownSections.table`. [mm]
    """
    tooth = np.arange(len(sections.crown_mm))[:, None, None]
    height = sections.contact_mm[:, :, None] + FLANK_ROWS_MM
    height = np.clip(height, 0.15, sections.crown_mm[:, None, None] - 1.0)
    rows = sections.at(np.broadcast_to(tooth, height.shape), height)
    return np.concatenate([height[..., None], rows], axis=-1)


def flanks_through(
    rows: Floats, shear: Floats, origins: Floats, axes: Floats, planes: Floats
) -> Floats:
    """Flanks through `flank_sections` of placed crowns; shapes as in `crown_flanks`."""
    count = len(origins)
    row = rows[..., None, 1:]
    share = (1.0 - np.abs(FLANK_BREADTHS) ** row[..., 4]) ** (1.0 / row[..., 4])
    buccal = row[..., 2] + row[..., 3] * FLANK_BREADTHS
    side = np.array([1.0, -1.0])[:, None, None]
    mesial = row[..., 0] + side * row[..., 1] * share + shear[:, None, None, None] * buccal
    local = np.stack(np.broadcast_arrays(mesial, buccal, rows[..., :1]), axis=-1)
    points = (local.reshape(count, -1, 3) @ axes).reshape(local.shape)
    points += origins[:, None, None, None]
    return _cut(points, planes)


@compiled
def _cut(points: Floats, planes: Floats) -> Floats:
    """Press points beyond their facet plane onto it, and add the facet's corners to each row.

    A row crosses its plane at most twice; where it does not, its first point stands again.
    """
    teeth, sides, rows, count, _ = points.shape
    cut = np.empty((teeth, sides, rows, count + 2, 3))
    for t in range(teeth):
        for s in range(sides):
            nx, ny, nz, offset = planes[t, s]
            for k in range(rows):
                row = points[t, s, k]
                out = cut[t, s, k]
                before = 0.0
                corner = 0
                for m in range(count):
                    over = row[m, 0] * nx + row[m, 1] * ny + row[m, 2] * nz - offset
                    press = max(over, 0.0)
                    out[m, 0] = row[m, 0] - press * nx
                    out[m, 1] = row[m, 1] - press * ny
                    out[m, 2] = row[m, 2] - press * nz
                    if m > 0 and corner < 2 and (before < 0.0) != (over < 0.0):
                        share = before / (before - over)
                        for c in range(3):
                            out[count + corner, c] = row[m - 1, c] + share * (
                                row[m, c] - row[m - 1, c]
                            )
                        corner += 1
                    before = over
                for left in range(corner, 2):
                    for c in range(3):
                        out[count + left, c] = out[0, c]
    return cut


__all__ = [
    "DISTAL",
    "FLANK_BREADTHS",
    "FLANK_ROWS_MM",
    "MESIAL",
    "NO_FACET_MM",
    "crown_flanks",
    "flank_sections",
    "flanks_through",
]
