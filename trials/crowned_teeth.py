"""Teeth whose outside is a mesh: solids as a film needs them, in the tooth's own axes.

A crown without a root is stood on the root of the mouth's own tooth, into which it runs over its
neck. Enamel follows the mesh, as thick as the mouth's own; pulp and what the tooth carries are the
mouth's own.
"""

import numpy as np
from numpy.typing import NDArray
from scipy.ndimage import map_coordinates

from bitewright.solids.blends import rise
from bitewright.solids.enamel_cap import ENAMEL, enamel_ends_at_mm, enamel_mm
from bitewright.solids.placed_tooth import PlacedTooth
from bitewright.solids.pulps import pulp_field
from bitewright.solids.tooth_grid import MARGIN_MM, STEP_MM, ToothGrid
from bitewright.solids.tooth_shells import (
    PART_STEP_MM,
    ToothShells,
    off_zero,
    part_surfaces,
    surface,
)
from bitewright.solids.tooth_solid import outer_field
from bitewright.space import ClosedMesh
from trials.mesh_fields import mesh_field

Floats = NDArray[np.float64]

CLOSED_MM = 1.6
"""A crown's lowest part is none of the tooth's: whoever scanned it closed it there, higher between
the teeth than beside them. Below, its section there runs into the root's neck. Our choice."""

NECK_MM = -0.6
"""Where that section has become the root's own, from the junction of enamel and root up."""

LEAST_RUN_MM = 1.5
"""And it takes at least so long for it. Our choice."""

CUT_MM = 0.6
"""A root too long for its grid is cut so far above the grid's end."""


def shells_of_mesh(placed: PlacedTooth, mesh: ClosedMesh, *, has_root: bool) -> ToothShells:
    """Surfaces of a tooth that is a mesh outside, all in the tooth's own axes. [mm]

    Parameters
    ----------
    placed : PlacedTooth
        The mouth's own tooth, which gives what the mesh lacks.
    mesh : ClosedMesh
        In the tooth's own axes. [mm]
    has_root : bool
        Whether the mesh is a whole tooth, not a crown alone.
    """
    grid = _grid(placed, mesh)
    outer = off_zero(_outer(placed, mesh, grid, has_root=has_root))
    dentine = off_zero(_dentine(placed, grid, outer))
    pulp = off_zero(pulp_field(placed, grid, dentine))
    return ToothShells(
        code=placed.code,
        outer=surface(outer, grid),
        dentine=surface(dentine, grid),
        pulp=surface(pulp, grid),
        parts=_parts(placed, grid, outer, dentine, pulp),
    )


def _grid(placed: PlacedTooth, mesh: ClosedMesh) -> ToothGrid:
    """A grid that holds the mouth's own tooth and the mesh."""
    own = ToothGrid.of(placed)
    last = [each.ravel()[-1] for each in (own.mesial, own.buccal, own.height)]
    low = np.minimum(own.low_mm, mesh.vertices_mm.min(axis=0) - MARGIN_MM)
    low[2] = own.low_mm[2]
    high = np.maximum(last, mesh.vertices_mm.max(axis=0) + MARGIN_MM)
    axes = [np.arange(a, b + STEP_MM, STEP_MM) for a, b in zip(low, high, strict=True)]
    return ToothGrid(axes[0][:, None, None], axes[1][None, :, None], axes[2][None, None, :])


def _outer(placed: PlacedTooth, mesh: ClosedMesh, grid: ToothGrid, *, has_root: bool) -> Floats:
    """The outside: the mesh's, and below its neck the mouth's own root where it has none."""
    scanned = mesh_field(mesh, grid, step_mm=STEP_MM)
    if has_root:
        return np.asarray(np.maximum(scanned, grid.low_mm[2] + CUT_MM - grid.height))
    line = grid.height[0, 0]
    first = _joined_at(placed, mesh, scanned, line)
    neck = min(NECK_MM, float(line[first]) - LEAST_RUN_MM)
    share = rise((grid.height - neck) / (float(line[first]) - neck))
    own = outer_field(placed, _under(grid, scanned[..., first]))
    above = np.minimum(np.arange(len(line)), int(np.searchsorted(line, 0.0)))
    root = own[..., above]  # its neck goes on upward: the mouth's own crown is not to show
    below = root + share * (scanned[..., first : first + 1] - root)
    return np.asarray(np.where(grid.height < line[first], below, scanned))


def _under(grid: ToothGrid, section: Floats) -> ToothGrid:
    """The grid in axes through the middle of a crown's lowest section, where its root stands."""
    mesial, buccal = (
        0.5 * (line.ravel()[inside].min() + line.ravel()[inside].max())
        for line, inside in (
            (grid.mesial, (section < 0.0).any(axis=1)),
            (grid.buccal, (section < 0.0).any(axis=0)),
        )
    )
    return ToothGrid(grid.mesial - mesial, grid.buccal - buccal, grid.height)


def _joined_at(placed: PlacedTooth, mesh: ClosedMesh, scanned: Floats, line: Floats) -> int:
    """The lowest of the grid's heights at which the crown is the mesh's.

    Above what was closed, and where it is as wide as the root's neck: scans end higher between the
    teeth, and a root wider than the crown's end would show as a step.
    """
    lowest = float(mesh.vertices_mm[:, 2].min()) + CLOSED_MM
    width_mm = STEP_MM * (scanned < 0.0).any(axis=1).sum(axis=0)
    wide = (line >= lowest) & (width_mm >= placed.tooth.md_cervix_mm)
    widest = int(width_mm.argmax())
    return min(int(wide.argmax()) if wide.any() else widest, widest)


def _dentine(placed: PlacedTooth, grid: ToothGrid, outer: Floats) -> Floats:
    """Within the enamel, which is as thick from the outside as the mouth's own on its flanks."""
    first = int(np.searchsorted(grid.height[0, 0], 0.0))
    crown = ToothGrid(grid.mesial, grid.buccal, grid.height[..., first:])
    above = crown.height - enamel_ends_at_mm(placed, crown)
    field = outer.copy()
    field[..., first:] += rise(above / ENAMEL.wedge.fade_mm) * np.maximum(
        enamel_mm(placed, crown, above), 0.0
    )
    return field


def _parts(
    placed: PlacedTooth, grid: ToothGrid, *fields: Floats
) -> tuple[tuple[str, ClosedMesh], ...]:
    """What the tooth carries, on a finer grid between the places of the first."""
    if not placed.tooth.parts:
        return ()
    finer = STEP_MM / PART_STEP_MM
    lines = [np.arange(int((count - 1) * finer) + 1) / finer for count in fields[0].shape]
    places = np.meshgrid(*lines, indexing="ij")
    outer, dentine, pulp = (map_coordinates(each, places, order=1) for each in fields)
    axes = [low + STEP_MM * line for low, line in zip(grid.low_mm, lines, strict=True)]
    fine = ToothGrid(axes[0][:, None, None], axes[1][None, :, None], axes[2][None, None, :])
    return part_surfaces(placed, fine, outer=outer, dentine=dentine, pulp=pulp)


__all__ = ["shells_of_mesh"]
