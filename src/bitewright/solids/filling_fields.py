"""Fillings as fields on a tooth's grid: cavities, linings, voids, overhangs. [mm]

Figures: ``tables/fillings.toml``.
"""

from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from bitewright.figure_tables import figures_of
from bitewright.mouth.tooth_parts import SKIN_MM, ToothPart
from bitewright.solids.blends import rise, soft_min
from bitewright.solids.fixed_noise import slow_noise
from bitewright.solids.placed_tooth import GOLDEN_SHARE, PlacedTooth
from bitewright.solids.tooth_grid import ToothGrid

Floats = NDArray[np.float64]

CHANCE_PER_SIZE = 13.7
"""Fillings of other sizes have values of their own: their number differs by this for each size."""

CHANCE_PER_LETTER = 3.1
"""So have fillings of other surfaces, by the length of the surface's name."""

SIDES = (("mesial", 1.0), ("distal", -1.0))
"""Proximal sides, and the sign of the mesial axis there."""


def filling_layers(
    placed: PlacedTooth, grid: ToothGrid, part: ToothPart, outer: Floats
) -> list[tuple[str, Floats]]:
    """A filling and, if it has one, its lining, with what they are made of.

    Our model: lobes sunk from the chewing surface and boxes from the sides, run together.

    Parameters
    ----------
    placed : PlacedTooth
    grid : ToothGrid
    part : ToothPart
        The filling.
    outer : (X, Y, Z) float array
        The tooth's outside. [mm]

    Returns
    -------
    list of (str, (X, Y, Z) float array)
        "amalgam" or "composite", and the field that is negative inside. [mm]
    """
    lining = FILLINGS.lining
    within = outer + SKIN_MM - _overhang(placed, grid, part)
    whole = np.maximum(_cavity(placed, grid, part), within)
    filled = np.maximum(whole, _voids(placed, grid, part))
    lined = part.material == "amalgam" and _chance(placed, part, 0) < lining.share
    if not (lined and _opens_above(part)):
        return [(part.material, filled)]
    deeper = FILLINGS.cavity.floor_grows_mm * (part.size - 1.0)
    floor = placed.tooth.crown_length_mm - FILLINGS.occlusal.floor_mm - deeper
    points = grid.points() + placed.variety_mm
    wave = lining.wave_mm * slow_noise(points, lining.wave_size_mm)
    over = grid.height - floor - lining.thick_mm + wave
    reach = lining.half_width_share * placed.tooth.md_crown_mm
    over = np.maximum(over, np.abs(grid.mesial) - reach)
    return [("amalgam", np.maximum(filled, SKIN_MM - over)), ("composite", np.maximum(whole, over))]


def _opens_above(part: ToothPart) -> bool:
    return "occlusal" in part.surface or part.surface == "all"


def _chance(placed: PlacedTooth, part: ToothPart, number: int) -> float:
    """A number from 0 to 1 that is this filling's own."""
    own = CHANCE_PER_SIZE * part.size + CHANCE_PER_LETTER * len(part.surface)
    own = own + placed.variety_mm + number
    return float((GOLDEN_SHARE * 10.0 * own) % 1.0)


def _cavity(placed: PlacedTooth, grid: ToothGrid, part: ToothPart) -> Floats:
    """Lobes sunk from the chewing surface and the sides, run together."""
    form = FILLINGS.cavity
    lobes = _lobes_above(placed, grid, part) if _opens_above(part) else []
    for side, sign in SIDES:
        if side in part.surface or part.surface == "all":
            lobes += _lobes_beside(placed, grid, part, side, sign)
    field = lobes[0]
    for lobe in lobes[1:]:
        field = soft_min(field, lobe, form.joined_mm)
    points = grid.points() + placed.variety_mm
    swells = zip(form.rough_mm, form.rough_size_mm, strict=True)
    rough = sum(most * slow_noise(points, size_mm) for most, size_mm in swells)
    return np.asarray(field + rough - form.grows_mm * (part.size - 1.0))


def _lobes_above(placed: PlacedTooth, grid: ToothGrid, part: ToothPart) -> list[Floats]:
    """Of the chewing surface: one in each pit, each as wide and deep as it was caried."""
    form, lobes = FILLINGS.occlusal, []
    width, breadth = placed.tooth.md_crown_mm, placed.tooth.bl_crown_mm
    for number, at in enumerate(form.at_shares):
        off, wide, broad, deep = (_chance(placed, part, 70 + 4 * number + k) for k in range(4))
        floor = form.floor_mm - form.shallower_mm * deep
        place = (
            (at + form.off_mesial_share * (off - 0.5)) * width,
            form.off_buccal_share * (broad - 0.5) * breadth,
        )
        half = (
            (form.half_width_share + form.wider_share * wide) * width,
            (form.half_breadth_share + form.broader_share * broad) * breadth,
        )
        lobes.append(_lobe(grid, place, half, placed.tooth.crown_length_mm - floor))
    return lobes


def _lobes_beside(
    placed: PlacedTooth, grid: ToothGrid, part: ToothPart, side: str, sign: float
) -> list[Floats]:
    """Of a proximal side, and the narrow way from there to the chewing surface's."""
    form, tooth = FILLINGS.box, placed.tooth
    width, breadth = tooth.md_crown_mm, tooth.bl_crown_mm
    wide, broad, lean = (_chance(placed, part, 90 + len(side) + k) for k in range(3))
    place = (
        sign * (form.at_share - form.nearer_share * wide) * width,
        form.off_buccal_share * (broad - 0.5) * breadth,
    )
    half = (
        (form.half_width_share + form.wider_share * wide) * width,
        (form.half_breadth_share + form.broader_share * broad) * breadth,
    )
    slope = sign * form.lean * (lean - form.lean_outward_share)
    lobes = [_lobe(grid, place, half, _box_foot(placed, side), slope)]
    if _opens_above(part):
        way = (sign * form.way_at_share * width, 0.0)
        half = (form.way_half_width_share * width, form.way_half_breadth_share * breadth)
        lobes.append(_lobe(grid, way, half, tooth.crown_length_mm - form.way_floor_mm))
    return lobes


def _box_foot(placed: PlacedTooth, side: str) -> float:
    contact = placed.sections.contact_mm[placed.row, 0 if side == "mesial" else 1]
    return float(contact) - FILLINGS.box.foot_mm


def _lobe(
    grid: ToothGrid,
    place: tuple[float, float],
    half: tuple[float, float],
    floor: float,
    lean: float = 0.0,
) -> Floats:
    """A cavity open above with a floor as round as a bur leaves it, leaning forward by a slope."""
    form = FILLINGS.cavity
    up = grid.height - floor - form.round_floor_mm
    x = (grid.mesial - place[0] - lean * up) / half[0]
    y = (grid.buccal - place[1]) / half[1]
    z = np.minimum(up, 0.0) / form.round_floor_mm
    total = np.abs(x) ** form.square + np.abs(y) ** form.square + np.abs(z) ** form.square
    return np.asarray((total ** (1.0 / form.square) - 1.0) * min(*half, form.round_floor_mm))


def _voids(placed: PlacedTooth, grid: ToothGrid, part: ToothPart) -> Floats:
    """Negated distance into the nearest void."""
    form, tooth = FILLINGS.voids, placed.tooth
    low, high = form.radius_mm
    nearest = np.full(np.broadcast_shapes(*(axis.shape for axis in _axes(grid))), -np.inf)
    for number in range(form.number):
        x, y, z, size = (_chance(placed, part, 10 * number + k + 1) - 0.5 for k in range(4))
        at = (
            form.spread_width * x * tooth.md_crown_mm,
            form.spread_breadth * y * tooth.bl_crown_mm,
        )
        height = tooth.crown_length_mm - form.depth_mm + form.spread_height_mm * z
        radius = 0.5 * (low + high) + size * (high - low)
        away = (grid.mesial - at[0]) ** 2 + (grid.buccal - at[1]) ** 2 + (grid.height - height) ** 2
        nearest = np.maximum(nearest, radius - np.sqrt(away))
    return np.asarray(nearest)


def _axes(grid: ToothGrid) -> tuple[Floats, Floats, Floats]:
    return grid.mesial, grid.buccal, grid.height


def _overhang(placed: PlacedTooth, grid: ToothGrid, part: ToothPart) -> Floats:
    """How far a filling stands out of the tooth at the feet of its boxes. [mm]"""
    form, out = FILLINGS.overhang, np.zeros((1, 1, 1))
    for number, (side, sign) in enumerate(SIDES):
        boxed = side in part.surface or part.surface == "all"
        if part.material != "amalgam" or not boxed:
            continue
        if _chance(placed, part, 50 + number) > form.share:
            continue
        lower = FILLINGS.cavity.floor_grows_mm * (part.size - 1.0)
        foot = _box_foot(placed, side) - lower + 0.5 * form.height_mm
        near = np.exp(-(((grid.height - foot) / form.height_mm) ** 2))
        out = out + form.out_mm * near * rise(sign * grid.mesial / form.side_mm)
    return np.asarray(out)


class Cavity(NamedTuple):
    """What all cavities have in common."""

    round_floor_mm: float
    square: float
    joined_mm: float
    rough_mm: tuple[float, float]
    rough_size_mm: tuple[float, float]
    grows_mm: float
    floor_grows_mm: float


class OcclusalLobes(NamedTuple):
    """Lobes sunk from the chewing surface."""

    at_shares: tuple[float, float, float]
    floor_mm: float
    shallower_mm: float
    off_mesial_share: float
    off_buccal_share: float
    half_width_share: float
    wider_share: float
    half_breadth_share: float
    broader_share: float


class Box(NamedTuple):
    """A box in a proximal side, and the way from there to the chewing surface."""

    at_share: float
    nearer_share: float
    off_buccal_share: float
    half_width_share: float
    wider_share: float
    half_breadth_share: float
    broader_share: float
    lean: float
    lean_outward_share: float
    foot_mm: float
    way_at_share: float
    way_half_width_share: float
    way_half_breadth_share: float
    way_floor_mm: float


class Lining(NamedTuple):
    """What lies under an amalgam filling."""

    share: float
    thick_mm: float
    wave_mm: float
    wave_size_mm: float
    half_width_share: float


class Voids(NamedTuple):
    """Voids in a filling."""

    number: int
    radius_mm: tuple[float, float]
    spread_width: float
    spread_breadth: float
    depth_mm: float
    spread_height_mm: float


class Overhang(NamedTuple):
    """What stands out at the foot of a box."""

    share: float
    out_mm: float
    height_mm: float
    side_mm: float


class Fillings(NamedTuple):
    """Fillings of teeth."""

    cavity: Cavity
    occlusal: OcclusalLobes
    box: Box
    lining: Lining
    voids: Voids
    overhang: Overhang


FILLINGS = figures_of(Fillings, "bitewright.solids", "fillings")

__all__ = ["filling_layers"]
