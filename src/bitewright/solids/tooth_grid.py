"""The grid of one tooth, on which its outside, dentine, pulp and parts are fields."""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from bitewright.solids.placed_tooth import PlacedTooth

Floats = NDArray[np.float64]

STEP_MM = 0.3
"""Distance of the grid's places."""

MARGIN_MM = 1.2
"""The grid goes on this far beyond the tooth."""

ASIDE_MM = (0.3, 0.6)
"""And this much further to its proximal sides, and towards cheek and tongue."""


@dataclass(frozen=True, slots=True, eq=False)
class ToothGrid:
    """The grid of one tooth in its own axes. [mm]

    Parameters
    ----------
    mesial, buccal, height : (X, 1, 1), (1, Y, 1) and (1, 1, Z) float arrays
        Coordinates of its places: forward, towards the cheek, up from the neck.
    """

    mesial: Floats
    buccal: Floats
    height: Floats

    @classmethod
    def of(cls, placed: PlacedTooth, step_mm: float = STEP_MM) -> "ToothGrid":
        """A grid that holds the whole tooth with a margin; ``step_mm`` is between its places."""
        tooth = placed.tooth
        apices = np.abs(np.array(placed.apices())).max(axis=0)
        reach = 0.5 * np.array([tooth.md_crown_mm, tooth.bl_crown_mm])
        reach = np.maximum(reach, apices + 1.0) + MARGIN_MM + ASIDE_MM
        low = [-reach[0], -reach[1], -tooth.root_length_mm - MARGIN_MM]
        high = [reach[0], reach[1], tooth.crown_length_mm + MARGIN_MM]
        axes = [np.arange(a, b + step_mm, step_mm) for a, b in zip(low, high, strict=True)]
        return cls(axes[0][:, None, None], axes[1][None, :, None], axes[2][None, None, :])

    @property
    def low_mm(self) -> Floats:
        """The first place, shape (3,). [mm]"""
        return np.array([self.mesial[0, 0, 0], self.buccal[0, 0, 0], self.height[0, 0, 0]])

    def points(self) -> Floats:
        """Every place, shape (X, Y, Z, 3). [mm]"""
        return np.stack(np.broadcast_arrays(self.mesial, self.buccal, self.height), axis=-1)


__all__ = ["STEP_MM", "ToothGrid"]
