"""Fillings as fields on a tooth's grid: cavities, linings, voids, overhangs. [mm]

Shapes, sizes and how often each irregularity occurs are our choice, after what films show.
"""

import numpy as np
from numpy.typing import NDArray

from bitewright.dentition.blends import rise, soft_max, soft_min
from bitewright.dentition.fixed_noise import slow_noise
from bitewright.dentition.placed_tooth import PlacedTooth
from bitewright.dentition.tooth_parts import SKIN_MM, ToothPart
from bitewright.dentition.tooth_solid import ToothGrid

Floats = NDArray[np.float64]

EDGE_ROUNDNESS_MM = 1.0
"""Over which a cavity's walls pass into one another and into its floor."""

ROUGH_MM = ((0.15, 2.2), (0.13, 0.9))
"""How far walls wander, and over what length."""

FLOOR_MM = 3.3
STEP_MM = 1.1
"""Floors lie so far below the crown's height, of boxes at the sides so far below the contact."""

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
    """Rounded boxes from the chewing surface and the sides."""
    tooth, surface = placed.tooth, part.surface
    width, breadth, crown = tooth.md_crown_mm, tooth.bl_crown_mm, tooth.crown_length_mm
    boxes = []
    if _opens_above(part):
        middle = (0.0, 0.0, crown - 1.4)
        boxes.append(_box(grid, middle, (0.27 * width, 0.15 * breadth, FLOOR_MM - 1.4)))
    for side, sign in SIDES:
        if side in surface or surface == "all":
            low, high = _box_foot(placed, side), crown + 1.0
            middle = (sign * 0.43 * width, 0.0, 0.5 * (low + high))
            half = (0.13 * width, 0.17 * breadth, 0.5 * (high - low))
            boxes.append(_box(grid, middle, half))
            bridge = (sign * 0.27 * width, 0.0, crown - 1.0)
            if _opens_above(part):
                boxes.append(_box(grid, bridge, (0.12 * width, 0.12 * breadth, 1.3)))
    field = boxes[0]
    for box in boxes[1:]:
        field = soft_min(field, box, 0.5)
    points = grid.points() + placed.variety_mm
    rough = sum(most * slow_noise(points, size_mm) for most, size_mm in ROUGH_MM)
    return np.asarray(field + rough - 0.25 * (part.size - 1.0) * 2.0)


def _box_foot(placed: PlacedTooth, side: str) -> float:
    contact = placed.sections.contact_mm[placed.row, 0 if side == "mesial" else 1]
    return float(contact) - STEP_MM


def _box(
    grid: ToothGrid, middle: tuple[float, float, float], half: tuple[float, float, float]
) -> Floats:
    """A box with edges as round as a bur leaves them."""
    sides = [
        np.abs(axis - at) - reach
        for axis, at, reach in zip(
            (grid.mesial, grid.buccal, grid.height), middle, half, strict=True
        )
    ]
    sideways = soft_max(sides[0], sides[1], EDGE_ROUNDNESS_MM)
    return soft_max(sideways, sides[2], EDGE_ROUNDNESS_MM)


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
