"""Pulp: one narrow column in single roots; in molars a chamber with horns and a canal a root.

Sizes are our choice for an adult.
"""

import numpy as np
from numpy.typing import NDArray

from bitewright.dentition.lofts import joined, loft
from bitewright.dentition.tooth_rings import ToothRings
from bitewright.dentition.tooth_roots import roots_of
from bitewright.space import ClosedMesh

Floats = NDArray[np.float64]

AROUND = 24
CHAMBER_FLOOR_MM = -2.4
CHAMBER_ROOF_MM = -1.1
CHAMBER_SHARES = (0.25, 0.16)
"""Half axes of a molar's chamber as shares of the crown's width and breadth."""

HORN_RISE_MM = 2.9
HORN_SLOPE = 1.35
CANAL_MM = (0.42, 0.10)
"""Half width of a molar's canal at the chamber and at the apex."""

COLUMN_MESIAL = (0.03, 0.06, 0.085, 0.115, 0.10, 0.02)
COLUMN_BUCCAL = (0.04, 0.10, 0.17, 0.20, 0.16, 0.03)
"""Half axes of the column, as shares of the cervical width and breadth, from apex to roof."""


def pulp_mesh(rings: ToothRings) -> ClosedMesh:
    """Pulp of one tooth in the mouth frame, jaws closed."""
    if rings.is_molar:
        return joined([_chamber(rings), *_canals(rings)])
    return _column(rings)


def _column(rings: ToothRings) -> ClosedMesh:
    crown, root = rings.tooth.crown_length_mm, rings.tooth.root_length_mm
    top = {1: 0.45, 2: 0.45, 3: 0.6}.get(rings.place, 0.48) * crown
    knots = [-0.92 * root, -0.5 * root, -3.0, -0.5, 0.2 * crown, top]
    heights = np.linspace(knots[0], top, 30)
    half = np.stack(
        [
            np.interp(heights, knots, np.array(shares) * size)
            for shares, size in (
                (COLUMN_MESIAL, rings.tooth.md_cervix_mm),
                (COLUMN_BUCCAL, rings.tooth.bl_cervix_mm),
            )
        ],
        axis=-1,
    )
    middle = rings.at(np.repeat(heights[:, None], 64, axis=1)).mean(axis=1)
    return loft(rings.placed(_ellipses(middle, half)))


def _chamber(rings: ToothRings) -> ClosedMesh:
    """A flat floor, a waist, and a roof that rises into a horn under each cusp."""
    size = np.array([rings.tooth.md_crown_mm, rings.tooth.bl_crown_mm])
    half = CHAMBER_SHARES * size
    scales = np.array([0.5, 0.78, 0.94, 1.0])
    heights = CHAMBER_FLOOR_MM + np.array([0.0, 0.3, 0.7, 1.1])
    walls = _ellipses(np.column_stack([np.zeros((4, 2)), heights]), scales[:, None] * half)
    walls[..., 0] += rings.shear * walls[..., 1]
    rim = walls[-1]
    roof = []
    for scale in (0.97, 0.9, 0.82, 0.74, 0.64, 0.52, 0.38, 0.22, 0.08):
        ring = scale * rim
        ring[:, 2] = _roof(rings, ring)
        roof.append(ring)
    return loft(rings.placed(np.concatenate([walls, np.stack(roof)])))


def _roof(rings: ToothRings, ring: Floats) -> Floats:
    tips = rings.outlines.cusps.tips_tooth[rings.row]
    tips = tips[tips[:, 2] > 0]
    away = np.linalg.norm(ring[:, None, :2] - 0.78 * tips[:, :2], axis=-1)
    horns = (HORN_RISE_MM - HORN_SLOPE * np.hypot(away, 0.25)).max(axis=1)
    return np.asarray(CHAMBER_ROOF_MM + np.maximum(horns, 0.0))


def _canals(rings: ToothRings) -> list[ClosedMesh]:
    """One canal a root, flat where the root is."""
    canals = []
    for root in roots_of(rings):
        # A step below the floor of the chamber, so that the two never overlap.
        top, end = CHAMBER_FLOOR_MM, root.furcation - 0.93 * root.length
        heights = np.linspace(end, top, 20)
        share = np.clip((root.furcation - heights) / root.length, 0.0, 1.0)[:, None]
        above = np.clip((heights - root.furcation) / (top - root.furcation), 0.0, 1.0)[:, None]
        middle = root.middle(share) * (1.0 - 0.2 * above)
        wide = CANAL_MM[1] + (CANAL_MM[0] - CANAL_MM[1]) * (1.0 - share)
        flat = root.plan.half[1] / root.plan.half[0]
        half = wide * [1.0, min(max(flat, 0.8), 2.0)]
        canals.append(loft(rings.placed(_ellipses(np.hstack([middle, heights[:, None]]), half))))
    return canals


def _ellipses(middle: Floats, half: Floats) -> Floats:
    """Level ellipses (K, AROUND, 3) round middles (K, 3) with half axes (K, 2)."""
    angle = np.linspace(0.0, 2.0 * np.pi, AROUND, endpoint=False)
    rings = np.repeat(middle[:, None, :], AROUND, axis=1)
    rings[..., 0] += half[:, :1] * np.cos(angle)
    rings[..., 1] += half[:, 1:] * np.sin(angle)
    return rings


__all__ = ["pulp_mesh"]
