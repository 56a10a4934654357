"""Wear of the chewing surface: facets that lean cusp by cusp, and a level for the whole tooth.

Figures: ``tables/occlusal_wear.toml``.
"""

from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from bitewright.figure_tables import figures_of
from bitewright.mouth.occlusal_surface import SLOPE
from bitewright.solids.blends import soft_min
from bitewright.solids.fixed_noise import slow_noise
from bitewright.solids.placed_tooth import PlacedTooth

Floats = NDArray[np.float64]


def worn_surface(placed: PlacedTooth, surface: Floats, mesial: Floats, buccal: Floats) -> Floats:
    """A chewing surface cut by leaning facets on the cusps that meet others, and at one level. [mm]

    Our model, after general anatomy; the level is the mouth's own.

    Parameters
    ----------
    placed : PlacedTooth
    surface : float array
        Height of the surface as it grew. [mm]
    mesial, buccal : float arrays
        Places in the tooth's own axes, of shapes that fit one another. [mm]

    Returns
    -------
    float array
        Of the surface's shape. [mm]
    """
    worn_to = float(placed.outlines.cusps.worn_to_mm[placed.row])
    if not np.isfinite(worn_to):
        return surface
    level, facets = OCCLUSAL_WEAR.level, OCCLUSAL_WEAR.facets
    places = np.stack(np.broadcast_arrays(mesial, buccal, np.float64(placed.kind)), axis=-1)
    dish = level.dish_mm * np.abs(slow_noise(places, level.dish_size_mm))
    edge = min(level.edge_mm, level.least_edge_mm + level.edge_per_wear * placed.tooth.wear_mm)
    if placed.place >= 3:
        for facet in _facets(placed, worn_to, mesial, buccal):
            hollowed = facet - facets.dish_share * dish
            surface = soft_min(surface, hollowed, min(edge, facets.edge_mm))
    return soft_min(surface, worn_to - dish, edge)


def _facets(placed: PlacedTooth, worn_to: float, mesial: Floats, buccal: Floats) -> list[Floats]:
    """Planes that wear has ground on each cusp, leaning each its own way; none beyond its cusp."""
    form = OCCLUSAL_WEAR.facets
    tips = placed.outlines.cusps.grown_tips(placed.row)
    least = min(form.least_worn_share * placed.tooth.wear_mm, form.least_worn_mm)
    facets = []
    for number, tip in enumerate(tips):
        if tip[2] < tips[:, 2].max() - form.meeting_mm:
            continue
        slope = placed.between(form.slope, 60 + 3 * number)
        turn = _facing(placed, tip, 61 + 3 * number)
        x, y = mesial - tip[0], buccal - tip[1]
        lean = slope * (x * np.cos(turn) + y * np.sin(turn))
        beyond = np.maximum(np.hypot(x, y) - form.reach_mm, 0.0)
        worn = max(tip[2] - worn_to, least) * (1.0 + form.lower_share * slope / SLOPE)
        facets.append(tip[2] - worn - lean + form.ends_slope * beyond)
    return facets


def _facing(placed: PlacedTooth, tip: Floats, number: int) -> float:
    """Direction in which a cusp's facet falls: inward, on working cusps outward as often. [rad]"""
    form = OCCLUSAL_WEAR.facets
    inward = float(np.arctan2(-tip[1], -form.inward_share * tip[0]))
    working = (tip[1] > 0.0) != placed.is_upper
    outward = working and placed.between((0.0, 1.0), number + 1) > form.outward_chance
    return inward + np.pi * outward + placed.between(form.turn_rad, number)


class CuspFacets(NamedTuple):
    """Facets that wear grinds on single cusps."""

    slope: tuple[float, float]
    reach_mm: float
    ends_slope: float
    lower_share: float
    edge_mm: float
    dish_share: float
    meeting_mm: float
    least_worn_share: float
    least_worn_mm: float
    inward_share: float
    outward_chance: float
    turn_rad: tuple[float, float]


class LevelWear(NamedTuple):
    """The level to which a tooth is worn."""

    edge_mm: float
    least_edge_mm: float
    edge_per_wear: float
    dish_mm: float
    dish_size_mm: float


class OcclusalWear(NamedTuple):
    """What wear grinds off the chewing surface."""

    facets: CuspFacets
    level: LevelWear


OCCLUSAL_WEAR = figures_of(OcclusalWear, "bitewright.solids", "occlusal_wear")

__all__ = ["worn_surface"]
