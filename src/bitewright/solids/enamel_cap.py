"""Dentine within its enamel, as a field on a tooth's grid. [mm]

Enamel is a wedge: a knife's edge at the cemento-enamel junction, the mouth's own figure at the
contacts, still thicker up the flank, and thickest over the cusps (`dentine_horns`). Dentine is
rounder than the crown, so that enamel is thicker at the line angles; each side begins as steeply,
and leans as much, as is its own. On cheek and tongue sides enamel ends on arcs of different
height. General anatomy; figures are our choice.
"""

import numpy as np
from numpy.typing import NDArray

from bitewright.solids.blends import rise, soft_max
from bitewright.solids.dentine_horns import dentine_relief
from bitewright.solids.fixed_noise import slow_noise
from bitewright.solids.placed_tooth import PlacedTooth
from bitewright.solids.tooth_solid import ToothGrid, section_field, with_facets

Floats = NDArray[np.float64]

STEEP = ((0.95, 1.25), (1.1, 1.4))
"""How steeply the wedge begins, mesially and distally: least and most, as a share of the even rise
from the junction to the contact."""

LEAST_STEEP, MOST_RISE = 0.9, 2.2
"""Beyond the contact it grows on, at least so steeply, up to this share of the way there."""

SHOULDER_MM = 0.9
"""Width over which the junction turns from flank to chewing surface."""

FIELD_SHARE = 0.94
"""A section's field this deep tells distances some hundredths short."""

SIDES_RISE = 0.25
"""On cheek and tongue sides the wedge rises more slowly by this share."""

CORNER_SHARE, PROXIMAL_FROM, PROXIMAL_OVER = 1.8, 0.20, 0.5
"""Enamel is thicker by up to this share at the line angles; a side counts as proximal from this
share of the half width on, wholly after the next."""

LEAN = (-0.35, 0.35)
"""On each proximal side it is thicker towards the cheek by a share between these."""

WORKING, DISTAL = 0.06, 0.02
WAVES, WAVES_MM, PROXIMAL_WAVES, TALLER = (0.42, 0.20), (3.2, 1.4), 0.1, 0.5
"""Enamel is thicker by these shares on working cusps' side and distally, thinner opposite, and
swells and sinks from place to place, on proximal sides by this share of that; swells run up and
down, as much longer as they vary less along the height."""

ARCS_MM = {"cheek": (0.0, 0.35), "tongue": (0.1, 0.9)}
"""In the middle of these sides enamel ends so much higher than at their ends: least and most."""

ARC_EDGE_MM, ARC_EDGE_OVER_MM = 0.35, 0.5
"""There it ends more bluntly: so thick, so far up."""

FADE_MM = 0.4


def dentine_field(placed: PlacedTooth, grid: ToothGrid, outer: Floats) -> Floats:
    """Dentine: exactly the outer field below the junction, under the grown enamel above it.

    Wear takes enamel from above and, where it goes through, the dentine below.
    """
    first = int(np.searchsorted(grid.height[0, 0], 0.0))
    crown = ToothGrid(grid.mesial, grid.buccal, grid.height[..., first:])
    above = crown.height - _ends_at(placed, crown)
    flank = with_facets(placed, crown, section_field(placed, crown))
    flank = flank + _thickness_mm(placed, crown, above)
    top = 0.84 * (crown.height - dentine_relief(placed, crown)[..., None])
    under = soft_max(flank, top, SHOULDER_MM)
    own = outer[..., first:]
    field = outer.copy()
    field[..., first:] = np.maximum(own + rise(above / FADE_MM) * (under - own), own)
    return field


def _ends_at(placed: PlacedTooth, grid: ToothGrid) -> Floats:
    """Height at which enamel ends: the junction, with arcs on cheek and tongue sides. [mm]"""
    along = np.clip(2.0 * grid.mesial / placed.tooth.md_cervix_mm, -1.0, 1.0)
    out = 2.0 * grid.buccal / placed.tooth.bl_cervix_mm
    arcs = [
        rise(sign * out) * placed.between(ARCS_MM[side], 50 + number)
        for number, (side, sign) in enumerate((("cheek", 1.0), ("tongue", -1.0)))
    ]
    return np.asarray(placed.junction(grid.mesial) + sum(arcs) * (1.0 - along * along))


def _thickness_mm(placed: PlacedTooth, grid: ToothGrid, above: Floats) -> Floats:
    """Of the flanks' enamel, at every place of the crown."""
    mesial, distal = placed.sections.contact_mm[placed.row]
    share = np.clip(0.5 + grid.mesial / placed.tooth.md_crown_mm, 0.0, 1.0)
    along = 2.0 * share - 1.0
    proximal = rise((np.abs(along) - PROXIMAL_FROM) / PROXIMAL_OVER)
    contact = distal + share * (mesial - distal) - placed.junction(grid.mesial)
    out = np.clip(2.0 * grid.buccal / placed.tooth.bl_crown_mm, -1.0, 1.0)
    up = np.clip(above / (contact * (1.0 + SIDES_RISE * out * out)), 0.0, MOST_RISE)
    steep = _of_sides(share, placed.between(STEEP[0], 20), placed.between(STEEP[1], 21))
    wedge = up * np.maximum(steep - (steep - 1.0) * up, LEAST_STEEP)
    lean = _of_sides(share, placed.between(LEAN, 22), placed.between(LEAN, 23))
    corner = proximal * out * (lean + CORNER_SHARE * np.minimum(up, 1.0) * out)
    working = -1.0 if placed.is_upper else 1.0
    uneven = 1.0 + corner + WORKING * working * out - DISTAL * along
    uneven = uneven + (1.0 - (1.0 - PROXIMAL_WAVES) * proximal) * _waves(placed, grid)
    blunt = ARC_EDGE_MM * (1.0 - proximal) * np.clip(above / ARC_EDGE_OVER_MM, 0.0, 1.0)
    thick = placed.tooth.enamel_contact_mm * wedge * uneven + blunt
    return np.asarray(FIELD_SHARE * thick)


def _of_sides(share: Floats, mesial: float, distal: float) -> Floats:
    return distal + share * (mesial - distal)


def _waves(placed: PlacedTooth, grid: ToothGrid) -> Floats:
    points = grid.points() * np.array([1.0, 1.0, TALLER]) + placed.variety_mm
    waves = [
        most * np.tanh(slow_noise(points, size_mm))
        for most, size_mm in zip(WAVES, WAVES_MM, strict=True)
    ]
    return np.asarray(sum(waves))


__all__ = ["dentine_field"]
