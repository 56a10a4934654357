"""Placement: how a receptor lies in its region, in the trade's own terms."""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from bitewright.exposing.hand_settings import together

Floats = NDArray[np.float64]

LIMITS = {
    "forward_mm": (-40.0, 40.0),
    "lingual_mm": (0.0, 40.0),
    "height_mm": (-25.0, 25.0),
    "turn_deg": (-60.0, 60.0),
    "tilt_deg": (-60.0, 60.0),
    "roll_deg": (-60.0, 60.0),
}
"""Beyond these nothing can be seated. Our choice."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Placement:
    """How a receptor lies in its region.

    ``forward_mm``: middle of the active area in front of the region's middle.
    ``lingual_mm``: free space between the lingual crown surfaces and the casing.
    ``height_mm``: casing raised above the middle of the bite block.
    ``turn_deg``: about the vertical, zero parallel to the chord of the region's teeth, positive
    when the front end moves towards the opposite canine.
    ``tilt_deg``: positive when the upper edge leans to the palate or tongue.
    ``roll_deg``: in its own plane, from the line midway between the cusp rows, positive when its
    front edge dips.
    Each may be a number or an array; arrays are combined element by element.
    """

    forward_mm: float | Floats = 0.0
    lingual_mm: float | Floats = 2.0
    height_mm: float | Floats = 0.0
    turn_deg: float | Floats = 0.0
    tilt_deg: float | Floats = 0.0
    roll_deg: float | Floats = 0.0

    def arrays(self) -> dict[str, Floats]:
        """All six as float arrays of one shape (E,)."""
        return together(self, LIMITS)


__all__ = ["Placement"]
