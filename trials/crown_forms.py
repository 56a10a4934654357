"""What a crown given as points is in the outlines' terms: width, breadth, flanks, cusps.

Seen from above a crown is its convex outline. A section as the outlines have it, turned and
tapered, is fitted to that outline, closest at the flanks.
"""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray
from scipy.optimize import least_squares, linear_sum_assignment
from scipy.spatial import cKDTree

from bitewright.mouth.contacts import ToothStance
from bitewright.mouth.tooth_forms import tooth_form

Floats = NDArray[np.float64]

ANGLES = np.deg2rad(np.arange(0.0, 360.0, 4.0))
WAYS = np.stack([np.cos(ANGLES), np.sin(ANGLES)])
"""Directions (2, A) in which outlines are compared, mesial first and then buccal."""

_OFF_FLANK = np.minimum(np.abs(np.angle(np.exp(1j * ANGLES))), np.abs(ANGLES - np.pi))
WEIGHTS = np.select([np.rad2deg(_OFF_FLANK) < limit for limit in (25.0, 45.0)], [1.0, 0.4], 0.15)
"""What each direction counts: most within 25 degrees of the flanks' own. Our choice."""

_ACROSS = np.sin(np.linspace(-np.pi / 2, np.pi / 2, 121))

TIP_MM, NEAR_MM, FURTHEST_MM, TOP_MM = 0.9, 1.8, 2.5, 0.15
"""A tip is the highest as far around; another crown's lies as near the mean one's; a tip further
from where the cusp usually stands is another's; points as little below the highest share in its
place. Our choice."""

FIELDS = (
    "md_share",
    "bl_share",
    "mesial_flank_deg",
    "distal_flank_deg",
    "squareness",
    "buccal_cusps_mm",
    "lingual_cusps_mm",
)
"""How crowns of one kind are told apart; widths and breadths as the logarithm of their share."""


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class CrownForms:
    """N crowns of one kind in the outlines' terms.

    Parameters
    ----------
    md_mm, bl_mm : (N,) float arrays
        Extents along and across the row. [mm]
    mesial_flank_deg, distal_flank_deg, exponent : (N,) float arrays
    cusps_mm : mapping of cusp to (N, 2) float array
        Places to the front and to the cheek from the extents' middle. [mm]
    worst_mm : (N,) float array
        How far the fitted section lies off within 25 degrees of the flanks. [mm]
    """

    md_mm: Floats
    bl_mm: Floats
    mesial_flank_deg: Floats
    distal_flank_deg: Floats
    exponent: Floats
    cusps_mm: dict[str, Floats]
    worst_mm: Floats

    def cusps_forward_mm(self, side: float) -> Floats:
        """How far to the front (N,) the cusps of the cheek (1) or tongue side (-1) stand. [mm]

        Of the middles of those cusps that the crowns have.
        """
        own = [place[:, 0] for place in self.cusps_mm.values() if side * place[:, 1].mean() > 0]
        return np.asarray(np.mean(own, axis=0)) if own else np.zeros(len(self.md_mm))

    def in_fields(self, code: int) -> Floats:
        """Crowns (N, 7) of a code: width and breadth in mm, then the rest of `FIELDS`."""
        shapes = tooth_form(code).cusps
        forward = []
        for side in (1.0, -1.0):
            found = [name for name in self.cusps_mm if side * shapes[name][1] > 0.0]
            usual = np.mean([shapes[name][0] for name in found]) if found else 0.0
            forward.append(self.cusps_forward_mm(side) - usual * self.md_mm)
        if code % 10 <= 2:
            forward = [0.0 * each for each in forward]
        return np.column_stack(
            [
                self.md_mm,
                self.bl_mm,
                self.mesial_flank_deg,
                self.distal_flank_deg,
                self.exponent - tooth_form(code).section_exponent,
                *forward,
            ]
        )


def crown_forms(code: int, crowns_tooth: Floats, mean_tooth: Floats) -> CrownForms:
    """Forms of crowns (N, P, 3) of one kind; the mean one (P, 3) tells where to look for cusps."""
    start = fitted_section(outline_reach_mm(mean_tooth[None])[0])
    reach = outline_reach_mm(crowns_tooth)
    fits = np.array([fitted_section(each, start) for each in reach])
    low, high = crowns_tooth.min(axis=1), crowns_tooth.max(axis=1)
    _, _, half, _, shear, taper, exponent = fits.T
    off = np.array([section_reach_mm(fit) for fit in fits]) - reach
    tips = cusp_places_mm(code, crowns_tooth, mean_tooth)
    return CrownForms(
        md_mm=high[:, 0] - low[:, 0],
        bl_mm=high[:, 1] - low[:, 1],
        mesial_flank_deg=np.rad2deg(np.arctan(shear + half * taper)),
        distal_flank_deg=np.rad2deg(np.arctan(shear - half * taper)),
        exponent=exponent,
        cusps_mm=tips,
        worst_mm=np.abs(off[:, WEIGHTS == 1.0]).max(axis=1),
    )


def cusp_places_mm(code: int, crowns_tooth: Floats, mean_tooth: Floats) -> dict[str, Floats]:
    """Places (N, 2) of each cusp that the mean crown shows, to the front and to the cheek. [mm]

    From the middle of each crown's extents, crowns set upright.
    """
    upright = upright_axes(code).T
    middles = 0.5 * (crowns_tooth.min(axis=1) + crowns_tooth.max(axis=1))
    middle = 0.5 * (mean_tooth.min(axis=0) + mean_tooth.max(axis=0))
    level = (crowns_tooth - middles[:, None]) @ upright
    return _cusps(code, level, (mean_tooth - middle) @ upright)


def outline_reach_mm(crowns_tooth: Floats) -> Floats:
    """How far crowns (N, P, 3) reach in `WAYS`, seen from above, (N, A). [mm]"""
    return np.asarray((crowns_tooth[..., :2] @ WAYS).max(axis=-2))


def section_reach_mm(form: Floats) -> Floats:
    """How far a section reaches in `WAYS`, (A,). [mm]

    ``form``: middle to front and cheek, half-width, half-breadth, shear, taper, exponent.
    """
    x0, y0, half, breadth, shear, taper, power = form
    share = (1.0 - np.abs(_ACROSS) ** power) ** (1.0 / power)
    y = y0 + breadth * _ACROSS
    middle, width = x0 + shear * y, half * share * (1.0 + taper * breadth * _ACROSS)
    edge = np.stack([np.concatenate([middle + width, middle - width]), np.tile(y, 2)])
    return np.asarray((edge.T @ WAYS).max(axis=0))


def fitted_section(reach_mm: Floats, start: Floats | None = None) -> Floats:
    """The section, as in `section_reach_mm`, whose reach is nearest one (A,). [mm]"""
    if start is None:
        quarter = len(reach_mm) // 4
        half, breadth = (0.5 * (reach_mm[k] + reach_mm[k + 2 * quarter]) for k in (0, quarter))
        start = np.array([0.0, 0.0, half, breadth, 0.0, 0.0, 2.4])
    found = least_squares(
        lambda form: WEIGHTS * (section_reach_mm(form) - reach_mm),
        start,
        x_scale=[1.0, 1.0, 1.0, 1.0, 0.1, 0.05, 0.5],
        diff_step=1e-4,
        bounds=([-3, -3, 1, 1, -0.8, -0.2, 1.7], [3, 3, 9, 9, 0.8, 0.2, 4.0]),
    )
    return np.asarray(found.x)


def upright_axes(code: int) -> Floats:
    """Axes (3, 3; rows mesial, buccal, occlusal) of a tooth that leans as usual."""
    form = tooth_form(code)
    none = np.zeros(1)
    stance = ToothStance.leaning(
        tip_deg=np.array([form.tip_deg]),
        torque_deg=np.array([form.torque_deg]),
        rotation_deg=none,
        out_of_line_mm=none,
        is_right=np.ones(1, dtype=bool),
        occlusal_sign=1.0,
        spee_mm=0.0,
    )
    return np.asarray(stance.lean[0])


def _cusps(code: int, crowns: Floats, mean: Floats) -> dict[str, Floats]:
    """Places (N, 2) of each cusp that the mean crown shows, crowns upright. [mm]"""
    shapes = tooth_form(code).cusps
    low, high = mean.min(axis=0)[:2], mean.max(axis=0)[:2]
    usual = 0.5 * (low + high) + np.array([s[:2] for s in shapes.values()]) * (high - low)
    beside = cKDTree(mean[:, :2]).query_ball_point(mean[:, :2], TIP_MM)
    tips = mean[[i for i, near in enumerate(beside) if mean[i, 2] >= mean[near, 2].max()], :2]
    apart = np.linalg.norm(usual[:, None] - tips[None], axis=2)
    pairs = linear_sum_assignment(np.where(apart > FURTHEST_MM, 1e3, apart))
    names, found = list(shapes), {}
    for cusp, tip in zip(*pairs, strict=True):
        if apart[cusp, tip] > FURTHEST_MM:
            continue
        near = np.hypot(*(mean[:, :2] - tips[tip]).T) < NEAR_MM
        part = crowns[:, near]
        below = part[..., 2].max(axis=1, keepdims=True) - part[..., 2]
        weight = np.maximum(TOP_MM - below, 0.0)[..., None]
        place = (weight * part[..., :2]).sum(axis=1) / weight.sum(axis=1)
        found[names[cusp]] = place
    return found


__all__ = [
    "ANGLES",
    "FIELDS",
    "WAYS",
    "CrownForms",
    "crown_forms",
    "cusp_places_mm",
    "fitted_section",
    "outline_reach_mm",
    "section_reach_mm",
    "upright_axes",
]
