"""The edge of what a beam reached of a film, in the receptor's plane: straight or round."""

from dataclasses import dataclass
from typing import Any

import numpy as np
from numpy.typing import NDArray

Floats = NDArray[np.float64]
AnyFloats = NDArray[np.floating[Any]]


@dataclass(frozen=True, slots=True, kw_only=True)
class StraightEdge:
    """A rectangular field's edge: exposed where ``across_u * u + across_v * v <= reach_mm``.

    ``across_u``, ``across_v``: unit direction from the exposed part to the blank one.
    """

    across_u: float
    across_v: float
    reach_mm: float

    def inside_mm(self, u_mm: AnyFloats, v_mm: AnyFloats) -> Floats:
        """How far places lie inside the exposed part, of one shape; negative in the blank. [mm]"""
        across = u_mm * self.across_u + v_mm * self.across_v
        return np.asarray(self.reach_mm - across, dtype=np.float64)


@dataclass(frozen=True, slots=True, kw_only=True)
class RoundEdge:
    """A round field's edge: exposed within the circle. [mm]"""

    centre_u_mm: float
    centre_v_mm: float
    radius_mm: float

    def inside_mm(self, u_mm: AnyFloats, v_mm: AnyFloats) -> Floats:
        """How far places lie inside the exposed part, of one shape; negative in the blank. [mm]"""
        off = np.hypot(u_mm - self.centre_u_mm, v_mm - self.centre_v_mm)
        return np.asarray(self.radius_mm - off, dtype=np.float64)


ClearEdge = StraightEdge | RoundEdge

__all__ = ["ClearEdge", "RoundEdge", "StraightEdge"]
