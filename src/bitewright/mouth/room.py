"""What bounds a receptor above and below: palate and floor of the mouth.

A plain model, our choice: the vault rises as a flattened arch from the gum beside the upper teeth
to its depth at the midline, and from the front teeth backwards; the floor lies the measured depth
below the lower gum, deepening backwards along the row and towards the midline.
"""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from bitewright.mouth.outlines import Outlines

Floats = NDArray[np.float64]

VAULT_POWER = 2.5
VAULT_FRONT_MM = 16.0
GUM_SHARE = 0.85
FLOOR_FRONT_SHARE = 7.44 / 10.28
FLOOR_BACK_SHARE = 12.0 / 10.28
FLOOR_MIDLINE_GAIN = 0.2


@dataclass(frozen=True, slots=True, eq=False)
class RoomLimits:
    """Palate and floor of one mouth, ready to be asked at many places.

    Parameters
    ----------
    back_mm, half_width_mm : (n,) float arrays
        Lingual gum line of the upper arch: place backwards and half distance between the sides.
    gum_up_mm, gum_down_mm : float
        Gum margin above the upper and below the lower cusp line. [mm]
    palate_depth_mm, floor_depth_mm : float
        As in the mouth's description. [mm]
    """

    back_mm: Floats
    half_width_mm: Floats
    gum_up_mm: float
    gum_down_mm: float
    palate_depth_mm: float
    floor_depth_mm: float

    def palate_mm(self, points_mouth: Floats) -> Floats:
        """Height of the palate above the occlusal plane over points (..., 3). [mm]"""
        beside = self._beside(points_mouth)
        forward = np.clip(points_mouth[..., 1] / VAULT_FRONT_MM, 0.0, 1.0)
        top = self.palate_depth_mm * forward * forward * (3.0 - 2.0 * forward)
        rise = np.maximum(top - self.gum_up_mm, 0.0)
        return np.asarray(self.gum_up_mm + rise * (1.0 - beside**VAULT_POWER))

    def floor_mm(self, points_mouth: Floats) -> Floats:
        """Depth of the floor below the lower cusp line under points (..., 3). [mm]"""
        back = points_mouth[..., 1]
        share = np.interp(back, [5.0, 20.0, 32.0], [FLOOR_FRONT_SHARE, 1.0, FLOOR_BACK_SHARE])
        gain = 1.0 + FLOOR_MIDLINE_GAIN * (1.0 - self._beside(points_mouth) ** 2)
        return np.asarray(self.gum_down_mm + self.floor_depth_mm * share * gain)

    def _beside(self, points_mouth: Floats) -> Floats:
        """0 at the midline, 1 at the gum beside the upper teeth."""
        half = np.interp(points_mouth[..., 1], self.back_mm, self.half_width_mm)
        return np.clip(np.abs(points_mouth[..., 0]) / half, 0.0, 1.0)


def room_limits(outlines: Outlines) -> RoomLimits:
    """Palate and floor of a built mouth."""
    upper = [row for row, code in enumerate(outlines.codes) if code // 10 in (1, 2)]
    gum = lingual_margin_mouth(outlines)[upper]
    order = np.argsort(gum[:, 1])
    teeth = outlines.mouth.teeth
    lengths = {
        up: np.mean([teeth[c].crown_length_mm for c in outlines.codes if (c // 10 in (1, 2)) == up])
        for up in (True, False)
    }
    return RoomLimits(
        back_mm=gum[order, 1],
        half_width_mm=np.maximum(np.abs(gum[order, 0]), 1.0),
        gum_up_mm=float(GUM_SHARE * lengths[True]),
        gum_down_mm=float(GUM_SHARE * lengths[False]),
        palate_depth_mm=outlines.mouth.room.palate_depth_mm,
        floor_depth_mm=outlines.mouth.room.floor_depth_mm,
    )


def lingual_margin_mouth(outlines: Outlines) -> Floats:
    """Middle of the lingual neck of every tooth present, shape (T, 3). [mm]"""
    teeth = np.arange(len(outlines.codes))
    row = outlines.sections.at(teeth, np.zeros(len(teeth)))
    local = np.column_stack([row[:, 0], row[:, 2] - row[:, 3], np.zeros(len(teeth))])
    placed = np.einsum("tk,tkc->tc", local, outlines.axes_mouth)
    return np.asarray(outlines.origins_mouth + placed)


def lingual_bulge_mouth(outlines: Outlines) -> Floats:
    """Points along the lingual height of contour of every crown, shape (T, 7, 3). [mm]"""
    share = np.linspace(-0.9, 0.9, 7)
    teeth = np.arange(len(outlines.codes))
    height = 0.45 * outlines.sections.crown_mm
    row = outlines.sections.at(teeth, height)[:, None, :]
    reach = (1.0 - np.abs(share) ** row[..., 4]) ** (1.0 / row[..., 4])
    local = np.stack(
        np.broadcast_arrays(
            row[..., 0] + row[..., 1] * share,
            row[..., 2] - row[..., 3] * reach,
            height[:, None],
        ),
        axis=-1,
    )
    placed = np.einsum("tmk,tkc->tmc", local, outlines.axes_mouth)
    return np.asarray(outlines.origins_mouth[:, None] + placed)


__all__ = ["RoomLimits", "lingual_bulge_mouth", "lingual_margin_mouth", "room_limits"]
