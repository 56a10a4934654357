"""A parametric mouth with the crown sizes and arches of scanned teeth."""

from collections.abc import Mapping
from dataclasses import dataclass, replace
from itertools import pairwise

import numpy as np
from numpy.typing import NDArray
from scipy.optimize import least_squares

from bitewright.mouth.arch_curve import ArchCurve
from bitewright.mouth.arches import arch_curve
from bitewright.mouth.mouth import ArchForm, Mouth, Tooth, textbook_mouth, textbook_tooth
from bitewright.mouth.open_direction import box_middle
from bitewright.mouth.tooth_forms import is_right, is_upper
from trials.scanned_teeth import ScannedTeeth

Floats = NDArray[np.float64]


def mouth_like(teeth: ScannedTeeth, *, name: str, turned: bool = False) -> Mouth:
    """Standard teeth with the scan's crown widths and breadths, on beta arches fitted to it.

    Widths are the extents of the occlusal 6 mm along the line joining the neighbours' middles,
    breadths those across it; necks keep their usual share. Lengths, tips, torques, facets and the
    bite stay standard. Our choice.

    Parameters
    ----------
    turned : bool
        Also give each tooth the turn of its mesiodistal axis, taken from its distal to its mesial
        contact point, against the fitted arch beside it; the last tooth's through its middle.
    """
    base = textbook_mouth()
    sized, arches = {}, {}
    for upper, form in ((True, base.upper), (False, base.lower)):
        row = _right_to_left(teeth, upper=upper)
        middles = {code: box_middle(teeth.crown_points(code))[:2] for code in row}
        arches[upper] = fitted_arch(form, np.array(list(middles.values())))
        turns = _turns_deg(teeth, middles, arches[upper]) if turned else dict.fromkeys(row, 0.0)
        for code in row:
            along = _towards_left(middles, code)
            sized[code] = replace(
                _sized(textbook_tooth(code), teeth.crown_points(code)[:, :2], along),
                rotation_deg=turns[code],
            )
    return Mouth(
        name=name, teeth=sized, contacts={}, upper=arches[True].form, lower=arches[False].form
    )


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class FittedArch:
    """A beta arch laid through crown middles.

    Parameters
    ----------
    form : ArchForm
    front_mouth : (2,) float array
        Where its foremost point lies, across and back. [mm]
    rms_mm : float
        Root mean square distance of the crown middles from it. [mm]
    """

    form: ArchForm
    front_mouth: Floats
    rms_mm: float

    def towards_left(self, point_mouth: Floats) -> Floats:
        """Direction (2,) of the arch, towards the patient's left, where it passes a point."""
        curve = arch_curve(self.form)
        apart = curve.points_mm + self.front_mouth - point_mouth
        nearest = np.hypot(apart[:, 0], apart[:, 1]).argmin()
        return np.asarray(curve.tangents(curve.along_mm[nearest : nearest + 1])[0])


def fitted_arch(form: ArchForm, middles_mouth: Floats) -> FittedArch:
    """The beta arch with the least squared distances from crown middles (n, 2). [mm]

    Width, depth and where its front lies are free; it is not turned.
    """

    def apart(values: Floats) -> Floats:
        width, depth, *front = values
        curve = ArchCurve.beta(width_mm=width, depth_mm=depth).points_mm
        away = middles_mouth[:, None] - curve - np.array(front)
        return np.asarray(np.hypot(away[..., 0], away[..., 1]).min(axis=1))

    start = [form.width_mm, form.depth_mm, 0.0, middles_mouth[:, 1].min()]
    found = least_squares(apart, start)
    width, depth, *front = found.x
    return FittedArch(
        form=replace(form, width_mm=float(width), depth_mm=float(depth)),
        front_mouth=np.array(front),
        rms_mm=float(np.sqrt(np.mean(found.fun**2))),
    )


def _sized(tooth: Tooth, points: Floats, along: Floats) -> Tooth:
    width = float(np.ptp(points @ along))
    breadth = float(np.ptp(points @ np.array([-along[1], along[0]])))
    return replace(
        tooth,
        md_crown_mm=width,
        md_cervix_mm=tooth.md_cervix_mm * width / tooth.md_crown_mm,
        bl_crown_mm=breadth,
        bl_cervix_mm=tooth.bl_cervix_mm * breadth / tooth.bl_crown_mm,
    )


def _right_to_left(teeth: ScannedTeeth, *, upper: bool) -> list[int]:
    codes = [code for code in teeth.meshes if is_upper(code) == upper]
    right = sorted((code for code in codes if is_right(code)), reverse=True)
    return right + sorted(code for code in codes if not is_right(code))


def _towards_left(middles: Mapping[int, Floats], code: int) -> Floats:
    """Unit direction (2,) through the middles of a tooth's neighbours, or of itself at an end."""
    row = list(middles)
    place = row.index(code)
    chord = middles[row[min(place + 1, len(row) - 1)]] - middles[row[max(place - 1, 0)]]
    return np.asarray(chord / np.linalg.norm(chord))


def _turns_deg(
    teeth: ScannedTeeth, middles: Mapping[int, Floats], arch: FittedArch
) -> dict[int, float]:
    """How far each tooth's mesial side is turned buccally out of the arch. [deg]"""
    row = list(middles)
    met = {frozenset(pair): found.point_mouth[:2] for pair, found in teeth.approaches.items()}
    points = [met[frozenset(pair)] for pair in pairwise(row)]
    ends = [2.0 * middles[row[0]] - points[0], *points, 2.0 * middles[row[-1]] - points[-1]]
    turns = {}
    for code, right_end, left_end in zip(row, ends[:-1], ends[1:], strict=True):
        axis, along = left_end - right_end, arch.towards_left(middles[code])
        # Towards the left and away from the palate, as the mesial and buccal axes of a right tooth.
        buccal = np.array([along[1], -along[0]])
        turn = float(np.rad2deg(np.arctan2(axis @ buccal, axis @ along)))
        turns[code] = turn if is_right(code) else -turn
    return turns


__all__ = ["FittedArch", "fitted_arch", "mouth_like"]
