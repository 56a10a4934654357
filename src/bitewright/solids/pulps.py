"""The pulp as a field on a tooth's grid: chamber, horns, canals, and a stone now and then. [mm]

A chamber narrows with age from roof and floor more than from its sides. Canals wind, narrow and
widen. Figures: ``tables/pulp.toml``.
"""

from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from bitewright.figure_tables import figures_of
from bitewright.mouth.mouth import USUAL_AGE
from bitewright.solids.blends import soft_max, soft_min
from bitewright.solids.fixed_noise import slow_noise
from bitewright.solids.placed_tooth import PlacedTooth
from bitewright.solids.roots import molar_roots, root_start_mm, single_bend_mm
from bitewright.solids.tooth_grid import ToothGrid

Floats = NDArray[np.float64]


def pulp_field(placed: PlacedTooth, grid: ToothGrid, dentine: Floats) -> Floats:
    """The pulp, never near the dentine's surface.

    Our model: a molar has a flat chamber with a horn under each cusp and canals down its roots,
    any other tooth a ribbon.

    Parameters
    ----------
    placed : PlacedTooth
    grid : ToothGrid
    dentine : (X, Y, Z) float array
        The dentine's field on the grid. [mm]

    Returns
    -------
    (X, Y, Z) float array
        Negative inside the pulp. [mm]
    """
    years = placed.outlines.mouth.age_years - USUAL_AGE
    closed = 1.0 - PULP.closes_per_year * years
    own = (
        _molar_pulp(placed, grid, closed) if placed.is_molar else _single_pulp(placed, grid, closed)
    )
    wall = slow_noise(grid.points() + placed.variety_mm, PULP.uneven_size_mm)
    uneven_mm = PULP.uneven_molar_mm if placed.is_molar else PULP.uneven_other_mm
    own = own + uneven_mm * np.tanh(wall)
    if placed.chance(1) < PULP.stones.share + PULP.stones.per_year * years:
        own = np.maximum(own, _stone(placed, grid))
    return np.asarray(np.maximum(own, dentine + PULP.wall_mm))


def _stone(placed: PlacedTooth, grid: ToothGrid) -> Floats:
    """Negated distance into a stone of dentine's density that lies free in the chamber."""
    stones = PULP.stones
    low, high = stones.radius_mm
    radius = low + (high - low) * placed.chance(2)
    radius *= 1.0 if placed.is_molar else stones.single_share
    off = (0.5 - placed.chance(3)) * stones.off_share * placed.tooth.md_cervix_mm * placed.is_molar
    x, y, z = grid.mesial - off, grid.buccal, grid.height + PULP.chamber.depth_mm
    return np.asarray(radius - np.sqrt(x * x + (y / stones.broader) ** 2 + z * z))


def _single_pulp(placed: PlacedTooth, grid: ToothGrid, closed: float) -> Floats:
    """One ribbon from below the crown's middle to near the apex, with a horn towards each cusp."""
    tooth, ribbon = placed.tooth, PULP.single
    depth = np.clip(-grid.height / tooth.root_length_mm, 0.0, 1.0)
    shift = np.mean(placed.apices(), axis=0)
    x = grid.mesial - depth**2 * shift[0] - single_bend_mm(depth)
    y = grid.buccal - depth**2 * shift[1]
    narrowing = (1.0 - ribbon.narrows_share * depth) * closed
    wave = np.sin(ribbon.wave_rad_per_mm * grid.height + placed.variety_mm)
    narrowing = narrowing * (1.0 + ribbon.wave_share * wave)
    a = ribbon.half_width_share * tooth.md_cervix_mm * narrowing + ribbon.least_half_mm
    broad = ribbon.half_breadth_share if placed.place >= 3 else ribbon.half_breadth_incisor_share
    b = broad * tooth.bl_cervix_mm * narrowing + ribbon.least_half_mm
    top = ribbon.top_share * tooth.crown_length_mm
    up = (grid.height + ribbon.dome_from_mm) / (top + ribbon.dome_from_mm)
    dome = np.sqrt(np.clip(1.0 - np.clip(up, 0.0, 1.0) ** 2, 0, 1))
    a = a * (ribbon.top_width_share + (1.0 - ribbon.top_width_share) * dome)
    b = b * (ribbon.top_breadth_share + (1.0 - ribbon.top_breadth_share) * dome)
    field = (np.hypot(x / a, y / b) - 1.0) * np.minimum(a, b)
    field = np.maximum(field, ribbon.top_slope * (grid.height - top))
    field = np.maximum(field, -(grid.height + ribbon.end_share * tooth.root_length_mm))
    reach, high = ribbon.horn_reach_share, ribbon.horn_top_share * tooth.crown_length_mm * closed
    radii_mm = ribbon.horn_foot_radius_mm * closed, ribbon.horn_top_radius_mm
    for tip in _tips(placed):
        start = np.array([0.0, ribbon.horn_foot_share * tip[1], -ribbon.horn_foot_depth_mm])
        end = np.array([reach * tip[0], reach * tip[1], high])
        field = soft_min(field, _rod(grid, start, end, radii_mm), ribbon.horn_crease_mm)
    return np.asarray(field)


def _molar_pulp(placed: PlacedTooth, grid: ToothGrid, closed: float) -> Floats:
    """A chamber, a horn under each cusp and canals down each root."""
    tooth, horns, canals = placed.tooth, PULP.horns, PULP.canals
    field = _chamber(placed, grid, closed)
    radii_mm = horns.foot_radius_mm * closed, horns.top_radius_mm
    for number, tip in enumerate(_tips(placed)):
        top = horns.top_mm * closed + horns.top_varies_mm * (placed.chance(4 + number) - 0.5)
        end = np.array([horns.reach_mesial_share * tip[0], horns.reach_buccal_share * tip[1], top])
        foot = horns.foot_mesial_share * tip[0], horns.foot_buccal_share * tip[1]
        start = np.array([*foot, -PULP.chamber.depth_mm])
        field = soft_min(field, _rod(grid, start, end, radii_mm), horns.crease_mm)
    for root, apex in zip(molar_roots(placed), placed.apices(), strict=True):
        start, broad = root_start_mm(placed, root), root.half_breadth_share
        apart = canals.apart_share
        for side in (-apart, apart) if broad > canals.two_from_breadth_share else (0.0,):
            aside = side * broad * tooth.bl_cervix_mm
            field = soft_min(
                field, _canal(placed, grid, start, apex, aside, closed), horns.crease_mm
            )
    return np.asarray(field)


def _chamber(placed: PlacedTooth, grid: ToothGrid, closed: float) -> Floats:
    """Thickest along its middle and thinning away to all sides, so that its shadow fades out."""
    tooth, chamber = placed.tooth, PULP.chamber
    form = chamber.upper if placed.is_upper else chamber.lower
    neck = [
        form.half_width_share * tooth.md_cervix_mm,
        form.half_breadth_share * tooth.bl_cervix_mm,
    ]
    half = np.array(neck) * (0.5 + 0.5 * closed)
    half = half * (1.0 + chamber.own_size_share * (placed.chance(8) - 0.5))
    own_size = 1.0 + chamber.own_size_share * (placed.chance(9) - 0.5)
    height = chamber.half_height_mm * closed * own_size
    x = (grid.mesial - placed.shear * grid.buccal) / half[0]
    ends = np.minimum(x * x, chamber.ends_reach)
    thin = np.minimum(np.abs(grid.buccal) / half[1], chamber.vault_reach)
    vault = 1.0 - chamber.vault_share * thin
    own_lean = chamber.own_lean_share * (placed.chance(10) - 0.5)
    lean = chamber.mesial_lean_share * x + own_lean * x
    roof_ends = form.roof_ends_share * placed.between(chamber.ends_vary, 11) * ends
    floor_ends = form.floor_ends_share * placed.between(chamber.ends_vary, 12) * ends
    up = grid.height + chamber.depth_mm - height * lean
    roof = up - height * vault * (form.roof_share + roof_ends)
    floor = -up - height * vault * (form.floor_share + floor_ends)
    sides = (np.abs(x) ** chamber.sides_power + thin - 1.0) * float(half.min())
    middle = soft_max(roof, floor, chamber.edge_mm)
    return soft_max(middle, chamber.side_slope * sides, chamber.side_edge_mm)


def _canal(
    placed: PlacedTooth, grid: ToothGrid, start: Floats, apex: Floats, aside: float, closed: float
) -> Floats:
    """From the chamber's end down a root, in two straight stretches."""
    root, canals = placed.tooth.root_length_mm, PULP.canals
    out = canals.start_share * start[1] + canals.start_apart_share * aside
    top = np.array([canals.start_share * start[0], out, -canals.start_depth_mm])
    bend = start + canals.bend_share * (apex - start)
    low = np.array([*bend, -canals.bend_share * root])
    low[1] += canals.bend_apart_share * aside
    end = np.array([apex[0], apex[1] + canals.end_apart_share * aside, -canals.end_share * root])
    upper = _rod(grid, top, low, (canals.radius_mm * closed, canals.middle_radius_mm))
    lower = _rod(grid, low, end, (canals.middle_radius_mm, canals.end_radius_mm))
    return soft_min(upper, lower, canals.crease_mm)


def _tips(placed: PlacedTooth) -> Floats:
    tips = placed.outlines.cusps.tips_tooth[placed.row]
    return np.asarray(tips[tips[:, 2] > 0])


def _rod(grid: ToothGrid, start: Floats, end: Floats, radii_mm: tuple[float, float]) -> Floats:
    """A rod from one place to another whose radius runs from one size to the other."""
    way = end - start
    length2 = float(way @ way)
    x, y, z = grid.mesial - start[0], grid.buccal - start[1], grid.height - start[2]
    share = np.clip((x * way[0] + y * way[1] + z * way[2]) / length2, 0.0, 1.0)
    away = np.sqrt(
        (x - share * way[0]) ** 2 + (y - share * way[1]) ** 2 + (z - share * way[2]) ** 2
    )
    return np.asarray(away - (radii_mm[0] + share * (radii_mm[1] - radii_mm[0])))


class ChamberForm(NamedTuple):
    """The form of a chamber in one jaw."""

    half_width_share: float
    half_breadth_share: float
    roof_share: float
    roof_ends_share: float
    floor_share: float
    floor_ends_share: float


class PulpChamber(NamedTuple):
    """The chamber of a molar."""

    half_height_mm: float
    depth_mm: float
    vault_share: float
    vault_reach: float
    ends_reach: float
    ends_vary: tuple[float, float]
    sides_power: float
    mesial_lean_share: float
    own_lean_share: float
    own_size_share: float
    edge_mm: float
    side_slope: float
    side_edge_mm: float
    upper: ChamberForm
    lower: ChamberForm


class PulpHorns(NamedTuple):
    """The horns of a molar's pulp."""

    reach_mesial_share: float
    reach_buccal_share: float
    top_mm: float
    top_varies_mm: float
    foot_mesial_share: float
    foot_buccal_share: float
    foot_radius_mm: float
    top_radius_mm: float
    crease_mm: float


class RootCanals(NamedTuple):
    """The canals of a molar."""

    radius_mm: float
    middle_radius_mm: float
    end_radius_mm: float
    two_from_breadth_share: float
    apart_share: float
    start_share: float
    start_apart_share: float
    start_depth_mm: float
    bend_share: float
    bend_apart_share: float
    end_share: float
    end_apart_share: float
    crease_mm: float


class SinglePulp(NamedTuple):
    """The pulp of a tooth that is no molar."""

    half_width_share: float
    half_breadth_share: float
    half_breadth_incisor_share: float
    least_half_mm: float
    narrows_share: float
    wave_share: float
    wave_rad_per_mm: float
    top_share: float
    dome_from_mm: float
    top_width_share: float
    top_breadth_share: float
    top_slope: float
    end_share: float
    horn_reach_share: float
    horn_top_share: float
    horn_foot_share: float
    horn_foot_depth_mm: float
    horn_foot_radius_mm: float
    horn_top_radius_mm: float
    horn_crease_mm: float


class PulpStones(NamedTuple):
    """Stones in pulps."""

    share: float
    per_year: float
    radius_mm: tuple[float, float]
    single_share: float
    off_share: float
    broader: float


class Pulp(NamedTuple):
    """The pulp of a tooth."""

    wall_mm: float
    closes_per_year: float
    uneven_molar_mm: float
    uneven_other_mm: float
    uneven_size_mm: float
    chamber: PulpChamber
    horns: PulpHorns
    canals: RootCanals
    single: SinglePulp
    stones: PulpStones


PULP = figures_of(Pulp, "bitewright.solids", "pulp")

__all__ = ["pulp_field"]
