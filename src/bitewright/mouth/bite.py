"""How the lower arch meets the upper with the jaws closed.

The upper jaw is fixed. The lower arch is shifted so that the mesiobuccal cusp of the upper first
molar stands over the buccal groove of the lower (Angle's Class I, common textbook definition),
raised until cusps touch, and turned about the axis across the mouth until premolars touch as molars
do: closed teeth touch in front and behind.
"""

from dataclasses import dataclass
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from bitewright.compiled import compiled
from bitewright.mouth.jaws import ArchParts
from bitewright.mouth.occlusal_surface import SLOPE, STEEPENING_PER_MM, TIP_ROUNDNESS_MM, Cusps
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


@dataclass(frozen=True, slots=True, eq=False)
class _Jaw:
    """One arch's T chewing surfaces, as closing needs them: lengths in mm, in one frame.

    ``tips`` (T, Q, 3) are placed cusps, ``used`` (T, Q) which of them there are; ``rims`` (T, 5)
    the sections a millimetre below the teeth's height.
    """

    codes: tuple[int, ...]
    cusps: Cusps
    tips: Floats
    used: NDArray[np.bool_]
    origins: Floats
    axes: Floats
    rims: Floats

    @classmethod
    def of(cls, part: ArchParts) -> "_Jaw":
        placed, sections = part.placed, part.sections
        every = np.arange(len(part.codes))
        return cls(
            part.codes,
            part.cusps,
            placed.origins_arch[:, None] + part.cusps.tips_tooth @ placed.axes_arch,
            part.cusps.tips_tooth[:, :, 2] > 0,
            placed.origins_arch,
            placed.axes_arch,
            sections.at(every, sections.crown_mm - 1.0),
        )

    def turned(self, rotation: Floats) -> "_Jaw":
        """The same surfaces, turned by a rotation (3, 3) about the frame's origin."""
        tips, axes = (
            (own.reshape(-1, 3) @ rotation.T).reshape(own.shape) for own in (self.tips, self.axes)
        )
        origins = self.origins @ rotation.T
        return _Jaw(self.codes, self.cusps, tips, self.used, origins, axes, self.rims)

    def tip(self, code: int, cusp: str) -> Floats:
        """Where one cusp stands, (3,). [mm]"""
        row = self.codes.index(code)
        return np.asarray(self.tips[row, self.cusps.names[row].index(cusp)])

    def touches(self, opposing: "_Jaw", shift: Floats) -> Floats:
        """Per tooth, shifted by (3,): height under what is opposite, and place back, (T, 2). [mm]

        Of each tooth's cusps the one that touches first; infinite where none stands under a tooth.
        """
        return _first_touches(
            self.tips,
            self.used,
            shift,
            (opposing.origins, opposing.axes, opposing.rims),
            (opposing.cusps.tips_tooth, opposing.cusps.grown_mm, opposing.cusps.worn_to_mm),
            (SLOPE, TIP_ROUNDNESS_MM, STEEPENING_PER_MM),
        )


def upper_from_lower(upper: ArchParts, lower: ArchParts, *, molar_shift_mm: float) -> Pose:
    """Bring the lower arch from its own frame into the bite, in the upper arch's frame."""
    above, level = _Jaw.of(upper), _Jaw.of(lower)
    turn_deg, rise_mm, rotation, below = 0.0, 0.0, np.eye(3), level
    back_mm = _class_one_shift_mm(above, below) + molar_shift_mm
    for number in range(BITE_ROUNDS):
        if 0 < number <= TURNING_ROUNDS:
            rotation = rotation_about_axis(ACROSS, turn_deg)
            below = level.turned(rotation)
            back_mm = _class_one_shift_mm(above, below) + molar_shift_mm
        front, behind = _clearances(above, below, np.array([0.0, back_mm, rise_mm]))
        nearest = np.fmin(front.least_mm, behind.least_mm)
        if np.isfinite(nearest):
            rise_mm += float(nearest)
        uneven = behind.mean_mm - front.mean_mm
        if number < TURNING_ROUNDS and np.isfinite(uneven):
            apart = max(behind.back_mm - front.back_mm, LEAST_APART_MM)
            turn_deg += float(np.rad2deg(np.arctan2(uneven, apart)))
            turn_deg = float(np.clip(turn_deg, -MOST_TURN_DEG, MOST_TURN_DEG))
    return Pose(rotation, np.array([0.0, back_mm, rise_mm]))


def clearances(upper: ArchParts, lower: ArchParts, shift: Floats) -> tuple[Clearance, Clearance]:
    """How far the lower arch, shifted by (3,), is from meeting the upper at premolars, at molars.

    Without any premolar or molar every tooth counts as a molar.
    """
    return _clearances(_Jaw.of(upper), _Jaw.of(lower), shift)


def _class_one_shift_mm(upper: _Jaw, lower: _Jaw) -> float:
    """Backward shift of the lower arch: first molars, else canines, else the arches' fronts."""
    shifts = []
    for up, low in ((16, 46), (26, 36)):
        if up in upper.codes and low in lower.codes:
            cusp = upper.tip(up, "mesiobuccal")[1]
            groove = 0.5 * (lower.tip(low, "mesiobuccal") + lower.tip(low, "distobuccal"))[1]
            shifts.append(cusp - groove)
    if not shifts:
        for up, low in ((13, 43), (23, 33)):
            if up in upper.codes and low in lower.codes:
                ahead = upper.tip(up, "tip")[1] - lower.tip(low, "tip")[1]
                shifts.append(ahead - CANINE_BEHIND_MM)
    if not shifts:
        fronts = [jaw.origins[:, 1].min() for jaw in (upper, lower)]
        shifts.append(fronts[0] - fronts[1] + 3.0)
    return float(sum(shifts) / len(shifts))


def _clearances(upper: _Jaw, lower: _Jaw, shift: Floats) -> tuple[Clearance, Clearance]:
    back = any(code % 10 >= 4 for code in (*upper.codes, *lower.codes))
    found: tuple[list[tuple[float, float]], list[tuple[float, float]]] = ([], [])
    for jaw, opposing, way in ((lower, upper, shift), (upper, lower, -shift)):
        touches = jaw.touches(opposing, way).tolist()
        for code, (rise, place) in zip(jaw.codes, touches, strict=True):
            if (code % 10 >= 4 or not back) and rise < np.inf:
                behind = not back or code % 10 >= 6
                # The upper jaw stays: its places are its own.
                found[behind].append((rise, place + (shift[1] if jaw is upper else 0.0)))
    return _of_touches(found[0]), _of_touches(found[1])


def _of_touches(touches: list[tuple[float, float]]) -> Clearance:
    if not touches:
        return Clearance(np.nan, np.nan, np.nan)
    rise, back = zip(*touches, strict=True)
    return Clearance(sum(rise) / len(rise), min(rise), sum(back) / len(back))


@compiled
def _first_touches(
    tips: Floats,
    used: NDArray[np.bool_],
    shift: Floats,
    opposite: tuple[Floats, Floats, Floats],
    cusps: tuple[Floats, Floats, Floats],
    cone: tuple[float, float, float],
) -> Floats:
    """Per tooth (T, 2) the least height of its shifted tips above the surfaces opposite, and place.

    Surfaces as `Cusps.height_mm`, over a tooth's outline a millimetre below its height; infinite
    where no tip stands over a tooth. [mm]
    """
    origins, axes, rims = opposite
    cusp_tips, grown, worn_to = cusps
    slope, roundness, steepening = cone
    found = np.full((len(tips), 2), np.inf)
    for p in range(len(tips)):
        for q in range(tips.shape[1]):
            if not used[p, q]:
                continue
            x, y, z = (
                tips[p, q, 0] + shift[0],
                tips[p, q, 1] + shift[1],
                tips[p, q, 2] + shift[2],
            )
            for t in range(len(origins)):
                ax, ay, az = x - origins[t, 0], y - origins[t, 1], z - origins[t, 2]
                mesial = axes[t, 0, 0] * ax + axes[t, 0, 1] * ay + axes[t, 0, 2] * az
                if not abs(mesial - rims[t, 0]) < rims[t, 1]:
                    continue
                buccal = axes[t, 1, 0] * ax + axes[t, 1, 1] * ay + axes[t, 1, 2] * az
                if not abs(buccal - rims[t, 2]) < rims[t, 3]:
                    continue
                surface = -np.inf
                for o in range(grown.shape[1]):
                    away = (mesial - cusp_tips[t, o, 0]) ** 2 + (buccal - cusp_tips[t, o, 1]) ** 2
                    down = np.sqrt(slope * slope * away + roundness * roundness) - roundness
                    surface = max(surface, grown[t, o] - down * (1.0 + steepening * down))
                height = axes[t, 2, 0] * ax + axes[t, 2, 1] * ay + axes[t, 2, 2] * az
                rise = height - min(surface, worn_to[t])
                if rise < found[p, 0]:
                    found[p, 0], found[p, 1] = rise, y
    return found


__all__ = ["Clearance", "clearances", "upper_from_lower"]
