"""How large a rectangular field may be, and what a smaller field saves."""

from dataclasses import dataclass

import numpy as np

MARGIN_PER_DISTANCE = 0.02


@dataclass(frozen=True, slots=True, kw_only=True)
class Field:
    """A rectangular beam's cross-section at the receptor.

    Parameters
    ----------
    long_mm, short_mm : float
        Longer and shorter side. [mm]
    """

    long_mm: float
    short_mm: float

    @property
    def area_cm2(self) -> float:
        """Long side times short side [cm2]."""
        return self.long_mm * self.short_mm / 100.0


def largest_field(*, long_mm: float, short_mm: float, source_receptor_mm: float) -> Field:
    """The largest rectangular field for a receptor by the 2 % rule.

    Each side may exceed the receptor's by at most 2 % of the source-receptor distance.
    Source: NCRP Report 145 (2003), seen quoted at
    https://www.evidencebasedendo.com/index.cfm?fuseaction=pub.article&aid=113.

    Parameters
    ----------
    long_mm, short_mm : float
        Sides of the receptor. [mm]
    source_receptor_mm : float
        [mm]
    """
    margin_mm = MARGIN_PER_DISTANCE * source_receptor_mm
    return Field(long_mm=long_mm + margin_mm, short_mm=short_mm + margin_mm)


def circle_area_cm2(diameter_mm: float) -> float:
    """Area of a round field [mm] to [cm2]."""
    return float(np.pi * diameter_mm**2 / 400.0)


__all__ = ["Field", "circle_area_cm2", "largest_field"]
