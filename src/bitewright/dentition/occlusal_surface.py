"""The chewing surface: cones at the cusps, valleys where they meet, ridges at the ends.

A height field in the tooth's own axes. Where cones meet, fissures arise by themselves.
Slopes and roundness are our choice.
"""

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from bitewright.dentition.mouth import Tooth
from bitewright.dentition.tooth_forms import tooth_form, tooth_size

Floats = NDArray[np.float64]

SLOPE = 0.58
TIP_ROUNDNESS_MM = 0.16
STEEPENING_PER_MM = 0.03
NO_CUSP_MM = -1e3


@dataclass(frozen=True, slots=True, eq=False)
class Cusps:
    """Cusp tips of T teeth in their own axes, padded to the same count.

    Parameters
    ----------
    tips_tooth : (T, Q, 3) float array
        Mesial, buccal, occlusal; unused rows lie `NO_CUSP_MM` deep. [mm]
    names : tuple of T tuples of str
        Names of the used rows.
    """

    tips_tooth: Floats
    names: tuple[tuple[str, ...], ...]

    def height_mm(self, tooth: NDArray[np.intp], mesial_mm: Floats, buccal_mm: Floats) -> Floats:
        """Height of the chewing surface at places of teeth (same shapes). [mm]"""
        tips = self.tips_tooth[tooth]
        across = np.hypot(mesial_mm[..., None] - tips[..., 0], buccal_mm[..., None] - tips[..., 1])
        down = np.hypot(SLOPE * across, TIP_ROUNDNESS_MM) - TIP_ROUNDNESS_MM
        return np.asarray((tips[..., 2] - down * (1.0 + STEEPENING_PER_MM * down)).max(axis=-1))

    def take(self, rows: list[int]) -> "Cusps":
        """The cusps of some of the teeth."""
        return Cusps(self.tips_tooth[rows], tuple(self.names[row] for row in rows))


def cusps(codes: Sequence[int], teeth: Sequence[Tooth]) -> Cusps:
    """Place the cusps of teeth from the standard shares of their own sizes."""
    shapes = [tooth_form(code).cusps for code in codes]
    most = max(len(shape) for shape in shapes)
    tips = np.full((len(codes), most, 3), (0.0, 0.0, NO_CUSP_MM))
    for row, shape in enumerate(shapes):
        tips[row, : len(shape)] = list(shape.values())
    used = tips[:, :, 2] != NO_CUSP_MM
    size = np.array([(t.md_crown_mm, t.bl_crown_mm, t.crown_length_mm) for t in teeth])
    share = (size[:, 2] / np.array([tooth_size(code).crown_length_mm for code in codes]))[:, None]
    tips[:, :, :2] *= size[:, None, :2]
    tips[:, :, 2] = np.where(used, size[:, None, 2] - share * tips[:, :, 2], NO_CUSP_MM)
    return Cusps(tips, tuple(tuple(shape) for shape in shapes))


def joined_cusps(parts: Sequence[Cusps]) -> Cusps:
    """The cusps of several arches as one table."""
    most = max(part.tips_tooth.shape[1] for part in parts)
    unused = (0.0, 0.0, NO_CUSP_MM)
    tips = [
        np.concatenate(
            [
                part.tips_tooth,
                np.full((len(part.names), most - part.tips_tooth.shape[1], 3), unused),
            ],
            axis=1,
        )
        for part in parts
    ]
    return Cusps(np.concatenate(tips), tuple(names for part in parts for names in part.names))


__all__ = ["Cusps", "cusps", "joined_cusps"]
