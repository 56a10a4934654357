"""Teeth as closed shells one inside the other, lofted from the same sections as the outlines.

Simple solids, honest about their sizes and contacts. Below the cemento-enamel junction the outer
and the dentine's shell are the same to the bit, so that no enamel is left on the root.
"""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from bitewright.dentition.lofts import joined, loft
from bitewright.dentition.outlines import Outlines
from bitewright.dentition.tooth_pulp import pulp_mesh
from bitewright.dentition.tooth_rings import (
    AROUND,
    ToothRings,
    outward,
    smooth_min,
    smooth_step,
    tooth_rings,
)
from bitewright.dentition.tooth_roots import ROOT_END, furcation_height, root_meshes
from bitewright.space import ClosedMesh

Floats = NDArray[np.float64]

ROOT_RINGS = 20
TRUNK_RINGS = 8
CROWN_RINGS = 26
CAP_SCALES = np.array([0.93, 0.84, 0.74, 0.63, 0.52, 0.4, 0.27, 0.13])
DENTINE_ROUNDNESS_MM = 0.6

CUSP_ENAMEL_MM = {1: 0.9, 2: 0.9, 3: 1.1, 4: 1.6, 5: 1.7}
MOLAR_CUSP_ENAMEL_MM = 1.9
"""Enamel over the cusps; some 0.6 mm less over the fissures. Our choice."""

DENTINE_SLOPE_SHARE = 0.62
"""The dentine's cusps are this much flatter than the enamel's. Our choice."""

LEAST_ENAMEL_MM = 0.5
"""Enamel left over the chewing surface wherever the two surfaces come near. Our choice."""


EDGE_ENAMEL_SHARE = {1: 0.3, 2: 0.3}
"""Most of a thin edge's half breadth that is enamel, by place; else half. Our choice."""


@dataclass(frozen=True, slots=True, eq=False)
class ToothShells:
    """One tooth's closed surfaces in the mouth frame, jaws closed. [mm]"""

    code: int
    outer: ClosedMesh
    dentine: ClosedMesh
    pulp: ClosedMesh


def tooth_shells(outlines: Outlines, codes: tuple[int, ...]) -> tuple[ToothShells, ...]:
    """Shells of some of the teeth present."""
    return tuple(_shells(rings) for rings in tooth_rings(outlines, codes))


def _shells(rings: ToothRings) -> ToothShells:
    heights = _heights(rings)
    stack = rings.at(np.repeat(heights[:, None], AROUND, axis=1))
    crown = rings.pressed(_capped(rings, rings.topped(stack)))
    dentine = _dentine(rings, stack)
    roots = root_meshes(rings) if rings.is_molar else ()
    tip = None if rings.is_molar else rings.placed(_tip(rings))
    outer, inner = (loft(rings.placed(body), start=tip) for body in (crown, dentine))
    return ToothShells(
        code=rings.code,
        outer=joined([outer, *roots]),
        dentine=joined([inner, *roots]),
        pulp=pulp_mesh(rings),
    )


def _tip(rings: ToothRings) -> Floats:
    return np.array([*np.mean(rings.apices(), axis=0), -rings.tooth.root_length_mm])


def _heights(rings: ToothRings) -> Floats:
    """Heights of the body's rings: from the apex or the furcation to the top of the crown."""
    crown = rings.tooth.crown_length_mm
    if rings.is_molar:
        below = np.linspace(furcation_height(rings), 0.0, TRUNK_RINGS + 1)
    else:
        below = -rings.tooth.root_length_mm * np.linspace(ROOT_END, 0.0, ROOT_RINGS + 1) ** 1.15
    # Rings crowd at the neck, where enamel thins out.
    return np.concatenate([below, crown * np.linspace(0.0, 1.0, CROWN_RINGS + 1)[1:] ** 1.1])


def _capped(rings: ToothRings, stack: Floats) -> Floats:
    """Close a crown with rings shrinking over its chewing surface."""
    rim = stack[-1]
    middle = rim.mean(axis=0)
    caps = middle + CAP_SCALES[:, None, None] * (rim - middle)
    surface = rings.surface(caps[..., 0], caps[..., 1])
    limit = rings.tooth.crown_length_mm + _lift(rings.roundness_mm)
    caps[..., 2] = surface if rings.place <= 2 else smooth_min(limit, surface, rings.roundness_mm)
    return np.concatenate([stack, caps])


def _lift(roundness_mm: float) -> Floats:
    """What ends the rounding of a crown's edge inside its rim, so that cusps keep their height."""
    return np.asarray(roundness_mm * np.minimum((1.0 - CAP_SCALES) / 0.45, 1.0)[:, None])


def _dentine(rings: ToothRings, stack: Floats) -> Floats:
    """Rings of the dentine: within the enamel in the crown, the tooth's own on the root."""
    tooth = rings.tooth
    above = stack[..., 2] - rings.junction(stack[..., 0])
    rise = np.clip(above / (0.55 * tooth.crown_length_mm), 0.0, 1.0)
    thick = tooth.enamel_contact_mm * np.sin(0.5 * np.pi * rise) ** 0.95
    # Never more than near the middle of a thin edge, or the inner surface would fold over.
    half = 0.5 * np.ptp(stack[..., :2], axis=1).min(axis=-1)
    thick = np.minimum(thick, EDGE_ENAMEL_SHARE.get(rings.place, 0.5) * half[:, None])
    inside = rings.pressed(stack)
    inside[..., :2] -= thick[..., None] * outward(stack[..., :2])
    top = CUSP_ENAMEL_MM.get(rings.place, MOLAR_CUSP_ENAMEL_MM)
    crown = tooth.crown_length_mm
    drop = top * smooth_step((stack[..., 2] - 0.45 * crown) / (0.55 * crown))
    sunk = smooth_min(
        stack[..., 2] - drop,
        _dentine_surface(rings, inside[..., 0], inside[..., 1]),
        DENTINE_ROUNDNESS_MM,
    )
    inside[..., 2] = np.where(above > 0, sunk, stack[..., 2])
    rim = inside[-1]
    centre = rim.mean(axis=0)
    caps = centre + CAP_SCALES[:, None, None] * (rim - centre)
    cap_top = _dentine_surface(rings, caps[..., 0], caps[..., 1])
    limit = crown - top + _lift(DENTINE_ROUNDNESS_MM)
    caps[..., 2] = smooth_min(limit, cap_top, DENTINE_ROUNDNESS_MM)
    return np.concatenate([inside, caps])


def _dentine_surface(rings: ToothRings, mesial: Floats, buccal: Floats) -> Floats:
    """Height of the dentine under the chewing surface: the same cusps, lower and flatter."""
    top = CUSP_ENAMEL_MM.get(rings.place, MOLAR_CUSP_ENAMEL_MM)
    surface, crown = rings.surface(mesial, buccal), rings.tooth.crown_length_mm
    flat = crown - DENTINE_SLOPE_SHARE * (crown - surface) - top
    return np.minimum(flat, surface - LEAST_ENAMEL_MM)


__all__ = ["ToothShells", "tooth_shells"]
