"""The outer shape of jaw bone as fields on a grid: crest, walls, ramus, oblique line, sinus.

Fields are about millimetres, negative inside. Figures: ``tables/jaw.toml``.
"""

from dataclasses import dataclass
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from bitewright.figure_tables import figures_of
from bitewright.solids.blends import rise, soft_max, soft_min
from bitewright.solids.fixed_noise import slow_noise
from bitewright.solids.jaw_grid import JawGrid
from bitewright.solids.ridge import STEP_MM

Floats = NDArray[np.float64]


@dataclass(frozen=True, slots=True, eq=False)
class JawShape:
    """Fields of one jaw's side, negative inside.

    Parameters
    ----------
    depth_mm : (S, N, Z) float array
        How far below the crest, negative above. [mm]
    side_mm : (S, N, Z) float array
        How far beyond the nearer wall, negative within. [mm]
    block : (S, N, Z) float array
        The bone without sockets and sinus. [mm]
    sinus : (S, N, Z) float array or None
        The air of the maxillary sinus. [mm]
    """

    depth_mm: Floats
    side_mm: Floats
    block: Floats
    sinus: Floats | None


def jaw_shape(grid: JawGrid, distance_mm: Floats) -> JawShape:
    """Shape one jaw's side round teeth whose distance is known at every place.

    Our model: a crest through the outlines' crest points and walls that run down from it.

    Parameters
    ----------
    grid : JawGrid
    distance_mm : (S, N, Z) float array
        To the nearest tooth, negative inside. [mm]

    Returns
    -------
    JawShape
    """
    form = JAW.walls
    behind = (grid.stations - grid.ridge.last) * STEP_MM
    depth = _depth(grid, behind) - _defects(grid, distance_mm)
    walls = [_wall(grid, depth, behind, side=side) for side in (-1.0, 1.0)]
    across = grid.across_mm[..., None]
    side_mm = soft_max(across - walls[1], -across - walls[0], form.edge_mm)
    cover = np.clip(form.cover_mm + form.cover_per_mm * depth, *form.cover_limits_mm)
    side_mm = soft_min(side_mm, distance_mm - cover, form.cover_crease_mm)
    block = soft_max(-depth, side_mm, JAW.crest.shoulder_mm)
    sinus = _sinus(grid, depth, walls, behind, distance_mm) if grid.ridge.rootward > 0 else None
    return JawShape(depth, side_mm, block, sinus)


def _depth(grid: JawGrid, behind: Floats) -> Floats:
    """Depth below a crest that is a little rough, and that rises to the ramus in the lower jaw."""
    row, form = grid.ridge, JAW.crest
    crest = row.crest(grid.stations[:, None], grid.across_mm)
    nearest = np.abs(grid.stations[:, None] - row.knots).min(axis=1, initial=np.inf) * STEP_MM
    rough = slow_noise(_flat(grid), form.rough_size_mm)
    away = rise(nearest / form.knot_mm - form.knot_share)
    crest = crest + form.rough_mm * away[:, None] * rough
    crest = crest - row.rootward * ramus_climb_mm(grid, behind)
    return np.asarray(row.rootward * (grid.heights_mm - crest[..., None]))


def ramus_climb_mm(grid: JawGrid, behind_mm: Floats) -> Floats:
    """How far the front of the ramus has risen over the crest; nought in the upper jaw. [mm]

    Parameters
    ----------
    grid : JawGrid
    behind_mm : (S,) float array
        How far each station lies behind the last tooth. [mm]

    Returns
    -------
    (S, N) float array
        [mm]
    """
    row, form = grid.ridge, JAW.ramus
    if row.rootward > 0:
        return np.zeros_like(grid.across_mm)
    climb = np.clip(form.slope * (behind_mm - _ramus_start_mm(grid)), 0.0, form.top_mm)[:, None]
    return np.asarray(climb * rise((grid.across_mm - form.from_mm) / (form.to_mm - form.from_mm)))


def _ramus_start_mm(grid: JawGrid) -> float:
    """How far behind the last tooth the ramus starts."""
    return JAW.ramus.behind_mm + JAW.ramus.place_mm * (8 - grid.ridge.last_place)


def _flat(grid: JawGrid) -> Floats:
    """Along and across (S, N, 3), the same on both sides of the mouth. [mm]"""
    along = np.broadcast_to(grid.stations[:, None] * STEP_MM, grid.across_mm.shape)
    return np.stack([along, grid.across_mm, np.full_like(along, ROUGH_AT_MM)], axis=-1)


def _defects(grid: JawGrid, distance_mm: Floats) -> Floats:
    """How much further down the bone begins in angular defects: most at the root. [mm]"""
    form, lost = JAW.defects, np.zeros(grid.shape)
    for defect in grid.ridge.defects:
        away = (grid.stations - defect.station) * STEP_MM * defect.away
        width = form.mouth_mm + defect.depth_mm / form.steep
        others = (grid.ridge.knots - defect.station) * STEP_MM * defect.away
        others = others[others > form.least_septum_mm]
        if others.size:
            width = min(width, form.septum_share * others.min())
        beyond = np.maximum(distance_mm, (away - form.root_mm)[:, None, None])
        share = np.clip(1.0 - beyond / width, 0.0, 1.0)
        share *= rise(away + form.round_mm)[:, None, None]
        np.maximum(lost, defect.depth_mm * np.minimum(form.full_times * share, 1.0), out=lost)
    return lost


def _wall(grid: JawGrid, depth: Floats, behind: Floats, *, side: float) -> Floats:
    """Offset of a wall from the ridge's line, growing with depth. [mm]"""
    row, form = grid.ridge, JAW.walls
    half = row.at(grid.stations, row.half_mm)[:, None, None]
    deep = np.maximum(depth, 0.0)
    back = rise((behind + form.back_mm) / form.back_mm)[:, None, None]
    first = 1.0 - np.exp(-deep / form.first_over_mm)
    second = 1.0 - np.exp(-deep / form.second_over_mm)
    wall = half - form.crest_in_mm + form.first_mm * first
    wall = wall + (form.second_mm + form.second_back_mm * back) * second
    if row.rootward > 0 and side < 0:
        wall = wall + JAW.palate.out_mm * rise((deep - JAW.palate.from_mm) / JAW.palate.over_mm)
    elif row.rootward > 0:
        wall = wall + _cheek_bone_mm(deep, behind)
    elif side > 0:
        wall = wall + _oblique_line_mm(grid, deep, behind)
    return np.asarray(wall)


def _cheek_bone_mm(deep: Floats, behind: Floats) -> Floats:
    """How far the cheek bone stands out above the first molar."""
    form = JAW.cheek_bone
    near = np.exp(-(((behind + form.ahead_mm) / form.half_length_mm) ** 2))[:, None, None]
    return np.asarray(form.out_mm * near * rise((deep - form.from_mm) / form.over_mm))


def _oblique_line_mm(grid: JawGrid, deep: Floats, behind: Floats) -> Floats:
    """How far the external oblique line stands out, which rises to the ramus."""
    form = JAW.oblique_line
    way_mm = _ramus_start_mm(grid) + form.ahead_mm
    share = np.clip((behind + form.ahead_mm) / way_mm, 0.0, 1.0)
    line = form.depth_mm * (1.0 - share)[:, None, None]
    grown = (form.out_mm * share**form.grows_power)[:, None, None]
    return np.asarray(grown * rise((deep - line) / form.over_mm + form.above_share))


def _sinus(
    grid: JawGrid, depth: Floats, walls: list[Floats], behind: Floats, distance_mm: Floats
) -> Floats:
    """The sinus over the back teeth: rounded, with bone over every root."""
    form, across = JAW.sinus, grid.across_mm[..., None]
    ahead = np.maximum(-(behind + form.lowest_ahead_mm), 0.0)
    sag = form.sag_mm * slow_noise(_flat(grid)[:, :1] * [1.0, 0.0, 1.0], form.sag_size_mm)
    back = form.rises_behind * np.maximum(behind - form.level_behind_mm, 0.0)
    floor = form.over_mm + form.rises_per_mm * ahead**2 + back
    below = (floor[:, None] + sag)[..., None] - depth
    air = soft_max(below, across - walls[1] + form.cheek_wall_mm, form.corner_mm)
    air = soft_max(air, -across - walls[0] + form.palate_wall_mm, form.corner_mm)
    air = soft_max(air, (-(behind + form.front_mm))[:, None, None], form.corner_mm)
    return np.asarray(np.maximum(air, form.cover_mm - distance_mm))


ROUGH_AT_MM = 7.3
"""Roughness that is the same at all heights is taken from this height of the noise."""


class Crest(NamedTuple):
    """How the crest is rounded and rough."""

    shoulder_mm: float
    rough_mm: float
    rough_size_mm: float
    knot_mm: float
    knot_share: float


class Ramus(NamedTuple):
    """The front of the ramus."""

    behind_mm: float
    place_mm: float
    slope: float
    top_mm: float
    from_mm: float
    to_mm: float


class JawWalls(NamedTuple):
    """How far walls stand out."""

    crest_in_mm: float
    first_mm: float
    first_over_mm: float
    second_mm: float
    second_back_mm: float
    second_over_mm: float
    back_mm: float
    edge_mm: float
    cover_mm: float
    cover_per_mm: float
    cover_limits_mm: tuple[float, float]
    cover_crease_mm: float


class Palate(NamedTuple):
    """Where the palate runs in."""

    out_mm: float
    from_mm: float
    over_mm: float


class CheekBone(NamedTuple):
    """Where the cheek bone springs."""

    ahead_mm: float
    half_length_mm: float
    out_mm: float
    from_mm: float
    over_mm: float


class ObliqueLine(NamedTuple):
    """The external oblique line."""

    depth_mm: float
    out_mm: float
    ahead_mm: float
    grows_power: float
    over_mm: float
    above_share: float


class Sinus(NamedTuple):
    """The maxillary sinus."""

    over_mm: float
    front_mm: float
    cover_mm: float
    lowest_ahead_mm: float
    rises_per_mm: float
    level_behind_mm: float
    rises_behind: float
    sag_mm: float
    sag_size_mm: float
    cheek_wall_mm: float
    palate_wall_mm: float
    corner_mm: float


class AngularDefects(NamedTuple):
    """Angular defects."""

    steep: float
    mouth_mm: float
    least_septum_mm: float
    septum_share: float
    root_mm: float
    round_mm: float
    full_times: float


class Jaw(NamedTuple):
    """The outer shape of jaw bone."""

    crest: Crest
    ramus: Ramus
    walls: JawWalls
    palate: Palate
    cheek_bone: CheekBone
    oblique_line: ObliqueLine
    sinus: Sinus
    defects: AngularDefects


JAW = figures_of(Jaw, "bitewright.solids", "jaw")

__all__ = ["JawShape", "jaw_shape", "ramus_climb_mm"]
