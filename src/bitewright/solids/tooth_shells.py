"""Teeth as closed surfaces: outer, dentine, pulp, marched through fields on a grid.

Below the cemento-enamel junction outer and dentine are one field on one grid, so that their
surfaces are the same to the last bit and enamel there is exactly nothing.
"""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray
from skimage.measure import marching_cubes

from bitewright.mouth.outlines import Outlines
from bitewright.solids.enamel_cap import dentine_field
from bitewright.solids.part_fields import part_fields
from bitewright.solids.placed_tooth import PlacedTooth, placed_teeth
from bitewright.solids.pulps import pulp_field
from bitewright.solids.tooth_grid import STEP_MM, ToothGrid
from bitewright.solids.tooth_solid import outer_field, with_facets
from bitewright.space import ClosedMesh
from bitewright.steps import Begin, unwatched

Floats = NDArray[np.float64]

OFF_ZERO_MM = 1e-4
"""Grid values this near to 0 are moved off it, or marching would make triangles of no size."""


@dataclass(frozen=True, slots=True, eq=False)
class ToothShells:
    """One tooth's closed surfaces, in the mouth frame with jaws closed or in its own axes. [mm]

    Parameters
    ----------
    code : int
        Its ISO 3950 number.
    outer, dentine, pulp : ClosedMesh
        Each holds the next.
    parts : tuple of (str, ClosedMesh)
        What the tooth carries: what it is made of (see `part_fields`), and its surface.
    """

    code: int
    outer: ClosedMesh
    dentine: ClosedMesh
    pulp: ClosedMesh
    parts: tuple[tuple[str, ClosedMesh], ...] = ()


def tooth_shells(
    outlines: Outlines, codes: tuple[int, ...], *, begin: Begin = unwatched
) -> tuple[ToothShells, ...]:
    """Shells of some of the teeth present, each from its own outlines alone.

    Parameters
    ----------
    outlines : Outlines
    codes : tuple of int
        Teeth by their ISO 3950 numbers.
    begin : Begin
        Told each step.

    Returns
    -------
    tuple of ToothShells
        In the mouth frame, jaws closed. [mm]
    """
    made = []
    for placed in placed_teeth(outlines, codes):
        begin(f"tooth {placed.code}")
        made.append(_placed(shells_of(placed), outlines, placed.row))
    return tuple(made)


def shells_of(placed: PlacedTooth) -> ToothShells:
    """Shells of one tooth in its own axes: mesial, buccal, occlusal.

    A pure function of what `PlacedTooth.hangs_on` tells.
    """
    grid = ToothGrid.of(placed)
    outer = off_zero(with_facets(placed, grid, outer_field(placed, grid)))
    dentine = off_zero(dentine_field(placed, grid, outer))
    pulp = off_zero(pulp_field(placed, grid, dentine))
    return ToothShells(
        code=placed.code,
        outer=surface(outer, grid),
        dentine=surface(dentine, grid),
        pulp=surface(pulp, grid),
        parts=_parts(placed),
    )


PART_STEP_MM = 0.15
"""Fillings and caries are marched this finely."""


def _parts(placed: PlacedTooth) -> tuple[tuple[str, ClosedMesh], ...]:
    """Surfaces of everything a tooth carries."""
    if not placed.tooth.parts:
        return ()
    grid = ToothGrid.of(placed, PART_STEP_MM)
    outer = with_facets(placed, grid, outer_field(placed, grid))
    dentine = dentine_field(placed, grid, outer)
    pulp = pulp_field(placed, grid, dentine)
    return part_surfaces(placed, grid, outer=outer, dentine=dentine, pulp=pulp)


def part_surfaces(
    placed: PlacedTooth, grid: ToothGrid, *, outer: Floats, dentine: Floats, pulp: Floats
) -> tuple[tuple[str, ClosedMesh], ...]:
    """Surfaces of what a tooth carries, marched through a grid of `PART_STEP_MM`.

    Parameters as `part_fields`, fields of (mesial, buccal, height) arrays on the grid. [mm]
    """
    fields = part_fields(placed, grid, outer=outer, dentine=dentine, pulp=pulp)
    return tuple(
        (name, _part_surface(field, grid)) for name, field in fields if (field < 0.0).any()
    )


def _part_surface(field: Floats, grid: ToothGrid) -> ClosedMesh:
    """As `surface`, marched through the part's own corner of the grid alone."""
    held = [np.flatnonzero((field < 0.0).any(axis=others)) for others in ((1, 2), (0, 2), (0, 1))]
    corner = tuple(slice(max(at[0] - 1, 0), at[-1] + 2) for at in held)
    near = ToothGrid(grid.mesial[corner[0]], grid.buccal[:, corner[1]], grid.height[..., corner[2]])
    return surface(off_zero(field[corner]), near, PART_STEP_MM)


def surface(field: Floats, grid: ToothGrid, step_mm: float = STEP_MM) -> ClosedMesh:
    """The closed surface where a field is 0, wound outward, in the grid's own axes. [mm]

    Model: marching cubes (Lewiner, Lopes, Vieira, Tavares 2003, from memory), as scikit-image has
    them.

    Parameters
    ----------
    field : (X, Y, Z) float array
        Negative inside. [mm]
    grid : ToothGrid
    step_mm : float
        Between the grid's places. [mm]
    """
    vertices, triangles, _, _ = marching_cubes(  # type: ignore[no-untyped-call]
        field, 0.0, spacing=(step_mm,) * 3, gradient_direction="descent"
    )
    return ClosedMesh(vertices + grid.low_mm, triangles.astype(np.int32))


def off_zero(field: Floats) -> Floats:
    """A field moved off 0 where it is nearer than `OFF_ZERO_MM`. Any shape. [mm]"""
    near = np.abs(field) < OFF_ZERO_MM
    return np.where(near, np.copysign(OFF_ZERO_MM, field), field)


def _placed(own: ToothShells, outlines: Outlines, row: int) -> ToothShells:
    """From the tooth's own axes to the mouth."""
    axes, origin = outlines.axes_mouth[row], outlines.origins_mouth[row]
    return ToothShells(
        code=own.code,
        outer=own.outer.in_axes(axes, origin),
        dentine=own.dentine.in_axes(axes, origin),
        pulp=own.pulp.in_axes(axes, origin),
        parts=tuple((name, mesh.in_axes(axes, origin)) for name, mesh in own.parts),
    )


__all__ = [
    "PART_STEP_MM",
    "ToothShells",
    "off_zero",
    "part_surfaces",
    "shells_of",
    "surface",
    "tooth_shells",
]
