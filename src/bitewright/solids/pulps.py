"""The pulp as a field on a tooth's grid: chamber, horns, canals, and a stone now and then. [mm]

A chamber narrows with age from roof and floor more than from its sides. Canals wind, narrow and
widen. Figures are our choice, after general anatomy and beside a real radiograph.
"""

import numpy as np
from numpy.typing import NDArray

from bitewright.mouth.mouth import USUAL_AGE
from bitewright.solids.blends import soft_max, soft_min
from bitewright.solids.fixed_noise import slow_noise
from bitewright.solids.placed_tooth import PlacedTooth
from bitewright.solids.tooth_solid import ROOTS, SINGLE_BEND_MM, ToothGrid

Floats = NDArray[np.float64]

WALL_MM = 0.6
"""Dentine between pulp and enamel or the root's side, at least."""

AGE_CLOSES_PER_YEAR = 0.008
"""A pulp narrows by so much a year from this age on; from memory, our choice."""

UNEVEN_MM, UNEVEN_SIZE_MM = {True: 0.20, False: 0.07}, 1.4
"""How far the wall of a molar's pulp and of others wanders, and over what length."""

CHAMBER = {True: (0.21, 0.28), False: (0.26, 0.25)}
"""Half axes of a molar's chamber as shares of the neck's width and breadth, upper and lower."""

CHAMBER_HALF_HEIGHT_MM, CHAMBER_DEPTH_MM = 1.4, 0.8
ROOF = {True: (0.50, 0.30), False: (0.60, 0.35)}
FLOOR = {True: (0.85, -0.45), False: (0.55, 0.55)}
"""A chamber's middle lies so deep; roof and floor stand off it by these shares of its half height,
and, towards mesial and distal ends, by these more, upper and lower: a lower one is lowest in the
middle, an upper one is a dome there."""

VAULT = 0.85
"""By this share roof and floor come together towards cheek and tongue."""

SIDES_FADE = 1.5
"""A chamber thins towards mesial and distal by this power of the way."""

MESIAL_RISE, OWN_LEAN, OWN_SIZE = 0.12, 0.5, 0.3
"""How chambers lean up mesially, lean of their own and differ in size, as shares."""

HORN_REACH = (0.72, 0.62)
HORN_TOP_MM = 2.0
HORN_RADII_MM = (0.32, 0.05)
"""Horns of molars go towards the cusps by these shares, up to here at 35 years."""

CANAL_RADII_MM = (0.24, 0.13, 0.06)
"""Of a molar's canals at the chamber, at two thirds of the root, at the apex."""

STONES = 0.12
STONES_PER_YEAR = 0.005
STONE_MM = (0.40, 0.65)
"""Share of pulps with a stone at 35 years (8 to 20 % of teeth on films, from memory), how much it
grows a year, radius."""


def pulp_field(placed: PlacedTooth, grid: ToothGrid, dentine: Floats) -> Floats:
    """The pulp, never near the dentine's surface."""
    years = placed.outlines.mouth.age_years - USUAL_AGE
    closed = 1.0 - AGE_CLOSES_PER_YEAR * years
    own = (
        _molar_pulp(placed, grid, closed) if placed.is_molar else _single_pulp(placed, grid, closed)
    )
    wall = slow_noise(grid.points() + placed.variety_mm, UNEVEN_SIZE_MM)
    own = own + UNEVEN_MM[placed.is_molar] * np.tanh(wall)
    if placed.chance(1) < STONES + STONES_PER_YEAR * years:
        own = np.maximum(own, _stone(placed, grid))
    return np.asarray(np.maximum(own, dentine + WALL_MM))


def _stone(placed: PlacedTooth, grid: ToothGrid) -> Floats:
    """Negated distance into a stone of dentine's density that lies free in the chamber."""
    low, high = STONE_MM
    radius = low + (high - low) * placed.chance(2)
    radius *= 1.0 if placed.is_molar else 0.5
    along = (0.5 - placed.chance(3)) * 0.2 * placed.tooth.md_cervix_mm * placed.is_molar
    x, y, z = grid.mesial - along, grid.buccal, grid.height + CHAMBER_DEPTH_MM
    return np.asarray(radius - np.sqrt(x * x + (y / 1.6) ** 2 + z * z))


def _single_pulp(placed: PlacedTooth, grid: ToothGrid, closed: float) -> Floats:
    """One ribbon from below the crown's middle to near the apex, with a horn towards each cusp."""
    tooth = placed.tooth
    depth = np.clip(-grid.height / tooth.root_length_mm, 0.0, 1.0)
    shift = np.mean(placed.apices(), axis=0)
    x = grid.mesial - depth**2 * shift[0] - SINGLE_BEND_MM * np.sin(np.pi * depth) * depth
    y = grid.buccal - depth**2 * shift[1]
    narrowing = (1.0 - 0.72 * depth) * closed
    narrowing = narrowing * (1.0 + 0.10 * np.sin(0.7 * grid.height + placed.variety_mm))
    a = 0.066 * tooth.md_cervix_mm * narrowing + 0.05
    b = (0.175 if placed.place >= 3 else 0.11) * tooth.bl_cervix_mm * narrowing + 0.05
    top = 0.26 * tooth.crown_length_mm
    dome = np.sqrt(np.clip(1.0 - np.clip((grid.height + 2.5) / (top + 2.5), 0.0, 1.0) ** 2, 0, 1))
    a, b = a * (0.20 + 0.80 * dome), b * (0.35 + 0.65 * dome)
    ribbon = (np.hypot(x / a, y / b) - 1.0) * np.minimum(a, b)
    ribbon = np.maximum(ribbon, 0.7 * (grid.height - top))
    ribbon = np.maximum(ribbon, -(grid.height + 0.93 * tooth.root_length_mm))
    for tip in _tips(placed):
        end = np.array([0.55 * tip[0], 0.55 * tip[1], 0.46 * tooth.crown_length_mm * closed])
        horn = _capsule(grid, np.array([0.0, 0.35 * tip[1], -0.5]), end, (0.30 * closed, 0.04))
        ribbon = soft_min(ribbon, horn, 0.25)
    return np.asarray(ribbon)


def _molar_pulp(placed: PlacedTooth, grid: ToothGrid, closed: float) -> Floats:
    """A chamber lowest in its middle, a horn under each cusp and canals down each root."""
    tooth = placed.tooth
    field = _chamber(placed, grid, closed)
    for number, tip in enumerate(_tips(placed)):
        top = HORN_TOP_MM * closed + 0.7 * (placed.chance(4 + number) - 0.5)
        end = np.array([HORN_REACH[0] * tip[0], HORN_REACH[1] * tip[1], top])
        start = np.array([0.45 * tip[0], 0.40 * tip[1], -CHAMBER_DEPTH_MM])
        wide, fine = HORN_RADII_MM
        field = soft_min(field, _capsule(grid, start, end, (wide * closed, fine)), 0.3)
    neck = np.array([tooth.md_cervix_mm, tooth.bl_cervix_mm])
    spread = np.array([1.0 if placed.place == 6 else 0.8, 1.0])
    for (_, (start_share, half_share)), apex in zip(
        ROOTS[placed.is_upper].items(), placed.apices(), strict=True
    ):
        start = np.array(start_share) * neck * spread
        for pair in (-0.42, 0.42) if half_share[1] > 0.35 else (0.0,):
            aside = pair * half_share[1] * neck[1]
            field = soft_min(field, _canal(placed, grid, start, apex, aside, closed), 0.3)
    return np.asarray(field)


def _chamber(placed: PlacedTooth, grid: ToothGrid, closed: float) -> Floats:
    """Thickest along its middle and thinning away to all sides, so that its shadow fades out."""
    tooth = placed.tooth
    wide, broad = CHAMBER[placed.is_upper]
    half = np.array([wide * tooth.md_cervix_mm, broad * tooth.bl_cervix_mm]) * (0.5 + 0.5 * closed)
    half = half * (1.0 + OWN_SIZE * (placed.chance(8) - 0.5))
    height = CHAMBER_HALF_HEIGHT_MM * closed * (1.0 + OWN_SIZE * (placed.chance(9) - 0.5))
    x = (grid.mesial - placed.shear * grid.buccal) / half[0]
    ends = np.minimum(x * x, 1.4)
    thin = np.minimum(np.abs(grid.buccal) / half[1], 1.3)
    vault = 1.0 - VAULT * thin
    lean = MESIAL_RISE * x + OWN_LEAN * (placed.chance(10) - 0.5) * x
    (above, horns), (below, arch) = ROOF[placed.is_upper], FLOOR[placed.is_upper]
    horned = horns * (0.3 + 1.4 * placed.chance(11)) * ends
    arched = arch * (0.3 + 1.4 * placed.chance(12)) * ends
    up = grid.height + CHAMBER_DEPTH_MM - height * lean
    roof = up - height * vault * (above + horned)
    floor = -up - height * vault * (below + arched)
    lens = (np.abs(x) ** SIDES_FADE + thin - 1.0) * float(half.min())
    return soft_max(soft_max(roof, floor, 0.3), 0.7 * lens, 0.8)


def _canal(
    placed: PlacedTooth, grid: ToothGrid, start: Floats, apex: Floats, aside: float, closed: float
) -> Floats:
    """From the chamber's end down a root, in two straight stretches."""
    root = placed.tooth.root_length_mm
    top = np.array([0.62 * start[0], 0.62 * start[1] + 0.7 * aside, -1.2])
    low = np.array([*(start + 0.62 * (apex - start)), -0.62 * root])
    low[1] += 0.6 * aside
    end = np.array([apex[0], apex[1] + 0.2 * aside, -0.92 * root])
    wide, middle, fine = CANAL_RADII_MM
    canal = _capsule(grid, top, low, (wide * closed, middle))
    return soft_min(canal, _capsule(grid, low, end, (middle, fine)), 0.2)


def _tips(placed: PlacedTooth) -> Floats:
    tips = placed.outlines.cusps.tips_tooth[placed.row]
    return np.asarray(tips[tips[:, 2] > 0])


def _capsule(grid: ToothGrid, start: Floats, end: Floats, radii_mm: tuple[float, float]) -> Floats:
    """A rod from one place to another whose radius runs from one size to the other."""
    way = end - start
    length2 = float(way @ way)
    x, y, z = grid.mesial - start[0], grid.buccal - start[1], grid.height - start[2]
    share = np.clip((x * way[0] + y * way[1] + z * way[2]) / length2, 0.0, 1.0)
    away = np.sqrt(
        (x - share * way[0]) ** 2 + (y - share * way[1]) ** 2 + (z - share * way[2]) ** 2
    )
    return np.asarray(away - (radii_mm[0] + share * (radii_mm[1] - radii_mm[0])))


__all__ = ["pulp_field"]
