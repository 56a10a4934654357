"""The outer shape of jaw bone as fields on a grid: crest, walls, ramus, oblique line, sinus.

Fields are about millimetres, negative inside. Sizes are our choice where no source is named.
"""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from bitewright.solids.blends import rise, soft_max, soft_min
from bitewright.solids.fixed_noise import slow_noise
from bitewright.solids.jaw_grid import JawGrid
from bitewright.solids.ridge import STEP_MM

Floats = NDArray[np.float64]

SHOULDER_MM = 0.8
"""Width over which the crest rounds into the walls."""

ROUGHNESS_MM = 0.1
ROUGHNESS_SIZE_MM = 1.3
KNOT_MM = 0.8
"""The crest's roughness dies out this near an outlines' crest point, which it must pass through."""

RAMUS_BEHIND_MM = 3.0
PLACE_MM = 8.0
RAMUS_RISE = 1.7
RAMUS_TOP_MM = 18.0
RAMUS_BUCCAL_MM = (0.5, 3.0)
"""The front of the ramus: where it starts behind a third molar and further for each tooth missing
there, how steeply and far it rises, and at what offsets."""

OBLIQUE_DEPTH_MM = 11.0
OBLIQUE_MM = 4.5
"""The external oblique line: depth at the first molar, how far it stands out at the ramus."""

SINUS_OVER_MM = 10.5
SINUS_FRONT_MM = 24.0
SINUS_COVER_MM = 0.9
"""Sinus floor: least height over the crest at the molars, how far in front of the last tooth it
begins; bone left over the roots."""

DEFECT_STEEP = 1.9
LEAST_SEPTUM_MM = 0.4
SEPTUM_SHARE = 0.8
"""An angular defect is this much deeper than wide at its mouth, and leaves the rest of the septum
to the tooth beyond."""


@dataclass(frozen=True, slots=True, eq=False)
class JawShape:
    """Fields (S, N, Z) of one jaw's side. [mm]

    Parameters
    ----------
    depth_mm : how far below the crest, negative above
    side_mm : beyond the nearer wall, negative within
    block : the bone without sockets and sinus
    sinus : the air of the maxillary sinus, or None
    """

    depth_mm: Floats
    side_mm: Floats
    block: Floats
    sinus: Floats | None


def jaw_shape(grid: JawGrid, distance_mm: Floats) -> JawShape:
    """Shape one jaw's side round teeth whose distance is known at every place."""
    behind = (grid.stations - grid.ridge.last) * STEP_MM
    depth = _depth(grid, behind) - _defects(grid, distance_mm)
    walls = [_wall(grid, depth, behind, side=side) for side in (-1.0, 1.0)]
    across = grid.across_mm[..., None]
    side_mm = soft_max(across - walls[1], -across - walls[0], 0.5)
    cover = np.clip(0.22 + 0.13 * depth, 0.2, 1.1)
    side_mm = soft_min(side_mm, distance_mm - cover, 0.6)
    block = soft_max(-depth, side_mm, SHOULDER_MM)
    sinus = _sinus(grid, depth, walls, behind, distance_mm) if grid.ridge.rootward > 0 else None
    return JawShape(depth, side_mm, block, sinus)


def _depth(grid: JawGrid, behind: Floats) -> Floats:
    """Depth below a crest that is a little rough, and that rises to the ramus in the lower jaw."""
    row = grid.ridge
    crest = row.crest(grid.stations[:, None], grid.across_mm)
    nearest = np.abs(grid.stations[:, None] - row.knots).min(axis=1, initial=np.inf) * STEP_MM
    rough = slow_noise(_flat(grid), ROUGHNESS_SIZE_MM)
    crest = crest + ROUGHNESS_MM * rise(nearest / KNOT_MM - 0.4)[:, None] * rough
    crest = crest - row.rootward * ramus_climb_mm(grid, behind)
    return np.asarray(row.rootward * (grid.heights_mm - crest[..., None]))


def ramus_climb_mm(grid: JawGrid, behind_mm: Floats) -> Floats:
    """How far the front of the ramus has risen over the crest (S, N); nought in the upper jaw."""
    row, (low, high) = grid.ridge, RAMUS_BUCCAL_MM
    if row.rootward > 0:
        return np.zeros_like(grid.across_mm)
    start = RAMUS_BEHIND_MM + PLACE_MM * (8 - row.last_place)
    climb = np.clip(RAMUS_RISE * (behind_mm - start), 0.0, RAMUS_TOP_MM)[:, None]
    return np.asarray(climb * rise((grid.across_mm - low) / (high - low)))


def _flat(grid: JawGrid) -> Floats:
    """Along and across (S, N, 3), the same on both sides of the mouth. [mm]"""
    along = np.broadcast_to(grid.stations[:, None] * STEP_MM, grid.across_mm.shape)
    return np.stack([along, grid.across_mm, np.full_like(along, 7.3)], axis=-1)


def _defects(grid: JawGrid, distance_mm: Floats) -> Floats:
    """How much further down the bone begins in angular defects: most at the root. [mm]"""
    lost = np.zeros(grid.shape)
    for defect in grid.ridge.defects:
        away = (grid.stations - defect.station) * STEP_MM * defect.away
        width = 0.5 + defect.depth_mm / DEFECT_STEEP
        others = (grid.ridge.knots - defect.station) * STEP_MM * defect.away
        if (others > LEAST_SEPTUM_MM).any():
            width = min(width, SEPTUM_SHARE * others[others > LEAST_SEPTUM_MM].min())
        beyond = np.maximum(distance_mm, (away - 0.2)[:, None, None])
        share = np.clip(1.0 - beyond / width, 0.0, 1.0)
        share *= rise(away + 1.2)[:, None, None]
        np.maximum(lost, defect.depth_mm * np.minimum(1.15 * share, 1.0), out=lost)
    return lost


def _wall(grid: JawGrid, depth: Floats, behind: Floats, *, side: float) -> Floats:
    """Offset of a wall from the ridge's line, growing with depth. [mm]"""
    row = grid.ridge
    half = row.at(grid.stations, row.half_mm)[:, None, None]
    deep = np.maximum(depth, 0.0)
    back = rise((behind + 36.0) / 36.0)[:, None, None]
    wall = half - 0.35 + 0.45 * (1.0 - np.exp(-deep / 1.2))
    wall = wall + (0.7 + 1.5 * back) * (1.0 - np.exp(-deep / 3.5))
    if row.rootward > 0:
        if side < 0:  # the palate runs in from the alveolar process
            wall = wall + 4.0 * rise((deep - 8.0) / 12.0)
        else:  # the cheek bone springs from above the first molar
            near = np.exp(-(((behind + 14.0) / 7.0) ** 2))[:, None, None]
            wall = wall + 6.0 * near * rise((deep - 12.0) / 8.0)
    elif side > 0:
        start = RAMUS_BEHIND_MM + PLACE_MM * (8 - row.last_place)
        share = np.clip((behind + 20.0) / (start + 20.0), 0.0, 1.0)
        line = OBLIQUE_DEPTH_MM * (1.0 - share)[:, None, None]
        grown = (OBLIQUE_MM * share**0.8)[:, None, None]
        wall = wall + grown * rise((deep - line) / 4.0 + 0.3)
    return np.asarray(wall)


def _sinus(
    grid: JawGrid, depth: Floats, walls: list[Floats], behind: Floats, distance_mm: Floats
) -> Floats:
    """The sinus over the back teeth: rounded, with bone over every root."""
    ahead = np.maximum(-(behind + 6.0), 0.0)
    sag = 0.9 * slow_noise(_flat(grid)[:, :1] * [1.0, 0.0, 1.0], 8.0)
    floor = SINUS_OVER_MM + 0.045 * ahead**2 + 0.3 * np.maximum(behind - 4.0, 0.0)
    across = grid.across_mm[..., None]
    air = soft_max((floor[:, None] + sag)[..., None] - depth, across - walls[1] + 1.4, 3.0)
    air = soft_max(air, -across - walls[0] + 2.0, 3.0)
    air = soft_max(air, (-(behind + SINUS_FRONT_MM))[:, None, None], 3.0)
    return np.asarray(np.maximum(air, SINUS_COVER_MM - distance_mm))


__all__ = ["JawShape", "jaw_shape", "ramus_climb_mm"]
