"""How the lower arch meets the upper, and how the mandible opens.

The upper jaw is fixed. Closed, the lower arch is shifted so that the mesiobuccal cusp of the upper
first molar stands over the buccal groove of the lower (Angle's Class I, common textbook
definition), and raised until the first cusp touches. Opening turns it about the intercondylar
axis of Bonwill's triangle.
"""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from bitewright.mouth.contacts import PlacedArch
from bitewright.mouth.crown_sections import CrownSections
from bitewright.mouth.occlusal_surface import Cusps

Floats = NDArray[np.float64]

BONWILL_SIDE_MM = 101.6
"""Four inches between the condyles and from each to the lower incisors. Common practice."""

BALKWILL_DEG = 23.0
"""Angle of Bonwill's triangle to the occlusal plane; 22 to 27 degrees, from memory."""


@dataclass(frozen=True, slots=True, eq=False)
class ArchParts:
    """What the relation of the jaws needs of one arch."""

    codes: tuple[int, ...]
    placed: PlacedArch
    sections: CrownSections
    cusps: Cusps

    def with_placed(self, placed: PlacedArch) -> "ArchParts":
        """The same teeth, carried elsewhere."""
        return ArchParts(self.codes, placed, self.sections, self.cusps)


def closed_shift_mm(upper: ArchParts, lower: ArchParts, *, molar_shift_mm: float) -> Floats:
    """Shift (3,) that brings the lower arch from its own frame into the bite. [mm]"""
    back = _class_one_shift(upper, lower) + molar_shift_mm
    shift = np.array([0.0, back, 0.0])
    return np.array([0.0, back, _rise_to_touch(upper, lower, shift)])


def hinge_axis_mm(lower_front_mm: Floats) -> tuple[float, float]:
    """Back and up place (y, z) of the intercondylar axis behind the lower incisors. [mm]

    Bonwill's triangle, tilted by Balkwill's angle: common practice.

    Parameters
    ----------
    lower_front_mm : (3,) float array
        The lower central incisors' edge in the mouth frame. [mm]
    """
    reach = BONWILL_SIDE_MM * np.sqrt(3.0) / 2.0
    tilt = np.deg2rad(BALKWILL_DEG)
    return (
        float(lower_front_mm[1] + reach * np.cos(tilt)),
        float(lower_front_mm[2] + reach * np.sin(tilt)),
    )


def opened(points_mouth: Floats, hinge_mm: tuple[float, float], opening_deg: float) -> Floats:
    """Lower-jaw points (..., 3) after opening: turned about the hinge, the front moving down."""
    sin, cos = np.sin(np.deg2rad(opening_deg)), np.cos(np.deg2rad(opening_deg))
    y, z = points_mouth[..., 1] - hinge_mm[0], points_mouth[..., 2] - hinge_mm[1]
    moved = np.array(points_mouth, dtype=np.float64)
    moved[..., 1] = hinge_mm[0] + cos * y - sin * z
    moved[..., 2] = hinge_mm[1] + sin * y + cos * z
    return moved


def _class_one_shift(upper: ArchParts, lower: ArchParts) -> float:
    """Backward shift of the lower arch: first molars, else canines, else the arches' fronts."""
    shifts = []
    for up, low in ((16, 46), (26, 36)):
        if up in upper.codes and low in lower.codes:
            cusp = _tip(upper, up, "mesiobuccal")[1]
            groove = 0.5 * (_tip(lower, low, "mesiobuccal") + _tip(lower, low, "distobuccal"))[1]
            shifts.append(cusp - groove)
    if not shifts:
        for up, low in ((13, 43), (23, 33)):
            if up in upper.codes and low in lower.codes:
                # The upper canine bites behind the lower one: half a tooth.
                shifts.append(_tip(upper, up, "tip")[1] - _tip(lower, low, "tip")[1] - 3.5)
    if not shifts:
        fronts = [part.placed.origins_arch[:, 1].min() for part in (upper, lower)]
        shifts.append(fronts[0] - fronts[1] + 3.0)
    return float(np.mean(shifts))


def _tip(part: ArchParts, code: int, cusp: str) -> Floats:
    row = part.codes.index(code)
    column = part.cusps.names[row].index(cusp)
    return np.asarray(_tips_arch(part)[row, column])


def _tips_arch(part: ArchParts) -> Floats:
    placed = part.placed
    turned = np.einsum("tqk,tkc->tqc", part.cusps.tips_tooth, placed.axes_arch)
    return np.asarray(placed.origins_arch[:, None] + turned)


def _rise_to_touch(upper: ArchParts, lower: ArchParts, shift: Floats) -> float:
    """How far up the shifted lower arch may go before the first back cusp touches. [mm]"""
    clearances = [
        _clearance(_back_tips(lower) + shift, upper, np.zeros(3)),
        _clearance(_back_tips(upper), lower, shift),
    ]
    return float(min(clearances))


def _back_tips(part: ArchParts) -> Floats:
    """Cusp tips of premolars and molars, or of every tooth where there are none."""
    tips = _tips_arch(part)
    used = part.cusps.tips_tooth[:, :, 2] > 0
    back = np.array([code % 10 >= 4 for code in part.codes])
    chosen = used & back[:, None] if back.any() else used
    return np.asarray(tips[chosen])


def _clearance(tips: Floats, opposing: ArchParts, shift: Floats) -> float:
    """Least height of tips above the opposing chewing surfaces they stand over. [mm]"""
    placed = opposing.placed
    away = tips[:, None] - (placed.origins_arch + shift)[None]
    local = np.einsum("ptc,tkc->ptk", away, placed.axes_arch)
    tooth = np.broadcast_to(np.arange(len(opposing.codes)), local.shape[:2])
    surface = opposing.cusps.height_mm(tooth, local[..., 0], local[..., 1])
    row = opposing.sections.at(tooth, opposing.sections.crown_mm[tooth] - 1.0)
    over = (np.abs(local[..., 0] - row[..., 0]) < row[..., 1]) & (
        np.abs(local[..., 1] - row[..., 2]) < row[..., 3]
    )
    gaps = (local[..., 2] - surface)[over]
    return float(gaps.min()) if len(gaps) else 0.0


__all__ = ["ArchParts", "closed_shift_mm", "hinge_axis_mm", "opened"]
