"""The chewing surface as an eye knows it: cusps with their ridges, grooves between, worn tips.

A height field over a tooth's own mesial and buccal axes, on the outlines' cusp tips. Figures:
``tables/occlusal_relief.toml``.
"""

from itertools import pairwise
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from bitewright.figure_tables import figures_of
from bitewright.mouth.occlusal_surface import (
    SLOPE,
    STEEPENING_PER_MM,
    TIP_ROUNDNESS_MM,
)
from bitewright.solids.blends import rise, soft_max, soft_min
from bitewright.solids.fixed_noise import slow_noise
from bitewright.solids.occlusal_wear import worn_surface
from bitewright.solids.placed_tooth import PlacedTooth

Floats = NDArray[np.float64]


def occlusal_relief(placed: PlacedTooth, mesial: Floats, buccal: Floats) -> Floats:
    """Height of the chewing surface above the junction, as worn. [mm]

    Our model, after general anatomy: `grown_relief`, and what wear grinds off it (`occlusal_wear`).

    Parameters
    ----------
    placed : PlacedTooth
    mesial, buccal : float arrays
        Places in the tooth's own axes, of shapes that fit one another. [mm]

    Returns
    -------
    float array
        Of the shape both make together. [mm]
    """
    return worn_surface(placed, grown_relief(placed, mesial, buccal), mesial, buccal)


def grown_relief(placed: PlacedTooth, mesial: Floats, buccal: Floats) -> Floats:
    """Height of the chewing surface before the mouth's own wear. [mm]

    Our model, after general anatomy: cones on the cusps' tips, the rims, triangular, oblique and
    marginal ridges between them, grooves and pits. Parameters, shape and unit as `occlusal_relief`.
    """
    crown, marginal = placed.tooth.crown_length_mm, RELIEF.marginal
    tips = placed.outlines.cusps.grown_tips(placed.row)
    if placed.place <= 2:
        edge = np.abs(buccal - tips[0, 1])
        falls = np.maximum(edge - RELIEF.cusps.incisal_half_mm, 0.0)
        return np.asarray(crown - RELIEF.cusps.incisal_slope * falls)
    surface = _cones(tips, mesial, buccal)
    if placed.place == 3:
        return surface
    surface = _with_rims(tips, surface, mesial, buccal)
    surface = surface + _triangular(tips, mesial, buccal)
    if placed.is_molar and placed.is_upper:
        surface = surface + _oblique(placed, mesial, buccal)
    below = marginal.molar_below_mm if placed.is_molar else marginal.premolar_below_mm
    at_share = marginal.molar_at_share if placed.is_molar else marginal.premolar_at_share
    ridge_at = at_share * placed.tooth.md_crown_mm * placed.wider(buccal)
    off = np.abs(mesial - placed.shear * buccal) - ridge_at
    across = buccal / (0.5 * placed.tooth.bl_crown_mm)
    ridge = crown - below - marginal.falls_per_mm * off**2 + marginal.rises_mm * across**2
    surface = soft_max(surface, ridge, marginal.crease_mm)
    surface = surface - _central_groove(placed, mesial, buccal) - _pits(placed, mesial, buccal)
    surface = surface + _uneven(placed, tips, mesial, buccal)
    highest = np.full_like(surface, float(tips[:, 2].max()))
    return soft_min(surface, highest, RELIEF.cusps.worn_mm)


def flank_grooves(placed: PlacedTooth, mesial: Floats, buccal: Floats, height: Floats) -> Floats:
    """How far the grooves between cusps run into a molar's cheek and tongue sides. [mm]

    Our model, after general anatomy.

    Parameters
    ----------
    placed : PlacedTooth
    mesial, buccal, height : float arrays
        Places in the tooth's own axes, of shapes that fit one another. [mm]

    Returns
    -------
    float array
        Of the shape all three make together; 0 for other teeth. [mm]
    """
    if not placed.is_molar:
        return np.zeros(np.broadcast_shapes(mesial.shape, buccal.shape, height.shape))
    form = RELIEF.flank_grooves
    half = 0.5 * placed.tooth.bl_crown_mm
    crown = placed.tooth.crown_length_mm
    up = rise((height - form.from_share * crown) / (form.over_share * crown))
    depth = np.zeros(np.broadcast_shapes(mesial.shape, buccal.shape))
    for side in (1.0, -1.0):
        at = form.at_share * placed.tooth.md_crown_mm * side
        if placed.is_upper and side < 0:
            at = form.upper_lingual_at_share * placed.tooth.md_crown_mm
        outer = rise((side * buccal / half - form.outer_from_share) / form.outer_over_share)
        depth = depth + outer * np.exp(-(((mesial - at) / form.half_width_mm) ** 2))
    return np.asarray(form.depth_mm * up * depth)


def _cones(tips: Floats, mesial: Floats, buccal: Floats) -> Floats:
    surface: Floats | None = None
    for tip in tips:
        across = np.hypot(mesial - tip[0], buccal - tip[1])
        down = np.hypot(SLOPE * across, TIP_ROUNDNESS_MM) - TIP_ROUNDNESS_MM
        cone = tip[2] - down * (1.0 + STEEPENING_PER_MM * down)
        surface = cone if surface is None else soft_max(surface, cone, RELIEF.cusps.crease_mm)
    return np.asarray(surface)


def _with_rims(tips: Floats, surface: Floats, mesial: Floats, buccal: Floats) -> Floats:
    """The rims from cusp to cusp along each side, roofs that sag between the tips."""
    form = RELIEF.rim
    for side in (1.0, -1.0):
        own = tips[side * tips[:, 1] > 0.0]
        own = own[np.argsort(own[:, 0])]
        for start, end in pairwise(own):
            way = end[:2] - start[:2]
            length2 = float(way @ way)
            share = ((mesial - start[0]) * way[0] + (buccal - start[1]) * way[1]) / length2
            share = np.clip(share, 0.0, 1.0)
            aside = np.hypot(mesial - start[0] - share * way[0], buccal - start[1] - share * way[1])
            down = np.hypot(SLOPE * aside, form.roundness_mm) - form.roundness_mm
            sag = form.sag_mm * np.sin(np.pi * share)
            rim = start[2] + share * (end[2] - start[2]) - sag - down
            surface = soft_max(surface, rim, form.crease_mm)
    return surface


def _triangular(tips: Floats, mesial: Floats, buccal: Floats) -> Floats:
    """Ridges from the tips towards the middle, broad at the foot."""
    form = RELIEF.triangular
    added = np.zeros(np.broadcast_shapes(mesial.shape, buccal.shape))
    for tip in tips:
        length = float(np.hypot(tip[0] * form.lean_share, tip[1]))
        if length < form.least_mm:
            continue
        way = np.array([-form.lean_share * tip[0], -tip[1]]) / length
        along = (mesial - tip[0]) * way[0] + (buccal - tip[1]) * way[1]
        aside = (mesial - tip[0]) * way[1] - (buccal - tip[1]) * way[0]
        share = np.clip(along / length, 0.0, form.past_share)
        shape = rise(along / form.rises_over_mm)
        shape = shape * rise((form.ends_at_share - share) / form.ends_over_share)
        added += form.height_mm * shape * np.exp(-((aside / form.half_width_mm) ** 2))
        beside = (np.abs(aside) - form.groove_off_mm) / form.groove_half_width_mm
        added -= form.groove_mm * shape * np.exp(-(beside**2))
    return added


def _oblique(placed: PlacedTooth, mesial: Floats, buccal: Floats) -> Floats:
    form, names = RELIEF.oblique, placed.outlines.cusps.names[placed.row]
    if not {"distobuccal", "mesiolingual"} <= set(names):
        return np.zeros_like(mesial + buccal)
    tips = placed.outlines.cusps.tips_tooth[placed.row]
    start, end = (tips[names.index(name), :2] for name in ("distobuccal", "mesiolingual"))
    way = (end - start) / np.linalg.norm(end - start)
    along = ((mesial - start[0]) * way[0] + (buccal - start[1]) * way[1]) / np.linalg.norm(
        end - start
    )
    aside = (mesial - start[0]) * way[1] - (buccal - start[1]) * way[0]
    shape = rise(along / form.ends_over_share) * rise((1.0 - along) / form.ends_over_share)
    return np.asarray(form.height_mm * shape * np.exp(-((aside / form.half_width_mm) ** 2)))


def _pits(placed: PlacedTooth, mesial: Floats, buccal: Floats) -> Floats:
    """The deepest places of the fossae: in the middle of molars, inside both marginal ridges."""
    depth, wide = RELIEF.pits.depth_mm, RELIEF.pits.half_width_mm
    reach = RELIEF.pits.at_share * placed.tooth.md_crown_mm
    at = (-reach, 0.0, reach) if placed.is_molar else (-reach, reach)
    pits = [np.exp(-(((mesial - x) / wide) ** 2 + (buccal / wide) ** 2)) for x in at]
    return np.asarray(depth * sum(pits))


def _uneven(placed: PlacedTooth, tips: Floats, mesial: Floats, buccal: Floats) -> Floats:
    """Low swells of the tooth's own; none at the tips."""
    form = RELIEF.uneven
    shape = np.broadcast_shapes(mesial.shape, buccal.shape)
    places = np.stack(np.broadcast_arrays(mesial, buccal, np.zeros(shape)), axis=-1)
    swell = form.most_mm * np.tanh(slow_noise(places + placed.variety_mm, form.size_mm))
    for tip in tips:
        away = np.hypot(mesial - tip[0], buccal - tip[1])
        swell = swell * -np.expm1(-((away / form.tip_mm) ** 2))
    return np.asarray(swell)


def _central_groove(placed: PlacedTooth, mesial: Floats, buccal: Floats) -> Floats:
    """A wandering groove from pit to pit, with a cross groove in molars."""
    form = RELIEF.groove
    reach = form.reach_share * placed.tooth.md_crown_mm
    wander = form.wander_mm * np.sin(form.wander_rad_per_mm * mesial + placed.kind)
    along = rise((reach - np.abs(mesial)) / form.ends_over_mm)
    depth = along * np.exp(-(((buccal - wander) / form.half_width_mm) ** 2))
    if placed.is_molar:
        cross_mm = form.cross_reach_share * placed.tooth.bl_crown_mm
        cross = rise((cross_mm - np.abs(buccal)) / form.cross_ends_over_mm)
        beside = (mesial - form.cross_at_mm) / form.half_width_mm
        depth = np.maximum(depth, cross * np.exp(-(beside**2)))
    return np.asarray(form.depth_mm * depth)


class CuspForm(NamedTuple):
    """How cusps and edges are rounded."""

    crease_mm: float
    worn_mm: float
    incisal_slope: float
    incisal_half_mm: float


class TriangularRidge(NamedTuple):
    """The ridge from a cusp's tip to the middle, and the grooves beside it."""

    height_mm: float
    half_width_mm: float
    lean_share: float
    least_mm: float
    past_share: float
    rises_over_mm: float
    ends_at_share: float
    ends_over_share: float
    groove_mm: float
    groove_off_mm: float
    groove_half_width_mm: float


class Rim(NamedTuple):
    """The rim from cusp to cusp along a side."""

    sag_mm: float
    roundness_mm: float
    crease_mm: float


class ObliqueRidge(NamedTuple):
    """The oblique ridge of upper molars."""

    height_mm: float
    half_width_mm: float
    ends_over_share: float


class MarginalRidge(NamedTuple):
    """The ridges at the proximal sides."""

    molar_below_mm: float
    molar_at_share: float
    premolar_below_mm: float
    premolar_at_share: float
    falls_per_mm: float
    rises_mm: float
    crease_mm: float


class CentralGroove(NamedTuple):
    """The central groove, and a molar's cross groove."""

    depth_mm: float
    half_width_mm: float
    reach_share: float
    wander_mm: float
    wander_rad_per_mm: float
    ends_over_mm: float
    cross_reach_share: float
    cross_ends_over_mm: float
    cross_at_mm: float


class Pits(NamedTuple):
    """The deepest places of the fossae."""

    depth_mm: float
    half_width_mm: float
    at_share: float


class UnevenTable(NamedTuple):
    """How uneven the surface is."""

    most_mm: float
    size_mm: float
    tip_mm: float


class FlankGrooves(NamedTuple):
    """Grooves of molars on cheek and tongue sides."""

    depth_mm: float
    half_width_mm: float
    from_share: float
    over_share: float
    outer_from_share: float
    outer_over_share: float
    at_share: float
    upper_lingual_at_share: float


class OcclusalRelief(NamedTuple):
    """The chewing surface."""

    cusps: CuspForm
    triangular: TriangularRidge
    rim: Rim
    oblique: ObliqueRidge
    marginal: MarginalRidge
    groove: CentralGroove
    pits: Pits
    uneven: UnevenTable
    flank_grooves: FlankGrooves


RELIEF = figures_of(OcclusalRelief, "bitewright.solids", "occlusal_relief")

__all__ = ["flank_grooves", "grown_relief", "occlusal_relief"]
