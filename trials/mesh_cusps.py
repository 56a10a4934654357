"""Cusp tips of a tooth given as a mesh: local extremes towards the occlusal plane, by name.

Names and about where on a crown they stand are those of the standard tooth; which extremes there
are, and where, is the mesh's own.
"""

import numpy as np
from numpy.typing import NDArray
from scipy.optimize import linear_sum_assignment
from scipy.spatial import cKDTree

from bitewright.mouth.tooth_forms import is_right, is_upper, tooth_form
from bitewright.space import ClosedMesh

Floats = NDArray[np.float64]

TIP_MM = 0.8
"""A tip has nothing nearer the occlusal plane as far around. Our choice."""

DEEPEST_MM = 4.0
"""Extremes further from the plane than this below the crown's highest are no cusps. Our choice."""

FURTHEST_MM = 2.5
"""An extreme further than this from where a cusp usually stands is not that cusp. Our choice."""


def cusp_tips(
    mesh: ClosedMesh, code: int, *, mesial_mouth: Floats, crown_mouth: Floats
) -> dict[str, Floats]:
    """Tips by landmark name, such as ``16.mesiobuccal.cusp``; those not found are left out.

    Parameters
    ----------
    mesh : ClosedMesh
        The tooth in the mouth frame. [mm]
    code : int
        ISO 3950.
    mesial_mouth : (3,) float array
        Level unit direction along the row of teeth, to the midline.
    crown_mouth : (n, 3) float array
        Points of the crown's outline, for its size and middle. [mm]
    """
    level = np.array([mesial_mouth[1], -mesial_mouth[0]])
    buccal = level if (level[0] < 0.0) == is_right(code) else -level
    axes = np.stack([mesial_mouth[:2], buccal])
    places = crown_mouth[:, :2] @ axes.T
    low, high = places.min(axis=0), places.max(axis=0)
    form = tooth_form(code).cusps
    usual = 0.5 * (low + high) + np.array([shape[:2] for shape in form.values()]) * (high - low)
    tips = _extremes(mesh.vertices_mm, 1.0 if is_upper(code) else -1.0)
    apart = np.linalg.norm(usual[:, None] - (tips[:, :2] @ axes.T)[None], axis=2)
    # Any pairing is preferred to one with a cusp that stands too far off.
    cost = np.where(apart > FURTHEST_MM, 1e3, apart)
    names = list(form)
    return {
        f"{code}.{names[cusp]}.cusp": tips[tip]
        for cusp, tip in zip(*linear_sum_assignment(cost), strict=True)
        if apart[cusp, tip] <= FURTHEST_MM
    }


def _extremes(points: Floats, away: float) -> Floats:
    """Points (t, 3) with none nearer the occlusal plane beside; ``away`` is its distance's sign."""
    depth = away * points[:, 2]
    crown = np.flatnonzero(depth <= depth.min() + DEEPEST_MM)
    beside = cKDTree(points[crown, :2]).query_ball_point(points[crown, :2], TIP_MM)
    kept = [
        i for i, near in zip(crown, beside, strict=True) if depth[i] <= depth[crown[near]].min()
    ]
    return np.asarray(points[kept])


__all__ = ["cusp_tips"]
