"""Fans: at each contact, the directions of the tube in which it is open, seen from above."""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from bitewright.mouth.flanks import DISTAL, MESIAL
from bitewright.mouth.jaws import opened
from bitewright.mouth.open_direction import across_beams
from bitewright.mouth.outlines import ContactSite, Outlines
from bitewright.mouth.tooth_forms import is_right, is_upper
from bitewright.quality.criteria import overlap_limits

Floats = NDArray[np.float64]

SEARCH_DEG = 30.0
STEP_DEG = 0.25
HEIGHTS = 15
"""Heights at which two flanks are compared."""

LEAST_RISE_MM = 1e-6


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class OpenFan:
    """The directions in which one contact is open for a parallel beam.

    Parameters
    ----------
    site : ContactSite
    is_lower : bool
    low_deg, high_deg : float or None
        Unbroken range round the direction of least overlap, as `ContactSite.open_azimuth_deg`:
        0 straight from the side, positive with the tube towards the front; None if the contact
        is open from nowhere. [deg]
    least_overlap_mm : float
        Overlap in the best direction; negative is a space. [mm]
    """

    site: ContactSite
    is_lower: bool
    low_deg: float | None
    high_deg: float | None
    least_overlap_mm: float

    def holds(self, azimuth_deg: float) -> bool:
        """Whether a beam of this direction passes the contact open."""
        if self.low_deg is None or self.high_deg is None:
            return False
        return self.low_deg <= azimuth_deg <= self.high_deg

    def outside_deg(self, azimuth_deg: float) -> float | None:
        """How far a beam lies outside, positive with the tube too far to the front. [deg]

        Nought in the fan; None if the contact is open from nowhere.
        """
        if self.low_deg is None or self.high_deg is None:
            return None
        return max(azimuth_deg - self.high_deg, 0.0) + min(azimuth_deg - self.low_deg, 0.0)


def open_fans(
    outlines: Outlines, *, vertical_deg: float = 0.0, opening_deg: float = 0.0
) -> tuple[OpenFan, ...]:
    """The fan of every contact within the quadrants of both arches.

    Model: the flanks' outlines in a parallel beam, compared height by height; open up to the
    limit of the criteria. A dental tube's rays part by about 1 degree over a tooth, which this
    leaves out. The search goes 30 degrees to both sides of the facet's own direction; our choice.

    Parameters
    ----------
    outlines : Outlines
    vertical_deg : float
        Positive with the tube above the occlusal plane, pointing down. [deg]
    opening_deg : float
        How far the mandible is open: it tips the lower crowns in the beam. [deg]
    """
    limit_mm = overlap_limits().open_mm
    steps = round(SEARCH_DEG / STEP_DEG)
    swings = STEP_DEG * np.arange(-steps, steps + 1, dtype=np.float64)
    fans = []
    for site in outlines.sites:
        azimuths = site.open_azimuth_deg + swings
        overlap = overlaps_at_mm(
            outlines, site, azimuths, vertical_deg=vertical_deg, opening_deg=opening_deg
        )
        least = int(overlap.argmin())
        shut = np.flatnonzero(overlap > limit_mm)
        is_ever = overlap[least] <= limit_mm
        first = int(shut[shut < least].max(initial=-1)) + 1
        last = int(shut[shut > least].min(initial=len(swings))) - 1
        fans.append(
            OpenFan(
                site=site,
                is_lower=not is_upper(site.pair[0]),
                low_deg=float(azimuths[first]) if is_ever else None,
                high_deg=float(azimuths[last]) if is_ever else None,
                least_overlap_mm=float(overlap[least]),
            )
        )
    return tuple(fans)


def overlaps_at_mm(
    outlines: Outlines,
    site: ContactSite,
    azimuths_deg: Floats,
    *,
    vertical_deg: float,
    opening_deg: float = 0.0,
) -> Floats:
    """Widest overlap (A,) of a contact's two flanks for parallel beams. [mm]

    Exact for the outlines: level parallel beams, rows up the crowns.
    """
    right = is_right(site.pair[0])
    along = across_beams(azimuths_deg, right=right)
    level = np.stack([along[:, 1], -along[:, 0], 0 * along[:, 0]], axis=-1) * (1 if right else -1)
    angle = np.deg2rad(vertical_deg)
    up = np.array([0.0, 0.0, np.cos(angle)]) - np.sin(angle) * level
    hinge, tipped = outlines.hinge_mm, 0.0 if is_upper(site.pair[0]) else opening_deg
    front, back = (
        opened(outlines.flanks_mouth[outlines.row[code], side], hinge, tipped)
        - opened(site.point_mouth, hinge, tipped)
        for code, side in zip(site.pair, (DISTAL, MESIAL), strict=True)
    )
    behind, ahead = _silhouette(back, along, up, 1.0), _silhouette(front, along, up, -1.0)
    low = np.maximum(behind[0].min(axis=1), ahead[0].min(axis=1))
    high = np.minimum(behind[0].max(axis=1), ahead[0].max(axis=1))
    heights = low[:, None] + np.linspace(0.0, 1.0, HEIGHTS) * (high - low)[:, None]
    overlap = _place_at(heights, *behind) - _place_at(heights, *ahead)
    return np.asarray(overlap.max(axis=1))


def _silhouette(flank: Floats, along: Floats, up: Floats, sign: float) -> tuple[Floats, Floats]:
    """Height and outermost place (A, K) of each row of a flank."""
    places, heights = np.moveaxis(flank @ along.T, -1, 0), np.moveaxis(flank @ up.T, -1, 0)
    outer = (sign * places).argmax(axis=2)[..., None]
    up_to, at = (np.take_along_axis(axis, outer, axis=2)[..., 0] for axis in (heights, places))
    order = np.argsort(up_to, axis=1)
    return np.take_along_axis(up_to, order, axis=1), np.take_along_axis(at, order, axis=1)


def _place_at(heights: Floats, up: Floats, along: Floats) -> Floats:
    """Places (A, H) at heights (A, H) of outlines (A, K) whose rows rise."""
    below = (up[:, None, :] <= heights[:, :, None]).sum(axis=2) - 1
    row = np.clip(below, 0, up.shape[1] - 2)
    low, high = np.take_along_axis(up, row, axis=1), np.take_along_axis(up, row + 1, axis=1)
    first, then = np.take_along_axis(along, row, axis=1), np.take_along_axis(along, row + 1, axis=1)
    share = np.clip((heights - low) / np.maximum(high - low, LEAST_RISE_MM), 0.0, 1.0)
    return np.asarray(first + share * (then - first))


__all__ = ["OpenFan", "open_fans", "overlaps_at_mm"]
