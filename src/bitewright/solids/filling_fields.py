"""Fillings as fields on a tooth's grid: cavities, linings, voids, overhangs. [mm]

Shapes, sizes and how often each irregularity occurs are our choice, after what films show.
"""

import numpy as np
from numpy.typing import NDArray

from bitewright.mouth.tooth_parts import SKIN_MM, ToothPart
from bitewright.solids.blends import rise, soft_min
from bitewright.solids.fixed_noise import slow_noise
from bitewright.solids.placed_tooth import PlacedTooth
from bitewright.solids.tooth_solid import ToothGrid

Floats = NDArray[np.float64]

ROUND_FLOOR_MM, SQUARE, JOINED_MM = 1.2, 2.6, 0.5
"""Over which walls pass into floors, how square they are (2 is an ellipse), and over which lobes
run together."""

ROUGH_MM = ((0.17, 2.0), (0.12, 0.9))
"""How far walls wander, and over what length."""

PITS = (-0.19, 0.02, 0.20)
"""Lobes of the chewing surface, as shares of the width."""

LEAN = 0.35
"""Boxes at the sides lean by this slope at most."""

FLOOR_MM, SHALLOWER_MM = 3.5, 1.2
STEP_MM = 1.1
"""Floors lie so far below the crown's height, less by so much at most; of boxes at the sides so far
below the contact."""

LINED, LINING_MM, LINING_WAVE_MM = 0.5, 0.6, 0.2
"""Share of fillings of the chewing surface in amalgam that have a lining, as opaque as composite,
and its thickness and how far its surface wanders."""

VOIDS = 3
VOID_MM = (0.12, 0.28)
"""Voids in a filling, and their radii."""

OVERHANGING, OVERHANG_MM, OVERHANG_HEIGHT_MM = 0.25, 0.35, 0.45
"""Share of boxes at the sides with an overhang at their foot, how far it stands out, how high."""

SIDES = (("mesial", 1.0), ("distal", -1.0))


def filling_layers(
    placed: PlacedTooth, grid: ToothGrid, part: ToothPart, outer: Floats
) -> list[tuple[str, Floats]]:
    """A filling and, if it has one, its lining, with what they are made of."""
    within = outer + SKIN_MM - _overhang(placed, grid, part)
    whole = np.maximum(_cavity(placed, grid, part), within)
    filled = np.maximum(whole, _voids(placed, grid, part))
    lined = part.material == "amalgam" and _chance(placed, part, 0) < LINED
    if not (lined and _opens_above(part)):
        return [(part.material, filled)]
    floor = placed.tooth.crown_length_mm - FLOOR_MM - 0.5 * (part.size - 1.0)
    wave = LINING_WAVE_MM * slow_noise(grid.points() + placed.variety_mm, 1.8)
    over = grid.height - floor - LINING_MM + wave
    over = np.maximum(over, np.abs(grid.mesial) - 0.3 * placed.tooth.md_crown_mm)
    return [("amalgam", np.maximum(filled, SKIN_MM - over)), ("composite", np.maximum(whole, over))]


def _opens_above(part: ToothPart) -> bool:
    return "occlusal" in part.surface or part.surface == "all"


def _chance(placed: PlacedTooth, part: ToothPart, number: int) -> float:
    """A number from 0 to 1 that is this filling's own."""
    own = 13.7 * part.size + 3.1 * len(part.surface) + placed.variety_mm + number
    return float((0.6180339887 * 10.0 * own) % 1.0)


def _cavity(placed: PlacedTooth, grid: ToothGrid, part: ToothPart) -> Floats:
    """Lobes sunk from the chewing surface and the sides, run together."""
    lobes = _lobes_above(placed, grid, part) if _opens_above(part) else []
    for side, sign in SIDES:
        if side in part.surface or part.surface == "all":
            lobes += _lobes_beside(placed, grid, part, side, sign)
    field = lobes[0]
    for lobe in lobes[1:]:
        field = soft_min(field, lobe, JOINED_MM)
    points = grid.points() + placed.variety_mm
    rough = sum(most * slow_noise(points, size_mm) for most, size_mm in ROUGH_MM)
    return np.asarray(field + rough - 0.25 * (part.size - 1.0) * 2.0)


def _lobes_above(placed: PlacedTooth, grid: ToothGrid, part: ToothPart) -> list[Floats]:
    """Of the chewing surface: one in each pit, each as wide and deep as it was caried."""
    width, breadth = placed.tooth.md_crown_mm, placed.tooth.bl_crown_mm
    lobes = []
    for number, at in enumerate(PITS):
        off, wide, broad, deep = (_chance(placed, part, 70 + 4 * number + k) for k in range(4))
        floor = FLOOR_MM - SHALLOWER_MM * deep
        place = ((at + 0.05 * (off - 0.5)) * width, 0.06 * (broad - 0.5) * breadth)
        half = ((0.15 + 0.06 * wide) * width, (0.16 + 0.06 * broad) * breadth)
        lobes.append(_lobe(grid, place, half, placed.tooth.crown_length_mm - floor))
    return lobes


def _lobes_beside(
    placed: PlacedTooth, grid: ToothGrid, part: ToothPart, side: str, sign: float
) -> list[Floats]:
    """Of a proximal side, and the narrow way from there to the chewing surface's."""
    tooth = placed.tooth
    width, breadth = tooth.md_crown_mm, tooth.bl_crown_mm
    wide, broad, lean = (_chance(placed, part, 90 + len(side) + k) for k in range(3))
    place = (sign * (0.46 - 0.05 * wide) * width, 0.08 * (broad - 0.5) * breadth)
    half = ((0.13 + 0.05 * wide) * width, (0.18 + 0.05 * broad) * breadth)
    lobes = [_lobe(grid, place, half, _box_foot(placed, side), sign * LEAN * (lean - 0.3))]
    if _opens_above(part):
        way = (sign * 0.29 * width, 0.0)
        half = (0.13 * width, 0.11 * breadth)
        lobes.append(_lobe(grid, way, half, tooth.crown_length_mm - 2.3))
    return lobes


def _box_foot(placed: PlacedTooth, side: str) -> float:
    contact = placed.sections.contact_mm[placed.row, 0 if side == "mesial" else 1]
    return float(contact) - STEP_MM


def _lobe(
    grid: ToothGrid,
    place: tuple[float, float],
    half: tuple[float, float],
    floor: float,
    lean: float = 0.0,
) -> Floats:
    """A cavity open above with a floor as round as a bur leaves it, leaning forward by a slope."""
    up = grid.height - floor - ROUND_FLOOR_MM
    x = (grid.mesial - place[0] - lean * up) / half[0]
    y = (grid.buccal - place[1]) / half[1]
    z = np.minimum(up, 0.0) / ROUND_FLOOR_MM
    total = np.abs(x) ** SQUARE + np.abs(y) ** SQUARE + np.abs(z) ** SQUARE
    return np.asarray((total ** (1.0 / SQUARE) - 1.0) * min(*half, ROUND_FLOOR_MM))


def _voids(placed: PlacedTooth, grid: ToothGrid, part: ToothPart) -> Floats:
    """Negated distance into the nearest void."""
    tooth = placed.tooth
    nearest = np.full(np.broadcast_shapes(*(axis.shape for axis in _axes(grid))), -np.inf)
    for number in range(VOIDS):
        x, y, z, size = (_chance(placed, part, 10 * number + k + 1) - 0.5 for k in range(4))
        at = (0.9 * x * tooth.md_crown_mm, 0.25 * y * tooth.bl_crown_mm)
        height = tooth.crown_length_mm - 2.0 + 2.5 * z
        radius = np.mean(VOID_MM) + size * np.ptp(VOID_MM)
        away = (grid.mesial - at[0]) ** 2 + (grid.buccal - at[1]) ** 2 + (grid.height - height) ** 2
        nearest = np.maximum(nearest, radius - np.sqrt(away))
    return np.asarray(nearest)


def _axes(grid: ToothGrid) -> tuple[Floats, Floats, Floats]:
    return grid.mesial, grid.buccal, grid.height


def _overhang(placed: PlacedTooth, grid: ToothGrid, part: ToothPart) -> Floats:
    """How far a filling stands out of the tooth at the feet of its boxes. [mm]"""
    out = np.zeros((1, 1, 1))
    for number, (side, sign) in enumerate(SIDES):
        boxed = side in part.surface or part.surface == "all"
        if part.material != "amalgam" or not boxed:
            continue
        if _chance(placed, part, 50 + number) > OVERHANGING:
            continue
        foot = _box_foot(placed, side) - 0.5 * (part.size - 1.0) + 0.5 * OVERHANG_HEIGHT_MM
        near = np.exp(-(((grid.height - foot) / OVERHANG_HEIGHT_MM) ** 2))
        out = out + OVERHANG_MM * near * rise(sign * grid.mesial / 2.0)
    return np.asarray(out)


__all__ = ["filling_layers"]
