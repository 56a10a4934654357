"""Cheek and lips beside a side's teeth, as one closed slab whose thickness makes the tone.

Between the teeth a film is dark grey at the back, where cheek and masseter are thick, and near
black in front, where the holder keeps the corner of the mouth open. The tongue needs no solid: the
receptor lies between it and the teeth, and no ray goes on past the receptor.
"""

import numpy as np
from numpy.typing import NDArray

from bitewright.exposing.region import Region
from bitewright.exposing.region_frame import RegionFrame, region_frame
from bitewright.mouth.outlines import Outlines
from bitewright.solids.blends import rise
from bitewright.solids.fixed_noise import slow_noise
from bitewright.solids.lofts import loft
from bitewright.space import ClosedMesh

Floats = NDArray[np.float64]

CHEEK_MM = (
    (-50.0, 36.0),
    (-20.0, 31.0),
    (-9.0, 24.5),
    (-2.0, 14.5),
    (5.0, 8.0),
    (9.0, 3.4),
    (13.0, 0.6),
    (16.0, 0.15),
    (48.0, 0.15),
)
"""Thickness at places in front of the contact of second premolar and first molar, from the greys
between the teeth of one real plate. Our choice."""

LIP_MM = 3.2
LIP_FROM_MM = 8.0
LIP_OVER_MM = 6.0
"""Lips over the necks of the front teeth: thickness, distance from the occlusal plane at which they
begin, and over which they come to their full thickness. Our choice."""

FOLD_MM = 2.5
FOLD_FROM_MM = 13.0
"""The fold where cheek runs into gum. Our choice."""

UNEVEN = 0.035
UNEVEN_SIZE_MM = 11.0
"""Fat and muscle make the cheek's shadow uneven. Our choice."""

BESIDE_MM = 18.0
"""The slab stands this far out, clear of all bone; how far does not show."""

HALF_HEIGHT_MM = 48.0
STEP_MM = 2.0


def cheek(outlines: Outlines, region: Region) -> ClosedMesh:
    """The slab beside a region's side, in the mouth frame, jaws closed. [mm]"""
    frame = region_frame(outlines, region)
    out, front = -frame.tongue_mouth, frame.front_mouth
    along = np.arange(CHEEK_MM[0][0], CHEEK_MM[-1][0] + STEP_MM, STEP_MM)
    height = np.arange(-HALF_HEIGHT_MM, HALF_HEIGHT_MM + STEP_MM, STEP_MM)
    thick = _thickness_mm(along[:, None], height[None, :])
    foot = _premolar_contact(outlines, region, frame) + BESIDE_MM * out
    inner = foot + along[:, None, None] * front + height[None, :, None] * np.array([0.0, 0.0, 1.0])
    outer = inner + thick[..., None] * out
    return loft(np.concatenate([inner, outer[:, ::-1]], axis=1))


def _thickness_mm(along: Floats, height: Floats) -> Floats:
    """Thickness of the soft tissue beside the teeth, (along, height). [mm]"""
    places, depths = np.array(CHEEK_MM).T
    plain = np.interp(along, places, depths)
    far = np.abs(height)
    lip = LIP_MM * rise((far - LIP_FROM_MM) / LIP_OVER_MM)
    fold = FOLD_MM * rise((far - FOLD_FROM_MM) / 6.0) * rise((8.0 - along) / 16.0)
    points = np.stack(np.broadcast_arrays(along, height, 3.0), axis=-1)
    uneven = 1.0 + UNEVEN * slow_noise(points + 60.0, UNEVEN_SIZE_MM)
    return np.asarray((np.hypot(plain, lip) + fold) * uneven)


def _premolar_contact(outlines: Outlines, region: Region, frame: RegionFrame) -> Floats:
    """Where second premolar and first molar meet, or would, on the region's line. [mm]"""
    middle = frame.middle_mouth
    places = [10 * quadrant + place for quadrant in region.quadrants for place in (5, 6)]
    found = [outlines.crown_middle_mouth(code) for code in places if code in outlines.row]
    if not found:
        return middle
    along = float((np.mean(found, axis=0) - middle) @ frame.front_mouth)
    return np.asarray(middle + along * frame.front_mouth)


__all__ = ["cheek"]
