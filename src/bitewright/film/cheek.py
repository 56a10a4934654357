"""Cheek and lips beside a side's teeth, as one closed slab whose thickness makes the tone.

Between the teeth a film is dark grey at the back, where cheek and masseter are thick, and near
black in front, where the holder keeps the corner of the mouth open. The tongue needs no solid: the
receptor lies between it and the teeth, and no ray goes on past the receptor. Figures:
``tables/cheek.toml``.
"""

from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from bitewright.exposing.region import Region
from bitewright.exposing.region_frame import RegionFrame, region_frame
from bitewright.figure_tables import figures_of
from bitewright.mouth.outlines import Outlines
from bitewright.solids.blends import rise
from bitewright.solids.fixed_noise import slow_noise
from bitewright.solids.lofts import loft
from bitewright.space import ClosedMesh

Floats = NDArray[np.float64]

HALF_HEIGHT_MM = 48.0
"""The slab reaches this far up and down from the occlusal plane."""

STEP_MM = 2.0
"""Distance of its grid's lines."""

UNEVEN_PLANE_MM = 3.0
"""Its unevenness is that of a plane of slow noise, so far from the noise's middle."""

UNEVEN_AT_MM = 60.0
"""And so far along each axis, where it has nothing to do with that of teeth."""


def cheek(outlines: Outlines, region: Region) -> ClosedMesh:
    """The slab beside a region's side, in the mouth frame, jaws closed. [mm]

    Our model: its thickness hangs on the place along the row, with lips in front and a fold above
    and below; nothing but the thickness shows on a film.

    Parameters
    ----------
    outlines : Outlines
    region : Region
        Only its side and where its middle lies count.
    """
    along_mm = CHEEK.profile.along_mm
    frame = region_frame(outlines, region)
    out, front = -frame.tongue_mouth, frame.front_mouth
    along = np.arange(along_mm[0], along_mm[-1] + STEP_MM, STEP_MM)
    height = np.arange(-HALF_HEIGHT_MM, HALF_HEIGHT_MM + STEP_MM, STEP_MM)
    thick = _thickness_mm(along[:, None], height[None, :])
    foot = _premolar_contact(outlines, region, frame) + CHEEK.beside_mm * out
    inner = foot + along[:, None, None] * front + height[None, :, None] * np.array([0.0, 0.0, 1.0])
    outer = inner + thick[..., None] * out
    return loft(np.concatenate([inner, outer[:, ::-1]], axis=1))


def _thickness_mm(along: Floats, height: Floats) -> Floats:
    """Thickness of the soft tissue beside the teeth, (along, height). [mm]"""
    lip_form, fold_form, uneven = CHEEK.lip, CHEEK.fold, CHEEK.uneven
    plain = np.interp(along, CHEEK.profile.along_mm, CHEEK.profile.thick_mm)
    far = np.abs(height)
    lip = lip_form.thick_mm * rise((far - lip_form.from_mm) / lip_form.over_mm)
    fold = fold_form.thick_mm * rise((far - fold_form.from_mm) / fold_form.over_mm)
    fold = fold * rise((fold_form.front_mm - along) / fold_form.front_over_mm)
    points = np.stack(np.broadcast_arrays(along, height, UNEVEN_PLANE_MM), axis=-1)
    times = 1.0 + uneven.share * slow_noise(points + UNEVEN_AT_MM, uneven.size_mm)
    return np.asarray((np.hypot(plain, lip) + fold) * times)


def _premolar_contact(outlines: Outlines, region: Region, frame: RegionFrame) -> Floats:
    """Where second premolar and first molar meet, or would, on the region's line. [mm]"""
    middle = frame.middle_mouth
    places = [10 * quadrant + place for quadrant in region.quadrants for place in (5, 6)]
    found = [outlines.crown_middle_mouth(code) for code in places if code in outlines.row]
    if not found:
        return middle
    along = float((np.mean(found, axis=0) - middle) @ frame.front_mouth)
    return np.asarray(middle + along * frame.front_mouth)


class CheekProfile(NamedTuple):
    """How thick the cheek is from back to front."""

    along_mm: tuple[float, ...]
    thick_mm: tuple[float, ...]


class Lip(NamedTuple):
    """Lips over the necks of the front teeth."""

    thick_mm: float
    from_mm: float
    over_mm: float


class CheekFold(NamedTuple):
    """The fold where cheek runs into gum."""

    thick_mm: float
    from_mm: float
    over_mm: float
    front_mm: float
    front_over_mm: float


class UnevenCheek(NamedTuple):
    """How uneven the cheek is."""

    share: float
    size_mm: float


class Cheek(NamedTuple):
    """Cheek and lips beside a side's teeth."""

    beside_mm: float
    profile: CheekProfile
    lip: Lip
    fold: CheekFold
    uneven: UnevenCheek


CHEEK = figures_of(Cheek, "bitewright.film", "cheek")

__all__ = ["cheek"]
