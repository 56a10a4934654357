"""Dentine within its enamel, as a field on a tooth's grid. [mm]

Enamel is a wedge: a knife's edge at the cemento-enamel junction, the mouth's own figure at the
contacts, still thicker up the flank, and thickest over the cusps (`dentine_horns`). Dentine is
rounder than the crown, so that enamel is thicker at the line angles; each side begins as steeply,
and leans as much, as is its own. On cheek and tongue sides enamel ends on arcs of different
height. Figures: ``tables/enamel.toml``.
"""

from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from bitewright.figure_tables import figures_of
from bitewright.solids.blends import rise, soft_max
from bitewright.solids.dentine_horns import dentine_relief
from bitewright.solids.fixed_noise import slow_noise
from bitewright.solids.placed_tooth import PlacedTooth
from bitewright.solids.tooth_grid import ToothGrid
from bitewright.solids.tooth_solid import over_surface, section_field, with_facets

Floats = NDArray[np.float64]


def dentine_field(placed: PlacedTooth, grid: ToothGrid, outer: Floats) -> Floats:
    """Dentine: exactly the outer field below the junction, under the grown enamel above it.

    Our model, after general anatomy. Wear takes enamel from above and, where it goes through, the
    dentine below.

    Parameters
    ----------
    placed : PlacedTooth
    grid : ToothGrid
    outer : (X, Y, Z) float array
        The tooth's outside, as worn, facets cut. [mm]

    Returns
    -------
    (X, Y, Z) float array
        Negative inside the dentine. [mm]
    """
    wedge = ENAMEL.wedge
    first = int(np.searchsorted(grid.height[0, 0], 0.0))
    crown = ToothGrid(grid.mesial, grid.buccal, grid.height[..., first:])
    above = crown.height - enamel_ends_at_mm(placed, crown)
    flank = with_facets(placed, crown, section_field(placed, crown))
    flank = flank + enamel_mm(placed, crown, above)
    top = over_surface(crown, dentine_relief(placed, crown))
    under = soft_max(flank, top, wedge.shoulder_mm)
    own = outer[..., first:]
    field = outer.copy()
    field[..., first:] = np.maximum(own + rise(above / wedge.fade_mm) * (under - own), own)
    return field


def enamel_ends_at_mm(placed: PlacedTooth, grid: ToothGrid) -> Floats:
    """Height at which enamel ends: the junction, with arcs on cheek and tongue sides. [mm]

    A (mesial, buccal, 1) array on the grid.
    """
    along = np.clip(2.0 * grid.mesial / placed.tooth.md_cervix_mm, -1.0, 1.0)
    out = 2.0 * grid.buccal / placed.tooth.bl_cervix_mm
    sides = (ENAMEL.arcs.cheek_mm, 1.0), (ENAMEL.arcs.tongue_mm, -1.0)
    arcs = [
        rise(sign * out) * placed.between(limits, 50 + number)
        for number, (limits, sign) in enumerate(sides)
    ]
    return np.asarray(placed.junction(grid.mesial) + sum(arcs) * (1.0 - along * along))


def enamel_mm(placed: PlacedTooth, grid: ToothGrid, above: Floats) -> Floats:
    """Thickness of the flanks' enamel at every place of a crown, so far above its end. [mm]

    A (mesial, buccal, height) array on the grid, as ``above`` is.
    """
    wedge, corners, uneven = ENAMEL.wedge, ENAMEL.corners, ENAMEL.uneven
    mesial, distal = placed.sections.contact_mm[placed.row]
    share = np.clip(0.5 + grid.mesial / placed.tooth.md_crown_mm, 0.0, 1.0)
    along = 2.0 * share - 1.0
    into_side = (np.abs(along) - corners.proximal_from_share) / corners.proximal_over_share
    proximal = rise(into_side)
    contact = distal + share * (mesial - distal) - placed.junction(grid.mesial)
    out = np.clip(2.0 * grid.buccal / placed.tooth.bl_crown_mm, -1.0, 1.0)
    full_at = contact * (1.0 + wedge.sides_slower_share * out * out)
    up = np.clip(above / full_at, 0.0, wedge.most_rise)
    steep = _of_sides(
        share, placed.between(wedge.steep_mesial, 20), placed.between(wedge.steep_distal, 21)
    )
    wedged = up * np.maximum(steep - (steep - 1.0) * up, wedge.least_steep)
    lean = _of_sides(
        share, placed.between(corners.lean_share, 22), placed.between(corners.lean_share, 23)
    )
    corner = proximal * out * (lean + corners.thicker_share * np.minimum(up, 1.0) * out)
    working = -1.0 if placed.is_upper else 1.0
    times = 1.0 + corner + uneven.working_share * working * out - uneven.distal_share * along
    quieter = 1.0 - (1.0 - uneven.proximal_waves_share) * proximal
    times = times + quieter * _waves(placed, grid)
    edge_up = np.clip(above / ENAMEL.arcs.edge_over_mm, 0.0, 1.0)
    blunt = ENAMEL.arcs.edge_mm * (1.0 - proximal) * edge_up
    thick = placed.tooth.enamel_contact_mm * wedged * times + blunt
    return np.asarray(wedge.field_share * thick)


def _of_sides(share: Floats, mesial: float, distal: float) -> Floats:
    return distal + share * (mesial - distal)


def _waves(placed: PlacedTooth, grid: ToothGrid) -> Floats:
    uneven = ENAMEL.uneven
    points = grid.points() * np.array([1.0, 1.0, uneven.upright_share]) + placed.variety_mm
    waves = [
        most * np.tanh(slow_noise(points, size_mm))
        for most, size_mm in zip(uneven.waves_share, uneven.waves_mm, strict=True)
    ]
    return np.asarray(sum(waves))


class EnamelWedge(NamedTuple):
    """How enamel thickens from the junction upward."""

    steep_mesial: tuple[float, float]
    steep_distal: tuple[float, float]
    least_steep: float
    most_rise: float
    sides_slower_share: float
    field_share: float
    shoulder_mm: float
    fade_mm: float


class EnamelCorners(NamedTuple):
    """How it differs at the line angles and between cheek and tongue."""

    thicker_share: float
    proximal_from_share: float
    proximal_over_share: float
    lean_share: tuple[float, float]


class EnamelUneven(NamedTuple):
    """How it differs between sides and from place to place."""

    working_share: float
    distal_share: float
    waves_share: tuple[float, float]
    waves_mm: tuple[float, float]
    proximal_waves_share: float
    upright_share: float


class EnamelArcs(NamedTuple):
    """How it ends on cheek and tongue sides."""

    cheek_mm: tuple[float, float]
    tongue_mm: tuple[float, float]
    edge_mm: float
    edge_over_mm: float


class Enamel(NamedTuple):
    """Enamel on a crown's flanks."""

    wedge: EnamelWedge
    corners: EnamelCorners
    uneven: EnamelUneven
    arcs: EnamelArcs


ENAMEL = figures_of(Enamel, "bitewright.solids", "enamel")

__all__ = ["ENAMEL", "dentine_field", "enamel_ends_at_mm", "enamel_mm"]
