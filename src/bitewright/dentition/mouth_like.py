"""A parametric mouth with the crown sizes and arches of scanned teeth."""

from dataclasses import replace

import numpy as np
from numpy.typing import NDArray
from scipy.optimize import least_squares

from bitewright.dentition.arch_curve import ArchCurve
from bitewright.dentition.mouth import ArchForm, Mouth, Tooth, standard_mouth
from bitewright.dentition.scanned_teeth import ScannedTeeth
from bitewright.dentition.tooth_forms import is_upper

Floats = NDArray[np.float64]


def mouth_like(teeth: ScannedTeeth, *, name: str) -> Mouth:
    """The standard mouth with measured crown widths and breadths and fitted beta arches.

    Widths are measured over the occlusal part of each crown, along and across the line through
    its neighbours' middles; necks keep their usual share. Turns, tips and torques stay standard.
    """
    base = standard_mouth()
    middles = {code: teeth.crown_points(code).mean(axis=0) for code in base.teeth}
    sized = {code: _sized(tooth, code, teeth, middles) for code, tooth in base.teeth.items()}
    upper, lower = (
        _fitted(form, np.array([m for c, m in middles.items() if is_upper(c) == is_up]))
        for form, is_up in ((base.upper, True), (base.lower, False))
    )
    return replace(base, name=name, teeth=sized, upper=upper, lower=lower)


def _sized(tooth: Tooth, code: int, teeth: ScannedTeeth, middles: dict[int, Floats]) -> Tooth:
    across_midline = {1: 21, 2: 11, 3: 41, 4: 31}[code // 10]
    before = code - 1 if code % 10 > 1 else across_midline
    after = code + 1 if code + 1 in middles else code
    along = (middles[before] - middles[after])[:2]
    along /= np.linalg.norm(along)
    points = teeth.crown_points(code)[:, :2]
    width = float(np.ptp(points @ along))
    breadth = float(np.ptp(points @ np.array([-along[1], along[0]])))
    return replace(
        tooth,
        md_crown_mm=width,
        md_cervix_mm=tooth.md_cervix_mm * width / tooth.md_crown_mm,
        bl_crown_mm=breadth,
        bl_cervix_mm=tooth.bl_cervix_mm * breadth / tooth.bl_crown_mm,
    )


def _fitted(form: ArchForm, middles: Floats) -> ArchForm:
    """Width and depth of the beta arch nearest to crown middles; its front may lie anywhere."""

    def away(values: Floats) -> Floats:
        width, depth, front, aside = values
        curve = ArchCurve.beta(width_mm=width, depth_mm=depth).points_mm
        apart = middles[:, None, :2] - curve - np.array([aside, front])
        return np.asarray(np.hypot(apart[..., 0], apart[..., 1]).min(axis=1))

    start = [form.width_mm, form.depth_mm, middles[:, 1].min(), 0.0]
    found = least_squares(away, start).x
    return replace(form, width_mm=float(found[0]), depth_mm=float(found[1]))


__all__ = ["mouth_like"]
