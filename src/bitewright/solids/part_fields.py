"""Fillings, crowns, root fillings, caries and calculus as fields on a tooth's grid. [mm]

Each lies inside or against the tooth's own fields, so that lengths through it replace lengths
through what was there. Caries and fillings have their own files, `caries_fields` and
`filling_fields`. Figures: ``tables/tooth_parts.toml``.
"""

from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from bitewright.figure_tables import figures_of
from bitewright.mouth.tooth_parts import MATERIALS, SKIN_MM, PartKind, ToothPart
from bitewright.solids.caries_fields import caries_layers
from bitewright.solids.filling_fields import filling_layers
from bitewright.solids.fixed_noise import slow_noise
from bitewright.solids.placed_tooth import PlacedTooth
from bitewright.solids.tooth_grid import ToothGrid

Floats = NDArray[np.float64]

CUT_FIRST = (
    PartKind.CROWN,
    PartKind.FILLING,
    PartKind.CARIES,
    PartKind.CALCULUS,
    PartKind.ROOT_FILLING,
)
"""Who keeps its place where two would share one: metal covers, a filling replaces caries."""


def part_fields(
    placed: PlacedTooth, grid: ToothGrid, *, outer: Floats, dentine: Floats, pulp: Floats
) -> list[tuple[str, Floats]]:
    """Fields of all a tooth carries, with what they are made of; no two share a place.

    Each is cut back from those before it in `CUT_FIRST`, among equals from those named before it,
    and all from the pulp but its own filling. Layers of one carious lesion lie inside one another.

    Parameters
    ----------
    placed : PlacedTooth
    grid : ToothGrid
    outer, dentine, pulp : (X, Y, Z) float arrays
        The tooth's fields. [mm]

    Returns
    -------
    list of (str, (X, Y, Z) float array)
        "amalgam", "composite", "filling-in-dentine" (the part of them there), "carious-enamel",
        "carious-dentine", "calculus", "root-filling".
    """
    made: list[tuple[str, Floats]] = []
    taken = pulp
    for part in sorted(placed.tooth.parts, key=lambda each: CUT_FIRST.index(PartKind(each.kind))):
        if part.kind == PartKind.ROOT_FILLING:
            made.append(("root-filling", _root_filling(placed, grid, pulp)))
            continue
        free = SKIN_MM - taken
        for name, whole in _uncut(placed, grid, part, outer, dentine, pulp):
            field = np.maximum(whole, free)
            made.append((name, field))
            if name in MATERIALS:
                made.append(("filling-in-dentine", np.maximum(field, dentine)))
            taken = np.minimum(taken, field)
    return made


def _uncut(
    placed: PlacedTooth,
    grid: ToothGrid,
    part: ToothPart,
    outer: Floats,
    dentine: Floats,
    pulp: Floats,
) -> list[tuple[str, Floats]]:
    """One part as it would be alone, with what it is made of."""
    kind = PartKind(part.kind)
    if kind is PartKind.CARIES:
        return caries_layers(placed, grid, part, outer=outer, dentine=dentine, pulp=pulp)
    if kind is PartKind.CALCULUS:
        return [("calculus", np.maximum(_calculus(placed, grid, part), -outer))]
    if kind is PartKind.CROWN:
        cap = np.maximum(outer + SKIN_MM, -(outer + TOOTH_PARTS.crown.metal_mm * part.size))
        return [("amalgam", np.maximum(cap, -(grid.height - TOOTH_PARTS.crown.edge_mm)))]
    return filling_layers(placed, grid, part, outer)


def _root_filling(placed: PlacedTooth, grid: ToothGrid, pulp: Floats) -> Floats:
    """What fills the canals, from below the neck to short of the apex."""
    form = TOOTH_PARTS.root_filling
    filled = np.maximum(pulp + form.thinner_mm, grid.height + form.from_mm)
    apical = -(grid.height + form.to_share * placed.tooth.root_length_mm)
    return np.asarray(np.maximum(filled, apical))


def _calculus(placed: PlacedTooth, grid: ToothGrid, part: ToothPart) -> Floats:
    """A bumpy spur at the neck."""
    form = TOOTH_PARTS.calculus
    sign = 1.0 if part.surface == "mesial" else -1.0
    at = sign * 0.5 * placed.tooth.md_cervix_mm
    half = np.array([form.half_width_mm, form.half_breadth_mm, form.half_height_mm]) * part.size
    reach = np.sqrt(
        ((grid.mesial - at) / half[0]) ** 2
        + (grid.buccal / half[1]) ** 2
        + ((grid.height - form.above_neck_mm) / half[2]) ** 2
    )
    rough = form.rough_mm * slow_noise(grid.points(), form.rough_size_mm)
    return np.asarray((reach - 1.0) * form.field_mm + rough)


class MetalCrown(NamedTuple):
    """A crown of metal."""

    metal_mm: float
    edge_mm: float


class RootFilling(NamedTuple):
    """What fills the canals."""

    thinner_mm: float
    from_mm: float
    to_share: float


class Calculus(NamedTuple):
    """A spur at the neck."""

    half_width_mm: float
    half_breadth_mm: float
    half_height_mm: float
    above_neck_mm: float
    field_mm: float
    rough_mm: float
    rough_size_mm: float


class ToothParts(NamedTuple):
    """What a tooth carries beside caries and fillings."""

    crown: MetalCrown
    root_filling: RootFilling
    calculus: Calculus


TOOTH_PARTS = figures_of(ToothParts, "bitewright.solids", "tooth_parts")

__all__ = ["part_fields"]
