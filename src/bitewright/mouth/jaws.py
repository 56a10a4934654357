"""The jaws: what relating them needs of an arch, and how the mandible opens.

Opening turns the lower jaw about the intercondylar axis of Bonwill's triangle.
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


__all__ = ["ArchParts", "hinge_axis_mm", "opened"]
