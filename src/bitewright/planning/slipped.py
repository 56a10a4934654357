"""A set-up as one operator's hand carries it out, again and again."""

from dataclasses import replace

import numpy as np
from numpy.typing import NDArray

from bitewright.exposing.aim import LIMITS as AIM_LIMITS
from bitewright.exposing.exposure import Exposures, Station, aimed
from bitewright.exposing.placement import LIMITS as PLACEMENT_LIMITS
from bitewright.exposing.seating import seat
from bitewright.planning.best_aim import Setting

Floats = NDArray[np.float64]


def slipped(at: Station, setting: Setting, errors: Floats) -> Exposures:
    """Exposures of a set-up with a hand's errors (E, 4) in them, as `Scatter.draw` gives them.

    Errors of the horizontal and of the vertical angle come on top of the aim, those of place on top
    of the place, the tube going along.
    """
    placement, aim = setting.placement(), setting.aim()
    seated = seat(
        at.seating,
        replace(
            placement,
            forward_mm=np.clip(setting.forward_mm + errors[:, 2], *PLACEMENT_LIMITS["forward_mm"]),
            height_mm=np.clip(errors[:, 3], *PLACEMENT_LIMITS["height_mm"]),
        ),
    )
    return aimed(
        at,
        seated,
        replace(
            aim,
            ring_offset_deg=np.clip(
                setting.ring_offset_deg + errors[:, 0], *AIM_LIMITS["ring_offset_deg"]
            ),
            vertical_deg=np.clip(setting.vertical_deg + errors[:, 1], *AIM_LIMITS["vertical_deg"]),
        ),
    )


__all__ = ["slipped"]
