"""How far a crown's sides lie in from the outlines' sections, away from where contacts are. [mm]

Seen from above real crowns are rounder at their line angles than the sections, each of the four by
its own amount; seen from the side each proximal profile has a swell of its own between neck and
contact. Where contacts, necks, crest points and sizes are measured nothing changes. Figures:
``tables/crown_sides.toml``.
"""

from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from bitewright.figure_tables import figures_of
from bitewright.solids.blends import rise
from bitewright.solids.placed_tooth import PlacedTooth

Floats = NDArray[np.float64]

USUAL_SIZE_MM = 10.0
"""Line angles are given for teeth this wide and broad, and grow with the smaller of both."""


def line_angles_mm(placed: PlacedTooth, along: Floats, across: Floats, height: Floats) -> Floats:
    """How far a crown's sides lie in at its line angles, which are rounder than the sections. [mm]

    Our model, after general anatomy: an amount for each of the four, interpolated between them.
    Crowns with a shape of their own have it in their sections, and none is added.

    Parameters
    ----------
    placed : PlacedTooth
    along, across : float arrays
        Places as shares of the half width, mesial positive, and of the half breadth, cheek
        positive.
    height : float array
        Above the neck. [mm]

    Returns
    -------
    float array
        Of the shape all three make together; inward positive. [mm]
    """
    form = CROWN_SIDES.line_angles
    if placed.tooth.has_own_shape:
        return np.zeros(np.broadcast_shapes(along.shape, across.shape, height.shape))
    contact = float(placed.sections.contact_mm[placed.row].mean())
    left = placed.tooth.crown_length_mm - contact
    up = rise(height / contact) * rise((contact + form.top_share * left - height) / left)
    size = min(placed.tooth.bl_crown_mm, placed.tooth.md_crown_mm) / USUAL_SIZE_MM
    near = rise((np.abs(across) - form.across_from_share) / form.across_over_share)
    near = near * rise((np.abs(along) - form.along_from_share) / form.along_over_share)
    own = 1.0 - form.own_share, 1.0 + form.own_share
    in_mm = form.mesiobuccal_mm, form.distobuccal_mm, form.mesiolingual_mm, form.distolingual_mm
    angles = [most * placed.between(own, 30 + number) for number, most in enumerate(in_mm)]
    # One bilinear patch through the four corners: mesial is positive along, buccal across.
    m = 0.5 + 0.5 * np.clip(form.corner_at_share * along, -1.0, 1.0)
    b = 0.5 + 0.5 * np.clip(form.corner_at_share * across, -1.0, 1.0)
    amount = b * (m * angles[0] + (1 - m) * angles[1])
    amount = amount + (1 - b) * (m * angles[2] + (1 - m) * angles[3])
    return np.asarray(size * up * near * amount)


def swells_mm(placed: PlacedTooth, along: Floats, height: Floats) -> Floats:
    """How far a crown's proximal sides lie in where their profiles swell or flatten. [mm]

    Our model, after general anatomy: one swell between neck and contact on each side, and in
    premolars and molars a corner that stands out below the marginal ridge.

    Parameters
    ----------
    placed : PlacedTooth
    along : float array
        Places as shares of the half width, mesial positive.
    height : float array
        Above the neck. [mm]

    Returns
    -------
    float array
        Of the shape both make together; inward positive. [mm]
    """
    form, corner_form = CROWN_SIDES.swell, CROWN_SIDES.ridge_corner
    total = np.zeros(np.broadcast_shapes(along.shape, height.shape))
    for side, (sign, limits) in enumerate(((1.0, form.mesial_mm), (-1.0, form.distal_mm))):
        contact = float(placed.sections.contact_mm[placed.row, side])
        share = height / contact
        bump = rise(1.0 - np.abs(share - form.at_share) / form.reach_share)
        own = placed.between(limits, 40 + side)
        left = (height - contact) / (placed.tooth.crown_length_mm - contact)
        corner = rise(1.0 - np.abs(left - corner_form.at_share) / corner_form.reach_share)
        out = placed.between(corner_form.out_mm, 44 + side) * (placed.place >= 4)
        swell = own * bump - out * corner
        total = total + swell * rise((sign * along - form.side_from_share) / form.side_over_share)
    return np.asarray(total)


class LineAngles(NamedTuple):
    """How far its line angles lie in."""

    mesiobuccal_mm: float
    distobuccal_mm: float
    mesiolingual_mm: float
    distolingual_mm: float
    own_share: float
    top_share: float
    across_from_share: float
    across_over_share: float
    along_from_share: float
    along_over_share: float
    corner_at_share: float


class ProximalSwell(NamedTuple):
    """How its proximal profiles swell."""

    mesial_mm: tuple[float, float]
    distal_mm: tuple[float, float]
    at_share: float
    reach_share: float
    side_from_share: float
    side_over_share: float


class RidgeCorner(NamedTuple):
    """How a side stands out below the marginal ridge."""

    out_mm: tuple[float, float]
    at_share: float
    reach_share: float


class CrownSides(NamedTuple):
    """A crown's sides where no contact is."""

    line_angles: LineAngles
    swell: ProximalSwell
    ridge_corner: RidgeCorner


CROWN_SIDES = figures_of(CrownSides, "bitewright.solids", "crown_sides")

__all__ = ["line_angles_mm", "swells_mm"]
