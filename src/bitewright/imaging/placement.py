"""Placement: how a receptor lies in its region, in the trade's own terms."""

from dataclasses import dataclass, fields

import numpy as np
from numpy.typing import NDArray

Floats = NDArray[np.float64]


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
        values = [np.atleast_1d(np.asarray(getattr(self, f.name), float)) for f in fields(self)]
        together = np.broadcast_arrays(*values)
        return {f.name: value for f, value in zip(fields(self), together, strict=True)}


__all__ = ["Placement"]
