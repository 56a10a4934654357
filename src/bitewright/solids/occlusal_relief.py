"""The chewing surface as an eye knows it: cusps with their ridges, grooves between, worn tips.

A height field over a tooth's own mesial and buccal axes, on the outlines' cusp tips. All sizes are
our choice, after general anatomy and beside a real radiograph.
"""

from itertools import pairwise

import numpy as np
from numpy.typing import NDArray

from bitewright.mouth.occlusal_surface import (
    SLOPE,
    STEEPENING_PER_MM,
    TIP_ROUNDNESS_MM,
)
from bitewright.solids.blends import rise, soft_max, soft_min
from bitewright.solids.fixed_noise import slow_noise
from bitewright.solids.placed_tooth import PlacedTooth

Floats = NDArray[np.float64]

CREASE_MM = 0.12
"""How widely the valleys between cusps are rounded."""

TRIANGULAR_MM = (0.28, 0.60)
"""Height and half width of the ridge from each cusp's tip to the middle."""

RIM_SAG_MM = 0.6
"""How far the rim between two cusps of one side sinks between their tips."""

RIM_ROUNDNESS_MM = 0.5
RIM_CREASE_MM = 0.35

OBLIQUE_MM = (0.40, 0.75)
"""Of the ridge of upper molars from the distobuccal to the mesiolingual cusp."""

MARGINAL = {True: (1.45, 0.405), False: (1.60, 0.37)}
"""Depth below the cusps [mm] and place as a share of the width, of molars and premolars."""

GROOVE_MM = (0.48, 0.26)
"""Depth and half width of the central groove."""

PIT_MM = (0.38, 0.55)
PIT_SHARE = 0.27
"""Of the pits in the middle fossa and inside the marginal ridges: depth, half width; place as a
share of the width."""

SUPPLEMENTAL_MM = (0.14, 0.75, 0.25)
"""Grooves on both sides of each triangular ridge: depth, distance from its line, half width."""

UNEVEN_MM, UNEVEN_SIZE_MM, TIP_MM = 0.06, 1.3, 1.1
"""The table is uneven by so much at most, over this length, but not so near a cusp's tip."""

WORN_MM = 0.12
"""How widely the highest cusps are rounded off."""

FACET_SLOPE, FACET_REACH_MM, FACET_ENDS, INCLINED_EDGE_MM = (0.10, 0.28), 1.3, 2.0, 0.12
FACET_LOWER = 0.15
"""Facets of single cusps lean by these slopes, reach so far and end as steeply, with edges rounded
so widely; they are deeper by this share of what leaning takes them above the level of wear."""

MEETING_MM, LEAST_WORN, LEAST_WORN_MM = 1.2, 0.3, 0.15
"""Cusps up to so much below the highest meet others; those below the level of wear lose this share
of it, at most so much."""

FACET_EDGE_MM, FACET_DISH_MM = 0.45, 0.08
LEAST_EDGE_MM, EDGE_PER_WEAR = 0.08, 1.5
"""How widely the edge of worn facets is rounded, less where little is worn, and how unevenly they
are hollowed."""


def occlusal_relief(placed: PlacedTooth, mesial: Floats, buccal: Floats) -> Floats:
    """Height of the chewing surface at places (same shapes), above the junction, as worn. [mm]"""
    surface = grown_relief(placed, mesial, buccal)
    worn_to = float(placed.outlines.cusps.worn_to_mm[placed.row])
    if not np.isfinite(worn_to):
        return surface
    places = np.stack(np.broadcast_arrays(mesial, buccal, np.float64(placed.kind)), axis=-1)
    dish = FACET_DISH_MM * np.abs(slow_noise(places, 2.5))
    edge = min(FACET_EDGE_MM, LEAST_EDGE_MM + EDGE_PER_WEAR * placed.tooth.wear_mm)
    if placed.place >= 3:
        for facet in _facets(placed, worn_to, mesial, buccal):
            surface = soft_min(surface, facet - 0.5 * dish, min(edge, INCLINED_EDGE_MM))
    return soft_min(surface, worn_to - dish, edge)


def _facets(placed: PlacedTooth, worn_to: float, mesial: Floats, buccal: Floats) -> list[Floats]:
    """Planes that wear has ground on each cusp, leaning each its own way; none beyond its cusp."""
    tips = placed.outlines.cusps.grown_tips(placed.row)
    least = min(LEAST_WORN * placed.tooth.wear_mm, LEAST_WORN_MM)
    facets = []
    for number, tip in enumerate(tips):
        if tip[2] < tips[:, 2].max() - MEETING_MM:
            continue
        slope = placed.between(FACET_SLOPE, 60 + 3 * number)
        turn = _facing(placed, tip, 61 + 3 * number)
        x, y = mesial - tip[0], buccal - tip[1]
        lean = slope * (x * np.cos(turn) + y * np.sin(turn))
        beyond = np.maximum(np.hypot(x, y) - FACET_REACH_MM, 0.0)
        worn = max(tip[2] - worn_to, least) * (1.0 + FACET_LOWER * slope / SLOPE)
        facets.append(tip[2] - worn - lean + FACET_ENDS * beyond)
    return facets


def _facing(placed: PlacedTooth, tip: Floats, number: int) -> float:
    """Direction in which a cusp's facet falls: inward, on working cusps outward as often. [rad]"""
    inward = float(np.arctan2(-tip[1], -0.4 * tip[0]))
    working = (tip[1] > 0.0) != placed.is_upper
    outward = working and placed.between((0.0, 1.0), number + 1) > 0.5
    return inward + np.pi * outward + placed.between((-0.8, 0.8), number)


def grown_relief(placed: PlacedTooth, mesial: Floats, buccal: Floats) -> Floats:
    """The same before the mouth's own wear. [mm]"""
    crown = placed.tooth.crown_length_mm
    tips = placed.outlines.cusps.grown_tips(placed.row)
    if placed.place <= 2:
        edge = np.abs(buccal - tips[0, 1])
        return np.asarray(crown - 0.35 * np.maximum(edge - 0.25, 0.0))
    surface = _cones(tips, mesial, buccal)
    if placed.place == 3:
        return surface
    surface = _with_rims(tips, surface, mesial, buccal)
    surface = surface + _triangular(tips, mesial, buccal)
    if placed.is_molar and placed.is_upper:
        surface = surface + _oblique(placed, mesial, buccal)
    below, at_share = MARGINAL[placed.is_molar]
    off = np.abs(mesial - placed.shear * buccal) - at_share * placed.tooth.md_crown_mm
    across = buccal / (0.5 * placed.tooth.bl_crown_mm)
    marginal = crown - below - 0.45 * off**2 + 0.35 * across**2
    surface = soft_max(surface, marginal, 0.5)
    surface = surface - _central_groove(placed, mesial, buccal) - _pits(placed, mesial, buccal)
    surface = surface + _uneven(placed, tips, mesial, buccal)
    return soft_min(surface, np.full_like(surface, float(tips[:, 2].max())), WORN_MM)


def flank_grooves(placed: PlacedTooth, mesial: Floats, buccal: Floats, height: Floats) -> Floats:
    """How far the grooves between cusps run into a molar's cheek and tongue sides. [mm]"""
    if not placed.is_molar:
        return np.zeros(np.broadcast_shapes(mesial.shape, buccal.shape, height.shape))
    half = 0.5 * placed.tooth.bl_crown_mm
    crown = placed.tooth.crown_length_mm
    up = rise((height - 0.38 * crown) / (0.4 * crown))
    depth = np.zeros(np.broadcast_shapes(mesial.shape, buccal.shape))
    for side in (1.0, -1.0):
        at = 0.02 * placed.tooth.md_crown_mm * side
        if placed.is_upper and side < 0:
            at = -0.10 * placed.tooth.md_crown_mm
        outer = rise((side * buccal / half - 0.35) / 0.4)
        depth = depth + outer * np.exp(-(((mesial - at) / 0.5) ** 2))
    return np.asarray(0.34 * up * depth)


def _cones(tips: Floats, mesial: Floats, buccal: Floats) -> Floats:
    surface: Floats | None = None
    for tip in tips:
        across = np.hypot(mesial - tip[0], buccal - tip[1])
        down = np.hypot(SLOPE * across, TIP_ROUNDNESS_MM) - TIP_ROUNDNESS_MM
        cone = tip[2] - down * (1.0 + STEEPENING_PER_MM * down)
        surface = cone if surface is None else soft_max(surface, cone, CREASE_MM)
    return np.asarray(surface)


def _with_rims(tips: Floats, surface: Floats, mesial: Floats, buccal: Floats) -> Floats:
    """The rims from cusp to cusp along each side, roofs that sag between the tips."""
    for side in (1.0, -1.0):
        own = tips[side * tips[:, 1] > 0.0]
        own = own[np.argsort(own[:, 0])]
        for start, end in pairwise(own):
            way = end[:2] - start[:2]
            length2 = float(way @ way)
            share = ((mesial - start[0]) * way[0] + (buccal - start[1]) * way[1]) / length2
            share = np.clip(share, 0.0, 1.0)
            aside = np.hypot(mesial - start[0] - share * way[0], buccal - start[1] - share * way[1])
            down = np.hypot(SLOPE * aside, RIM_ROUNDNESS_MM) - RIM_ROUNDNESS_MM
            sag = RIM_SAG_MM * np.sin(np.pi * share)
            rim = start[2] + share * (end[2] - start[2]) - sag - down
            surface = soft_max(surface, rim, RIM_CREASE_MM)
    return surface


def _triangular(tips: Floats, mesial: Floats, buccal: Floats) -> Floats:
    """Ridges from the tips towards the middle, broad at the foot."""
    added = np.zeros(np.broadcast_shapes(mesial.shape, buccal.shape))
    for tip in tips:
        length = float(np.hypot(tip[0] * 0.5, tip[1]))
        if length < 0.5:
            continue
        way = np.array([-0.5 * tip[0], -tip[1]]) / length
        along = (mesial - tip[0]) * way[0] + (buccal - tip[1]) * way[1]
        aside = (mesial - tip[0]) * way[1] - (buccal - tip[1]) * way[0]
        share = np.clip(along / length, 0.0, 1.2)
        shape = rise(along / 1.7) * rise((1.15 - share) / 0.5)
        added += TRIANGULAR_MM[0] * shape * np.exp(-((aside / TRIANGULAR_MM[1]) ** 2))
        depth, off, wide = SUPPLEMENTAL_MM
        added -= depth * shape * np.exp(-(((np.abs(aside) - off) / wide) ** 2))
    return added


def _oblique(placed: PlacedTooth, mesial: Floats, buccal: Floats) -> Floats:
    names = placed.outlines.cusps.names[placed.row]
    if not {"distobuccal", "mesiolingual"} <= set(names):
        return np.zeros_like(mesial + buccal)
    tips = placed.outlines.cusps.tips_tooth[placed.row]
    start, end = (tips[names.index(name), :2] for name in ("distobuccal", "mesiolingual"))
    way = (end - start) / np.linalg.norm(end - start)
    along = ((mesial - start[0]) * way[0] + (buccal - start[1]) * way[1]) / np.linalg.norm(
        end - start
    )
    aside = (mesial - start[0]) * way[1] - (buccal - start[1]) * way[0]
    shape = rise(along / 0.45) * rise((1.0 - along) / 0.45)
    return np.asarray(OBLIQUE_MM[0] * shape * np.exp(-((aside / OBLIQUE_MM[1]) ** 2)))


def _pits(placed: PlacedTooth, mesial: Floats, buccal: Floats) -> Floats:
    """The deepest places of the fossae: in the middle of molars, inside both marginal ridges."""
    depth, wide = PIT_MM
    reach = PIT_SHARE * placed.tooth.md_crown_mm
    at = (-reach, 0.0, reach) if placed.is_molar else (-reach, reach)
    pits = [np.exp(-(((mesial - x) / wide) ** 2 + (buccal / wide) ** 2)) for x in at]
    return np.asarray(depth * sum(pits))


def _uneven(placed: PlacedTooth, tips: Floats, mesial: Floats, buccal: Floats) -> Floats:
    """Low swells of the tooth's own; none at the tips."""
    shape = np.broadcast_shapes(mesial.shape, buccal.shape)
    places = np.stack(np.broadcast_arrays(mesial, buccal, np.zeros(shape)), axis=-1)
    swell = UNEVEN_MM * np.tanh(slow_noise(places + placed.variety_mm, UNEVEN_SIZE_MM))
    for tip in tips:
        away = np.hypot(mesial - tip[0], buccal - tip[1])
        swell = swell * -np.expm1(-((away / TIP_MM) ** 2))
    return np.asarray(swell)


def _central_groove(placed: PlacedTooth, mesial: Floats, buccal: Floats) -> Floats:
    """A wandering groove from pit to pit, with a cross groove in molars."""
    reach = 0.30 * placed.tooth.md_crown_mm
    wander = 0.25 * np.sin(2.2 * mesial + placed.kind)
    along = rise((reach - np.abs(mesial)) / 0.6)
    depth = along * np.exp(-(((buccal - wander) / GROOVE_MM[1]) ** 2))
    if placed.is_molar:
        cross = rise((0.24 * placed.tooth.bl_crown_mm - np.abs(buccal)) / 1.0)
        depth = np.maximum(depth, cross * np.exp(-(((mesial - 0.1) / GROOVE_MM[1]) ** 2)))
    return np.asarray(GROOVE_MM[0] * depth)


__all__ = ["flank_grooves", "grown_relief", "occlusal_relief"]
