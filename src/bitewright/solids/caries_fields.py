"""Caries of a proximal surface as nested fields on a tooth's grid, more mineral lost in the inner.

In enamel a cone with its base on the surface, just below the contact; it meets the junction in a
narrow place unless it is deep. From there it spreads along the junction and makes the wider base
of a second cone, rounded, bent with the tubules towards the pulp. What films show by common
practice, no source. Depth is a share of the tissue at the place itself: of the enamel from surface
to junction, of the dentine from junction to the nearest pulp. Figures: ``tables/caries.toml``.
"""

from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from bitewright.figure_tables import figures_of
from bitewright.mouth.tooth_parts import SKIN_MM, ToothPart
from bitewright.solids.fixed_noise import slow_noise
from bitewright.solids.placed_tooth import PlacedTooth
from bitewright.solids.tooth_grid import ToothGrid

Floats = NDArray[np.float64]

KIND_APART_MM = 11.0
"""Teeth of another place or arch are rough in places this far off."""

FAR_MM = 20.0
"""As far as no lesion spreads."""

LEAST_ENAMEL_MM = 1e-3
"""Keeps a share of the enamel from a division by nothing where there is none."""


def caries_layers(
    placed: PlacedTooth,
    grid: ToothGrid,
    part: ToothPart,
    *,
    outer: Floats,
    dentine: Floats,
    pulp: Floats,
) -> list[tuple[str, Floats]]:
    """The lesion's layers in enamel and in dentine, each inside the one before it.

    Our model: a cone through enamel, and one from the junction towards the pulp.

    Parameters
    ----------
    placed : PlacedTooth
    grid : ToothGrid
    part : ToothPart
        The lesion.
    outer, dentine, pulp : (X, Y, Z) float arrays
        The tooth's fields. [mm]

    Returns
    -------
    list of (str, (X, Y, Z) float array)
        "carious-enamel" and "carious-dentine", `LAYER_LEVELS` each; where several lie inside one
        another their losses of mineral add up.
    """
    reach: Reach = getattr(CARIES.reach, part.depth.replace("-", "_"))
    sign = 1.0 if part.surface == "mesial" else -1.0
    other_side = -sign * (grid.mesial - placed.shear * grid.buccal)
    points = grid.points() + KIND_APART_MM * placed.kind
    wander = 1.0 + CARIES.rough_share * slow_noise(points, CARIES.rough_size_mm)
    across, up = _places(placed, grid, part)
    cone = _in_enamel(across, up, reach, outer, dentine) * wander
    inside = np.maximum(np.maximum(outer + SKIN_MM, -dentine), other_side)
    layers = [("carious-enamel", _layer(cone, level, inside)) for level in LAYER_LEVELS]
    if reach.dentine_share > 0.0:
        front = _in_dentine(grid, sign, across, up, reach, dentine, pulp) * wander
        inside = np.maximum(dentine, other_side)
        layers += [("carious-dentine", _layer(front, level, inside)) for level in LAYER_LEVELS]
    return layers


def _places(placed: PlacedTooth, grid: ToothGrid, part: ToothPart) -> tuple[Floats, Floats]:
    """Towards the cheek as a share of the crown's breadth and up [mm] from the middle, by size."""
    side = 0 if part.surface == "mesial" else 1
    middle = float(placed.sections.contact_mm[placed.row, side]) - CARIES.below_contact_mm
    breadth = placed.tooth.bl_crown_mm * part.size
    return grid.buccal / breadth, (grid.height - middle) / part.size


def _in_enamel(
    across: Floats, up: Floats, reach: "Reach", outer: Floats, dentine: Floats
) -> Floats:
    """0 in the middle of the base, 1 at the front."""
    form = CARIES.enamel
    off = np.hypot(across / form.half_breadth_share, up / form.half_height_mm)
    depth = np.maximum(-outer, 0.0)
    share = depth / np.maximum(depth + np.maximum(dentine, 0.0), LEAST_ENAMEL_MM)
    if reach.dentine_share == 0.0:
        return _round_cone(off, share / reach.enamel_share, form.bowl_power)
    cone = off / (1.0 - (1.0 - reach.open_share) * np.minimum(share, 1.0))
    spread, inward = _spread(across, up, reach), (1.0 - share) / form.undermined_share
    under = _round_cone(spread, inward, form.undermined_power)
    return np.asarray(np.minimum(cone, under))


def _in_dentine(
    grid: ToothGrid,
    sign: float,
    across: Floats,
    up: Floats,
    reach: "Reach",
    dentine: Floats,
    pulp: Floats,
) -> Floats:
    """0 at the middle of the junction, 1 at the front.

    How far it spreads is taken along the junction, which turns inward over the crown's shoulder.
    Depth is taken from the junction straight inward, in part from where it is in the middle, so
    that the front stays blunt where the junction curves back towards cheek and tongue.
    """
    form, along = CARIES.dentine, sign * grid.mesial
    skin = (dentine < 0.0) & (dentine > -form.junction_mm)
    junction = np.where(skin, along - dentine, -np.inf).max(axis=0, keepdims=True)
    middle = junction[:, [int(np.abs(grid.buccal).argmin())]]
    own = form.own_depth_share
    depth = np.maximum(own * junction + (1.0 - own) * middle - along, 0.0)
    start = np.unravel_index(
        np.argmin(_spread(across, up, reach) + np.abs(junction - along)), depth.shape
    )
    turned = np.clip(middle[..., start[2]] - middle, 0.0, FAR_MM)
    up = np.where(up > 0.0, np.hypot(up, turned), up)
    off = _spread(across, up + form.tubules_drop * depth, reach)
    points = grid.points()
    to_pulp = np.linalg.norm(points[pulp < 0.0] - points[start], axis=1).min()
    return _round_cone(off, depth / (reach.dentine_share * float(to_pulp)), form.bowl_power)


def _spread(across: Floats, up: Floats, reach: "Reach") -> Floats:
    """0 in the middle, 1 where the lesion ends along the junction."""
    form = CARIES.dentine
    broad, high = form.half_breadth_share * reach.spread, form.half_height_mm * reach.spread
    return np.asarray(np.hypot(across / broad, up / high))


def _round_cone(off: Floats, share: Floats, power: float) -> Floats:
    """0 at the middle of the base, 1 on the mantle: straight with power 1, a bowl with 2."""
    return np.asarray((off**power + np.maximum(share, 0.0) ** power) ** (1.0 / power))


def _layer(front: Floats, level: float, inside: Floats) -> Floats:
    return np.asarray(np.maximum(front - (1.0 - level), inside))


class CariousEnamel(NamedTuple):
    """The cone through enamel."""

    half_breadth_share: float
    half_height_mm: float
    bowl_power: float
    undermined_share: float
    undermined_power: float


class CariousDentine(NamedTuple):
    """The lesion in dentine."""

    half_breadth_share: float
    half_height_mm: float
    bowl_power: float
    tubules_drop: float
    own_depth_share: float
    junction_mm: float


class Reach(NamedTuple):
    """How far a lesion reaches and how wide it is."""

    enamel_share: float
    dentine_share: float
    open_share: float
    spread: float


class Reaches(NamedTuple):
    """How far lesions of each depth reach."""

    outer_enamel: Reach
    inner_enamel: Reach
    outer_dentine: Reach
    middle_dentine: Reach
    inner_dentine: Reach


class Caries(NamedTuple):
    """Caries of a proximal surface."""

    layer_levels: tuple[float, float, float, float]
    below_contact_mm: float
    rough_share: float
    rough_size_mm: float
    enamel: CariousEnamel
    dentine: CariousDentine
    reach: Reaches


CARIES = figures_of(Caries, "bitewright.solids", "caries")

LAYER_LEVELS = CARIES.layer_levels
"""How far in, as a share of the way from the front to the middle, each layer begins."""

__all__ = ["LAYER_LEVELS", "caries_layers"]
