"""Amounts of movements with their intervals: by an estimate's draws, and how plans differ."""

import numpy as np
from numpy.typing import NDArray
from scipy.special import stdtrit

from bitewright.explanation.aim_beside_outlines import swing_beside_outlines_deg
from bitewright.explanation.correction import COVERAGE, SD_TO_END, Estimated, Part
from bitewright.explanation.needed_movement import NeededMovement
from bitewright.explanation.needs import WORTH
from bitewright.exposing.region import Region

Floats = NDArray[np.float64]

GRAIN = {Part.VERTICAL: 1.7, Part.FORWARD: 1.0, Part.HEIGHT: 0.5}
"""Standard deviation of a plan from one mouth to another just like it; the swing's is measured, by
view. Our choice. [deg, mm]"""


def grain_of(region: Region) -> dict[Part, float]:
    """Deviation of the best exposure from one mouth to another just like it. [deg, mm]"""
    return GRAIN | {Part.SWING: swing_beside_outlines_deg(region)}


POSE_OF = {
    Part.SWING: "azimuth_deg",
    Part.VERTICAL: "vertical_deg",
    Part.FORWARD: "forward_mm",
    Part.HEIGHT: "height_mm",
    Part.TURN: "turn_deg",
    Part.TILT: "tilt_deg",
    Part.ROLL: "roll_deg",
    Part.CLOSURE: "closure_mm",
}
"""Field of `Whereabouts` that each part changes."""


AVERAGED = (Part.SWING, Part.VERTICAL, Part.FORWARD)
"""Told as the average over all that is drawn: how well a view comes out is flat about its best, so
that the best of one mouth wanders, and the best fit's own is no likelier than another's. What
holds teeth apart has an end at nought and is told as the best fit has it."""


def needed_amount(part: Part, needed: NeededMovement, grain_sd: float, widened: float) -> Estimated:
    """The draws' average, or the best fit's, with their spread; parameters as `spread_about`."""
    draws = getattr(needed.draws, POSE_OF[part])
    best_fit = float(getattr(needed.centre, POSE_OF[part])[0])
    value = float(np.mean(draws)) if part in AVERAGED else best_fit
    return spread_about(value, draws, grain_sd, widened)


def height_of_hand(
    amounts: dict[Part, Estimated], needed: NeededMovement, widened: float
) -> Estimated:
    """The height as a cause: where teeth are held apart, only the hand's part of it is one."""
    if abs(amounts[Part.CLOSURE].value) < WORTH[Part.CLOSURE]:
        return amounts[Part.HEIGHT]
    grain = GRAIN[Part.HEIGHT]
    return spread_about(needed.reseat_mm, needed.reseat_draws_mm, grain, widened)


def ring_offset_of(needed: NeededMovement, grain_sd: float, widened: float) -> Estimated:
    """How far the best aim leaves the ring, as sure as the drawn mouths tell. [deg]"""
    offset, draws = needed.plan.setting.ring_offset_deg, needed.ring_offset_draws_deg
    return spread_about(offset, draws, grain_sd, widened)


def rim_slide_mm(part: Part, amount: Estimated, radius_mm: float) -> Estimated | None:
    """How far the tube's rim slides for a turn of the tube; None of what moves no tube. [mm]

    Parameters
    ----------
    part : Part
    amount : Estimated
        Of its movement. [deg]
    radius_mm : float
        From the receptor's middle to the rim. [mm]
    """
    if part not in (Part.SWING, Part.VERTICAL):
        return None
    value, low, high = (
        float(radius_mm * np.sin(np.deg2rad(each)))
        for each in (amount.value, amount.low, amount.high)
    )
    return Estimated(value=value, low=low, high=high)


def spread_about(value: float, draws: Floats, grain_sd: float, widened: float) -> Estimated:
    """As far as Student's t reaches for so few draws, whose own outer ones would hold too little.

    Source: Student, Biometrika 1908;6:1-25 (a further draw's interval, from memory).

    Parameters
    ----------
    value : float
    draws : (D,) float array
    grain_sd : float
        Deviation, in the value's unit, of plans from one mouth to another just like it.
    widened : float
        How many times as wide.
    """
    reach = float(stdtrit(len(draws) - 1, 0.5 * (1.0 + COVERAGE)))
    spread = reach * np.sqrt(1.0 + 1.0 / len(draws)) * np.std(draws, ddof=1)
    either = widened * float(np.hypot(spread, SD_TO_END * grain_sd))
    return Estimated(value=value, low=value - either, high=value + either)


__all__ = [
    "GRAIN",
    "POSE_OF",
    "grain_of",
    "height_of_hand",
    "needed_amount",
    "rim_slide_mm",
    "ring_offset_of",
    "spread_about",
]
