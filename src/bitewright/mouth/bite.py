"""How the lower arch meets the upper with the jaws closed.

The upper jaw is fixed. The lower arch is shifted so that the mesiobuccal cusp of the upper first
molar stands over the buccal groove of the lower (Angle's Class I, common textbook definition),
raised until cusps touch, and turned about the axis across the mouth until premolars touch as molars
do: closed teeth touch in front and behind.
"""

from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from bitewright.compiled import compiled
from bitewright.mouth.jaws import ArchParts
from bitewright.mouth.occlusal_surface import SLOPE, STEEPENING_PER_MM, TIP_ROUNDNESS_MM
from bitewright.space import Pose, rotation_about_axis

Floats = NDArray[np.float64]

TURNING_ROUNDS, BITE_ROUNDS = 3, 5
"""Turns, each by what is then left, for cusps glide along slopes; then it only rises or sinks."""

LEAST_APART_MM = 8.0
"""Two touching places nearer than this do not tell how an arch shall turn further. Our choice."""

MOST_TURN_DEG = 8.0
ACROSS = np.array([1.0, 0.0, 0.0])
CANINE_BEHIND_MM = 3.5
"""The upper canine bites behind the lower one: half a tooth."""


class Clearance(NamedTuple):
    """How far up an arch may go until teeth of some kind touch.

    Parameters
    ----------
    mean_mm, least_mm : float
        Mean over these teeth of the way to a tooth's first touch, and the least; not a number where
        no cusp of theirs has a tooth over it. [mm]
    back_mm : float
        How far back these touches lie in the mean. [mm]
    """

    mean_mm: float
    least_mm: float
    back_mm: float


def upper_from_lower(upper: ArchParts, lower: ArchParts, *, molar_shift_mm: float) -> Pose:
    """Bring the lower arch from its own frame into the bite, in the upper arch's frame."""
    turn_deg, rise_mm = 0.0, 0.0
    for number in range(BITE_ROUNDS):
        turned = Pose(rotation_about_axis(ACROSS, turn_deg), np.zeros(3))
        moved = lower.with_placed(lower.placed.moved(turned))
        back_mm = class_one_shift_mm(upper, moved) + molar_shift_mm
        front, behind = clearances(upper, moved, np.array([0.0, back_mm, rise_mm]))
        nearest = np.fmin(front.least_mm, behind.least_mm)
        if np.isfinite(nearest):
            rise_mm += float(nearest)
        uneven = behind.mean_mm - front.mean_mm
        if number < TURNING_ROUNDS and np.isfinite(uneven):
            apart = max(behind.back_mm - front.back_mm, LEAST_APART_MM)
            turn_deg += float(np.rad2deg(np.arctan2(uneven, apart)))
            turn_deg = float(np.clip(turn_deg, -MOST_TURN_DEG, MOST_TURN_DEG))
    return Pose(np.eye(3), np.array([0.0, back_mm, rise_mm])) @ turned


def class_one_shift_mm(upper: ArchParts, lower: ArchParts) -> float:
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
                ahead = _tip(upper, up, "tip")[1] - _tip(lower, low, "tip")[1]
                shifts.append(ahead - CANINE_BEHIND_MM)
    if not shifts:
        fronts = [part.placed.origins_arch[:, 1].min() for part in (upper, lower)]
        shifts.append(fronts[0] - fronts[1] + 3.0)
    return float(np.mean(shifts))


def clearances(upper: ArchParts, lower: ArchParts, shift: Floats) -> tuple[Clearance, Clearance]:
    """How far the lower arch, shifted by (3,), is from meeting the upper at premolars, at molars.

    Without any premolar or molar every tooth counts as a molar.
    """
    back = any(code % 10 >= 4 for code in (*upper.codes, *lower.codes))
    found: tuple[list[tuple[float, float]], list[tuple[float, float]]] = ([], [])
    for part, own_shift, opposing, other_shift in (
        (lower, shift, upper, np.zeros(3)),
        (upper, np.zeros(3), lower, shift),
    ):
        rise, place = _clearances(part, own_shift, opposing, other_shift)
        for row, code in enumerate(part.codes):
            at = rise[row].argmin()
            if (code % 10 >= 4 or not back) and np.isfinite(rise[row, at]):
                behind = not back or code % 10 >= 6
                found[behind].append((float(rise[row, at]), float(place[row, at])))
    return _of_touches(found[0]), _of_touches(found[1])


def _of_touches(touches: list[tuple[float, float]]) -> Clearance:
    if not touches:
        return Clearance(np.nan, np.nan, np.nan)
    rise, back = np.array(touches).T
    return Clearance(float(rise.mean()), float(rise.min()), float(back.mean()))


def _tip(part: ArchParts, code: int, cusp: str) -> Floats:
    row = part.codes.index(code)
    column = part.cusps.names[row].index(cusp)
    return np.asarray(_tips_arch(part)[row, column])


def _tips_arch(part: ArchParts) -> Floats:
    placed = part.placed
    turned = np.einsum("tqk,tkc->tqc", part.cusps.tips_tooth, placed.axes_arch)
    return np.asarray(placed.origins_arch[:, None] + turned)


def _clearances(
    part: ArchParts, shift: Floats, opposing: ArchParts, other_shift: Floats
) -> tuple[Floats, Floats]:
    """Of cusps (T, Q): height under the surfaces opposite, infinite at none, and place. [mm]"""
    tips = _tips_arch(part) + shift
    placed, cusps = opposing.placed, opposing.cusps
    every = np.arange(len(opposing.codes))
    rise = _least_clearances(
        tips.reshape(-1, 3),
        placed.origins_arch + other_shift,
        placed.axes_arch,
        cusps.tips_tooth,
        cusps.grown_mm,
        cusps.worn_to_mm,
        opposing.sections.at(every, opposing.sections.crown_mm - 1.0),
        (SLOPE, TIP_ROUNDNESS_MM, STEEPENING_PER_MM),
    ).reshape(tips.shape[:2])
    return np.where(part.cusps.tips_tooth[:, :, 2] > 0, rise, np.inf), tips[:, :, 1]


@compiled
def _least_clearances(
    tips: Floats,
    origins: Floats,
    axes: Floats,
    cusp_tips: Floats,
    grown: Floats,
    worn_to: Floats,
    rims: Floats,
    cone: tuple[float, float, float],
) -> Floats:
    """Least height of each tip (P,) above the opposing chewing surfaces it stands over. [mm]

    As `Cusps.height_mm`, over a tooth's outline a millimetre below its height; infinite where a tip
    stands over no tooth.
    """
    slope, roundness, steepening = cone
    least = np.full(len(tips), np.inf)
    for p in range(len(tips)):
        for t in range(len(origins)):
            away = tips[p] - origins[t]
            mesial = (axes[t, 0] * away).sum()
            buccal = (axes[t, 1] * away).sum()
            rim = rims[t]
            if not (abs(mesial - rim[0]) < rim[1] and abs(buccal - rim[2]) < rim[3]):
                continue
            surface = -np.inf
            for q in range(grown.shape[1]):
                across = np.hypot(mesial - cusp_tips[t, q, 0], buccal - cusp_tips[t, q, 1])
                down = np.hypot(slope * across, roundness) - roundness
                surface = max(surface, grown[t, q] - down * (1.0 + steepening * down))
            surface = min(surface, worn_to[t])
            least[p] = min(least[p], (axes[t, 2] * away).sum() - surface)
    return least


__all__ = ["Clearance", "class_one_shift_mm", "clearances", "upper_from_lower"]
