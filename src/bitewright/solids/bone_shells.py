"""Jaw bone and gum along a row of teeth, as closed surfaces round the teeth's own.

Everything is a field on one grid: bone is cut back from the teeth by the periodontal space,
spongiosa from the bone by cortex and lamina dura, gum holds the bone. At every place of the grid
spongiosa lies in bone, bone in gum, and none in a tooth, so that no length comes out negative.
Figures: ``tables/bone.toml``.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from bitewright.figure_tables import figures_of
from bitewright.mouth.outlines import Outlines
from bitewright.solids.blends import rise, soft_max, soft_min
from bitewright.solids.fixed_noise import slow_noise
from bitewright.solids.jaw_grid import JawGrid, jaw_grid
from bitewright.solids.jaw_shape import JawShape, jaw_shape, ramus_climb_mm
from bitewright.solids.ridge import STEP_MM, Ridge, ridge
from bitewright.solids.spongiosa import SpongiosaField, spongiosa_field
from bitewright.solids.tooth_distance import REACH_MM, distance_to_teeth, doubled
from bitewright.space import ClosedMesh
from bitewright.steps import Begin, unwatched

Floats = NDArray[np.float64]
Fields = NDArray[np.float32]


@dataclass(frozen=True, slots=True, eq=False)
class BoneShells:
    """One jaw's bone and gum on one side, in the mouth frame, jaws closed. [mm]

    Parameters
    ----------
    is_lower : bool
    gum, bone, spongiosa : ClosedMesh
        Each holds the next; teeth lie in none of them.
    texture : SpongiosaField
        Where the spongiosa is, for its trabeculae.
    """

    is_lower: bool
    gum: ClosedMesh
    bone: ClosedMesh
    spongiosa: ClosedMesh
    texture: SpongiosaField


def bone_shells(
    outlines: Outlines, quadrant: int, teeth: Sequence[ClosedMesh], *, begin: Begin = unwatched
) -> BoneShells | None:
    """Bone and gum of one quadrant round the outer surfaces of teeth.

    Our model: fields on a grid bent along the ridge. A pure function of the mouth and of these
    surfaces.

    Parameters
    ----------
    outlines : Outlines
    quadrant : int
        1 to 4.
    teeth : sequence of ClosedMesh
        Outer surfaces in the mouth frame, jaws closed. [mm]
    begin : Begin
        Told each step.

    Returns
    -------
    BoneShells or None
        None where neither side has two teeth.
    """
    row = ridge(outlines, quadrant)
    if row is None:
        return None
    grid = jaw_grid(row)
    distance = distance_to_teeth(grid.points_mouth, teeth, begin=begin)
    begin("bone and gum")
    shape = jaw_shape(grid, distance)
    bone, spongiosa = _bone(grid, shape, distance)
    gum = _gum(grid, shape, bone, distance)
    begin("surfaces of bone and gum")
    return BoneShells(
        is_lower=row.rootward < 0,
        gum=grid.mesh(gum),
        bone=grid.mesh(bone),
        spongiosa=grid.mesh(spongiosa),
        texture=spongiosa_field(grid, spongiosa, quadrant),
    )


def _bone(grid: JawGrid, shape: JawShape, distance: Floats) -> tuple[Fields, Fields]:
    """Bone, and the spongiosa within its cortex."""
    space, plates = BONE.periodontal, BONE.plates
    sizes = BONE.swells.socket_mm, BONE.swells.lamina_mm, BONE.swells.plate_mm
    socket_swell, short, long = (_swell(grid, size, seed) for seed, size in enumerate(sizes))
    deep = np.maximum(shape.depth_mm, 0.0)
    funnel = 1.0 + space.crest_wider_share * np.exp(-deep / space.crest_over_mm)
    own = np.clip(1.0 + space.swell_share * socket_swell, *space.swell_limits)
    socket = space.space_mm * funnel * own - distance
    bone = soft_max(shape.block, socket, space.edge_mm)
    crest = plates.crest_mm * np.clip(
        1.0 + plates.crest_swell_share * short, *plates.crest_swell_limits
    )
    climb = ramus_climb_mm(grid, (grid.stations - grid.ridge.last) * STEP_MM)
    crest = crest + plates.ramus_mm * rise(climb / plates.ramus_over_mm)[..., None]
    walls = _side_plates_mm(grid, deep, long)
    within = soft_max(crest - shape.depth_mm, shape.side_mm + walls, plates.corner_mm)
    lamina = _lamina_mm(shape, short, long)
    within = soft_max(within, socket + lamina, plates.corner_mm)
    if grid.ridge.rootward > 0:
        over = BONE.over_roots
        beside = np.maximum(distance.min(axis=1, keepdims=True), 0.0)
        thin = over.plate_mm + shape.side_mm - distance - over.beside_fade * beside
        within = soft_max(within, thin, over.corner_mm)
    if shape.sinus is not None:
        bone = np.maximum(bone, -shape.sinus)
        within = np.maximum(within, BONE.sinus.wall_mm - shape.sinus)
    spongiosa = np.maximum(within, bone + BONE.least_cortex_mm)
    return bone.astype(np.float32), spongiosa.astype(np.float32)


def _lamina_mm(shape: JawShape, short: Floats, long: Floats) -> Floats:
    """Thickness of the lamina dura, which comes and goes and thins deep in a socket."""
    form = BONE.lamina
    own = np.clip(1.0 + form.short_share * short + form.long_share * long, *form.swell_limits)
    lamina = form.thick_mm * own
    deep = rise(shape.depth_mm / form.deep_mm)
    return np.asarray(lamina * (1.0 - form.deep_thinner_share * deep))


def _side_plates_mm(grid: JawGrid, deep: Floats, long: Floats) -> Floats:
    """Thickness of the plates towards cheek and tongue, which are thinner at the crest."""
    form = BONE.plates
    side_mm = form.upper_side_mm if grid.ridge.rootward > 0 else form.lower_side_mm
    walls = side_mm * np.clip(1.0 + form.side_swell_share * long, *form.side_swell_limits)
    at_crest = form.side_at_crest_share
    whole = 1.0 - np.exp(-deep / form.side_over_mm)
    return np.asarray(walls * (at_crest + (1.0 - at_crest) * whole))


def _swell(grid: JawGrid, size_mm: float, seed: int) -> Floats:
    """Slow noise over the grid, the same on both sides of the mouth."""
    lines = (
        grid.stations[::2] * STEP_MM,
        grid.offsets_mm[::2],
        np.abs(grid.heights_mm[::2]) + SWELLS_APART_MM * seed,
    )
    points = np.stack(np.meshgrid(*lines, indexing="ij"), axis=-1)
    return doubled(slow_noise(points, size_mm), grid.shape)


def _gum(grid: JawGrid, shape: JawShape, bone: Fields, distance: Floats) -> Fields:
    """Gum over bone, up to the papillae between the teeth; not in teeth, nor in the sinus."""
    row: Ridge = grid.ridge
    form = BONE.gum
    near = rise(1.0 - distance.min(axis=(1, 2)) / REACH_MM)
    gap = np.abs(grid.stations[:, None] - row.knots).min(axis=1, initial=np.inf) * STEP_MM
    papilla = np.exp(-((gap / form.papilla_half_mm) ** 2)) * near
    height = form.margin_mm + (form.papilla_mm - form.margin_mm) * papilla
    above = np.maximum(-shape.depth_mm, 0.0)
    deep = rise(shape.depth_mm / form.palate_deep_mm)
    tongue = grid.across_mm[..., None] < 0
    thicker = (form.palate_mm - form.thick_mm) * deep * (tongue & (row.rootward > 0))
    side = shape.side_mm - form.thick_mm - thicker + form.taper * above
    margin = soft_max(-shape.depth_mm - height[:, None, None], side, form.edge_mm)
    over_bone = bone.astype(np.float64) - form.over_bone_mm
    covered = soft_min(margin, over_bone, form.over_bone_crease_mm)
    gum = np.maximum(covered, form.from_tooth_mm - distance)
    if shape.sinus is not None:
        gum = np.maximum(gum, -shape.sinus - BONE.sinus.lining_mm)
    return np.asarray(np.minimum(gum, bone - BONE.least_cortex_mm), dtype=np.float32)


SWELLS_APART_MM = 40.0
"""Swells of different sizes are taken from places this far apart."""


class PeriodontalSpace(NamedTuple):
    """The periodontal space."""

    space_mm: float
    crest_wider_share: float
    crest_over_mm: float
    swell_share: float
    swell_limits: tuple[float, float]
    edge_mm: float


class LaminaDura(NamedTuple):
    """The lamina dura."""

    thick_mm: float
    short_share: float
    long_share: float
    swell_limits: tuple[float, float]
    deep_thinner_share: float
    deep_mm: float


class CorticalPlates(NamedTuple):
    """Plates of cortex."""

    crest_mm: float
    crest_swell_share: float
    crest_swell_limits: tuple[float, float]
    upper_side_mm: float
    lower_side_mm: float
    side_swell_share: float
    side_swell_limits: tuple[float, float]
    side_at_crest_share: float
    side_over_mm: float
    ramus_mm: float
    ramus_over_mm: float
    corner_mm: float


class PlateOverRoots(NamedTuple):
    """Where thin bone over upper roots is plate alone."""

    plate_mm: float
    beside_fade: float
    corner_mm: float


class BoneSwells(NamedTuple):
    """Over what lengths thicknesses swell and sink."""

    socket_mm: float
    lamina_mm: float
    plate_mm: float


class SinusWall(NamedTuple):
    """The sinus' floor and lining."""

    wall_mm: float
    lining_mm: float


class Gum(NamedTuple):
    """Gum over bone and between teeth."""

    thick_mm: float
    palate_mm: float
    palate_deep_mm: float
    papilla_mm: float
    margin_mm: float
    papilla_half_mm: float
    taper: float
    edge_mm: float
    over_bone_mm: float
    over_bone_crease_mm: float
    from_tooth_mm: float


class Bone(NamedTuple):
    """Thicknesses round the teeth."""

    least_cortex_mm: float
    periodontal: PeriodontalSpace
    lamina: LaminaDura
    plates: CorticalPlates
    over_roots: PlateOverRoots
    swells: BoneSwells
    sinus: SinusWall
    gum: Gum


BONE = figures_of(Bone, "bitewright.solids", "bone")

__all__ = ["BoneShells", "bone_shells"]
