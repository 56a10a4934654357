"""Jaw bone and gum along a row of teeth, as closed surfaces round the teeth's own.

Everything is a field on one grid: bone is cut back from the teeth by the periodontal space,
spongiosa from the bone by cortex and lamina dura, gum holds the bone. At every place of the grid
spongiosa lies in bone, bone in gum, and none in a tooth, so that no length comes out negative.
Thicknesses are our choice where no source is named.
"""

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

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

PERIODONTAL_MM = 0.2
"""Periodontal space: 0.15 to 0.21 mm (general radiology reference)."""

PERIODONTAL_WIDER, WIDER_OVER_MM = 0.55, 2.0
"""At the crest it is wider by this share, as an hourglass is, which dies out over this depth."""

LAMINA_MM = 0.16
"""Lamina dura, on average; it fades in places."""

CREST_PLATE_MM = 0.13
SIDE_PLATE_MM = {True: 0.55, False: 0.95}
"""Plates over the crest, and towards cheek and tongue in the upper and the lower jaw."""

RAMUS_PLATE_MM = 0.5
"""Cortex of the ramus' front edge, beyond the crest's own, straight down a steep surface."""

SOLID_MM, SOLID_CORNER_MM, SOLID_FADE = 2.4, 0.6, 6.0
"""Bone over an upper root no thicker than this is plate alone: lamina and cortex are one there.
Beside the root, in the septa, that ends within half a millimetre."""

LEAST_CORTEX_MM = 0.05
CORNER_MM = 0.3
MARROW_CORNER_MM = 0.7
"""Rounding of the bone's edge at a socket and of the spongiosa's corners."""

SINUS_WALL_MM = 0.5
SINUS_LINING_MM = 0.8

GUM_MM = 1.3
PALATE_GUM_MM = 2.4
PAPILLA_MM = 3.8
MARGIN_MM = 2.4
"""Gum over the bone's walls and, deeper, over the palate; height over the crest between teeth and
beside them: 2.04 mm of attachment (Gargiulo et al. 1961, from memory) and a shallow sulcus."""

GUM_TAPER = 0.4


@dataclass(frozen=True, slots=True, eq=False)
class BoneShells:
    """One jaw's bone and gum on one side, in the mouth frame, jaws closed. [mm]

    ``gum`` holds ``bone``, ``bone`` holds ``spongiosa``; teeth lie in none of them.
    ``texture`` says where the spongiosa is, for its trabeculae.
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

    A pure function of the mouth and of these surfaces. None where neither side has two teeth.
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
    wide, thick, plate = (_swell(grid, size, seed) for size, seed in ((3.0, 0), (1.6, 1), (4.0, 2)))
    funnel = 1.0 + PERIODONTAL_WIDER * np.exp(-np.maximum(shape.depth_mm, 0.0) / WIDER_OVER_MM)
    socket = PERIODONTAL_MM * funnel * np.clip(1.0 + 0.25 * wide, 0.6, 1.6) - distance
    bone = soft_max(shape.block, socket, CORNER_MM)
    lamina = LAMINA_MM * np.clip(1.0 + 0.5 * thick + 0.7 * plate, 0.0, 2.4)
    lamina = lamina * (1.0 - 0.45 * rise(shape.depth_mm / 9.0))
    walls = SIDE_PLATE_MM[grid.ridge.rootward > 0] * np.clip(1.0 + 0.3 * plate, 0.4, 1.8)
    walls = walls * (0.35 + 0.65 * (1.0 - np.exp(-np.maximum(shape.depth_mm, 0.0) / 2.5)))
    crest = CREST_PLATE_MM * np.clip(1.0 + 0.9 * thick, 0.0, 2.6)
    climb = ramus_climb_mm(grid, (grid.stations - grid.ridge.last) * STEP_MM)
    crest = crest + RAMUS_PLATE_MM * rise(climb / 3.0)[..., None]
    within = soft_max(crest - shape.depth_mm, shape.side_mm + walls, MARROW_CORNER_MM)
    within = soft_max(within, socket + lamina, MARROW_CORNER_MM)
    if grid.ridge.rootward > 0:
        beside = np.maximum(distance.min(axis=1, keepdims=True), 0.0)
        thin = SOLID_MM + shape.side_mm - distance - SOLID_FADE * beside
        within = soft_max(within, thin, SOLID_CORNER_MM)
    if shape.sinus is not None:
        bone = np.maximum(bone, -shape.sinus)
        within = np.maximum(within, SINUS_WALL_MM - shape.sinus)
    spongiosa = np.maximum(within, bone + LEAST_CORTEX_MM)
    return bone.astype(np.float32), spongiosa.astype(np.float32)


def _swell(grid: JawGrid, size_mm: float, seed: int) -> Floats:
    """Slow noise over the grid, the same on both sides of the mouth."""
    lines = (
        grid.stations[::2] * STEP_MM,
        grid.offsets_mm[::2],
        np.abs(grid.heights_mm[::2]) + 40.0 * seed,
    )
    points = np.stack(np.meshgrid(*lines, indexing="ij"), axis=-1)
    return doubled(slow_noise(points, size_mm), grid.shape)


def _gum(grid: JawGrid, shape: JawShape, bone: Fields, distance: Floats) -> Fields:
    """Gum over bone, up to the papillae between the teeth; not in teeth, nor in the sinus."""
    row: Ridge = grid.ridge
    near = rise(1.0 - distance.min(axis=(1, 2)) / REACH_MM)
    gap = np.abs(grid.stations[:, None] - row.knots).min(axis=1, initial=np.inf) * STEP_MM
    height = MARGIN_MM + (PAPILLA_MM - MARGIN_MM) * np.exp(-((gap / 1.2) ** 2)) * near
    above = np.maximum(-shape.depth_mm, 0.0)
    deep = rise(shape.depth_mm / 8.0)
    tongue = grid.across_mm[..., None] < 0
    thicker = (PALATE_GUM_MM - GUM_MM) * deep * (tongue & (row.rootward > 0))
    side = shape.side_mm - GUM_MM - thicker + GUM_TAPER * above
    margin = soft_max(-shape.depth_mm - height[:, None, None], side, 1.2)
    gum = np.maximum(soft_min(margin, bone.astype(np.float64) - 0.6, 1.0), 0.02 - distance)
    if shape.sinus is not None:
        gum = np.maximum(gum, -shape.sinus - SINUS_LINING_MM)
    return np.asarray(np.minimum(gum, bone - LEAST_CORTEX_MM), dtype=np.float32)


__all__ = ["BoneShells", "bone_shells"]
