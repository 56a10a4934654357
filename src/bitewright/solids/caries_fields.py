"""Caries of a proximal surface as nested fields on a tooth's grid, more mineral lost in the inner.

In enamel a cone with its base on the surface, just below the contact; it meets the junction in a
narrow place unless it is deep. From there it spreads along the junction and makes the wider base
of a second cone, rounded, bent with the tubules towards the pulp. What films show by common
practice, no source; all sizes are our choice. Depth is a share of the tissue at the place itself:
of the enamel from surface to junction, of the dentine from junction to the nearest pulp.
"""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from bitewright.mouth.tooth_parts import SKIN_MM, ToothPart
from bitewright.solids.fixed_noise import slow_noise
from bitewright.solids.placed_tooth import PlacedTooth
from bitewright.solids.tooth_solid import ToothGrid

Floats = NDArray[np.float64]

BELOW_CONTACT_MM = 0.9
"""The middle of the lesion lies this far below the contact's middle."""

LAYER_LEVELS = (0.0, 0.1, 0.22, 0.38)
"""How far in, as a share of the way from the front to the middle, each layer begins."""

BASE = (0.27, 1.05)
"""Half axes on the surface: towards the cheek as a share of the crown's breadth, up in mm."""

SPREAD = (0.32, 1.2)
"""The same along the junction, of a lesion in the outer dentine."""

UNDERMINED = 0.5
"""Share of the enamel, from the junction outward, that is lost where the lesion spreads."""

TUBULES_DROP = 0.30
"""How much deeper towards the root the lesion runs for each millimetre into dentine."""

SHALLOW_MM = 0.3
"""Dentine's field tells its distance to the junction well as far in as this."""

FAR_MM = 20.0
"""As far as no lesion spreads."""

ROUGH = 0.10
"""How far fronts wander, as a share."""


@dataclass(frozen=True, slots=True, kw_only=True)
class _Reach:
    """Shares of enamel and dentine reached, the cone's width at the junction, spread along it."""

    enamel: float
    dentine: float = 0.0
    open_share: float = 0.0
    spread: float = 1.0


REACHES = {
    "outer-enamel": _Reach(enamel=0.5),
    "inner-enamel": _Reach(enamel=0.95),
    "outer-dentine": _Reach(enamel=1.0, dentine=0.27, open_share=0.35),
    "middle-dentine": _Reach(enamel=1.0, dentine=0.53, open_share=0.6, spread=1.25),
    "inner-dentine": _Reach(enamel=1.0, dentine=0.92, open_share=0.85, spread=1.5),
}


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

    Returns
    -------
    list of (str, (X, Y, Z) float array)
        "carious-enamel" and "carious-dentine", `LAYER_LEVELS` each; where several lie inside one
        another their losses of mineral add up.
    """
    reach = REACHES[part.depth]
    sign = 1.0 if part.surface == "mesial" else -1.0
    other_side = -sign * (grid.mesial - placed.shear * grid.buccal)
    wander = 1.0 + ROUGH * slow_noise(grid.points() + 11.0 * placed.kind, 1.1)
    across, up = _places(placed, grid, part)
    cone = _in_enamel(across, up, reach, outer, dentine) * wander
    inside = np.maximum(np.maximum(outer + SKIN_MM, -dentine), other_side)
    layers = [("carious-enamel", _layer(cone, level, inside)) for level in LAYER_LEVELS]
    if reach.dentine > 0.0:
        front = _in_dentine(grid, sign, across, up, reach, dentine, pulp) * wander
        inside = np.maximum(dentine, other_side)
        layers += [("carious-dentine", _layer(front, level, inside)) for level in LAYER_LEVELS]
    return layers


def _places(placed: PlacedTooth, grid: ToothGrid, part: ToothPart) -> tuple[Floats, Floats]:
    """Towards the cheek as a share of the crown's breadth and up [mm] from the middle, by size."""
    side = 0 if part.surface == "mesial" else 1
    middle = float(placed.sections.contact_mm[placed.row, side]) - BELOW_CONTACT_MM
    breadth = placed.tooth.bl_crown_mm * part.size
    return grid.buccal / breadth, (grid.height - middle) / part.size


def _in_enamel(across: Floats, up: Floats, reach: _Reach, outer: Floats, dentine: Floats) -> Floats:
    """0 in the middle of the base, 1 at the front."""
    off = np.hypot(across / BASE[0], up / BASE[1])
    depth = np.maximum(-outer, 0.0)
    share = depth / np.maximum(depth + np.maximum(dentine, 0.0), 1e-3)
    if reach.dentine == 0.0:
        return _round_cone(off, share / reach.enamel, 1.2)
    cone = off / (1.0 - (1.0 - reach.open_share) * np.minimum(share, 1.0))
    under = _round_cone(_spread(across, up, reach), (1.0 - share) / UNDERMINED, 1.7)
    return np.asarray(np.minimum(cone, under))


def _in_dentine(
    grid: ToothGrid,
    sign: float,
    across: Floats,
    up: Floats,
    reach: _Reach,
    dentine: Floats,
    pulp: Floats,
) -> Floats:
    """0 at the middle of the junction, 1 at the front.

    How far it spreads is taken along the junction, which turns inward over the crown's shoulder.
    Depth is taken from the junction straight inward, in part from where it is in the middle, so
    that the front stays blunt where the junction curves back towards cheek and tongue.
    """
    along = sign * grid.mesial
    skin = (dentine < 0.0) & (dentine > -SHALLOW_MM)
    junction = np.where(skin, along - dentine, -np.inf).max(axis=0, keepdims=True)
    middle = junction[:, [int(np.abs(grid.buccal).argmin())]]
    depth = np.maximum(0.4 * junction + 0.6 * middle - along, 0.0)
    start = np.unravel_index(
        np.argmin(_spread(across, up, reach) + np.abs(junction - along)), depth.shape
    )
    turned = np.clip(middle[..., start[2]] - middle, 0.0, FAR_MM)
    up = np.where(up > 0.0, np.hypot(up, turned), up)
    off = _spread(across, up + TUBULES_DROP * depth, reach)
    points = grid.points()
    to_pulp = np.linalg.norm(points[pulp < 0.0] - points[start], axis=1).min()
    return _round_cone(off, depth / (reach.dentine * float(to_pulp)), 1.2)


def _spread(across: Floats, up: Floats, reach: _Reach) -> Floats:
    """0 in the middle, 1 where the lesion ends along the junction."""
    half = np.array(SPREAD) * reach.spread
    return np.asarray(np.hypot(across / half[0], up / half[1]))


def _round_cone(off: Floats, share: Floats, power: float) -> Floats:
    """0 at the middle of the base, 1 on the mantle: straight with power 1, a bowl with 2."""
    return np.asarray((off**power + np.maximum(share, 0.0) ** power) ** (1.0 / power))


def _layer(front: Floats, level: float, inside: Floats) -> Floats:
    return np.asarray(np.maximum(front - (1.0 - level), inside))


__all__ = ["LAYER_LEVELS", "caries_layers"]
