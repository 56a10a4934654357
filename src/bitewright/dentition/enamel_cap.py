"""Dentine within its enamel, as a field on a tooth's grid. [mm]

Enamel is a wedge: a knife's edge at the cemento-enamel junction, the mouth's own figure at the
contacts, still thicker up the flank, and thickest over the cusps, under each of which dentine sends
up a horn. Between the horns the junction sinks less than the fossae above it, so that enamel is
thinnest at the bottom of fissures. General anatomy; figures are our choice.
"""

import numpy as np
from numpy.typing import NDArray

from bitewright.dentition.blends import rise, soft_max, soft_min
from bitewright.dentition.fixed_noise import slow_noise
from bitewright.dentition.occlusal_relief import grown_relief
from bitewright.dentition.placed_tooth import PlacedTooth
from bitewright.dentition.tooth_solid import ToothGrid, section_field, with_facets

Floats = NDArray[np.float64]

CUSP_ENAMEL_MM = (1.0, 1.0, 1.3, 1.5, 1.6, 1.9, 2.0, 2.0)
"""Straight down from a cusp's tip to the horn below it, by place."""

FOSSA_SHARE, CUSP_MM = 0.66, 1.7
"""Of the cusps' enamel, what lies over fossae at most; how far from its horn a cusp reaches."""

FISSURE_ENAMEL_MM = 0.55
"""At least so much lies over dentine, grooves included."""

WEDGE = 1.25
MOST_RISE = 1.6
"""Thickness at a share of the way from the junction to the contact, as a share of that there: how
steeply it begins; beyond the contact it grows on as far as this share."""

TOWARDS_AXIS = 0.86
"""Horns stand this share of the cusp's way out from the middle."""

HORN_SLOPE, HORN_ROUNDNESS_MM, HORN_CREASE_MM = 0.74, 0.22, 0.4

SHOULDER_MM = 0.9
"""Width over which the junction turns from flank to chewing surface."""

FIELD_SHARE = 0.94
"""A section's field this deep tells distances some hundredths short."""

SIDES_RISE = 0.25
"""On cheek and tongue sides the wedge rises more slowly by this share."""

WORKING = 0.06
DISTAL = 0.02
WAVES = (0.09, 0.06)
WAVES_MM = (2.6, 1.1)
"""Enamel is thicker by these shares on working cusps' side and distally, thinner opposite, and
swells and sinks from place to place."""

FADE_MM = 0.4


def dentine_field(placed: PlacedTooth, grid: ToothGrid, outer: Floats) -> Floats:
    """Dentine: exactly the outer field below the junction, under the grown enamel above it.

    Wear takes enamel from above and, where it goes through, the dentine below.
    """
    first = int(np.searchsorted(grid.height[0, 0], 0.0))
    crown = ToothGrid(grid.mesial, grid.buccal, grid.height[..., first:])
    above = crown.height - placed.junction(crown.mesial)
    flank = with_facets(placed, crown, section_field(placed, crown))
    flank = flank + _thickness_mm(placed, crown, above)
    top = 0.84 * (crown.height - dentine_relief(placed, crown)[..., None])
    under = soft_max(flank, top, SHOULDER_MM)
    own = outer[..., first:]
    field = outer.copy()
    field[..., first:] = np.maximum(own + rise(above / FADE_MM) * (under - own), own)
    return field


def _thickness_mm(placed: PlacedTooth, grid: ToothGrid, above: Floats) -> Floats:
    """Of the flanks' enamel, at every place of the crown."""
    mesial, distal = placed.sections.contact_mm[placed.row]
    share = np.clip(0.5 + grid.mesial / placed.tooth.md_crown_mm, 0.0, 1.0)
    contact = distal + share * (mesial - distal) - placed.junction(grid.mesial)
    out = np.clip(2.0 * grid.buccal / placed.tooth.bl_crown_mm, -1.0, 1.0)
    up = np.clip(above / (contact * (1.0 + SIDES_RISE * out * out)), 0.0, MOST_RISE)
    wedge = up * (WEDGE - (WEDGE - 1.0) * up)
    working = -1.0 if placed.is_upper else 1.0
    points = grid.points() + placed.variety_mm
    waves = [
        most * np.tanh(slow_noise(points, size_mm))
        for most, size_mm in zip(WAVES, WAVES_MM, strict=True)
    ]
    uneven = 1.0 + sum(waves) + WORKING * working * out - DISTAL * (2.0 * share - 1.0)
    return np.asarray(FIELD_SHARE * placed.tooth.enamel_contact_mm * wedge * uneven)


def dentine_relief(placed: PlacedTooth, grid: ToothGrid) -> Floats:
    """Height of the dentine under the chewing surface as it grew, (X, Y). [mm]"""
    mesial, buccal = grid.mesial[..., 0], grid.buccal[..., 0]
    surface = grown_relief(placed, mesial, buccal)
    over = CUSP_ENAMEL_MM[placed.place - 1]
    if placed.place <= 2:
        return surface - over
    horns: Floats | None = None
    near = np.zeros_like(surface)
    for tip in placed.outlines.cusps.grown_tips(placed.row):
        across = np.hypot(mesial - TOWARDS_AXIS * tip[0], buccal - TOWARDS_AXIS * tip[1])
        down = np.hypot(HORN_SLOPE * across, HORN_ROUNDNESS_MM) - HORN_ROUNDNESS_MM
        horn = tip[2] - over - down
        horns = horn if horns is None else soft_max(horns, horn, HORN_CREASE_MM)
        near = np.maximum(near, np.exp(-((across / CUSP_MM) ** 2)))
    most = over * (FOSSA_SHARE + (1.15 - FOSSA_SHARE) * near)
    between = soft_max(np.asarray(horns), surface - most, HORN_CREASE_MM)
    return soft_min(between, surface - FISSURE_ENAMEL_MM, 0.3)


__all__ = ["dentine_field", "dentine_relief"]
