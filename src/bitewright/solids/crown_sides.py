"""How far a crown's sides lie in from the outlines' sections, away from where contacts are. [mm]

Seen from above real crowns are rounder at their line angles than the sections, each of the four by
its own amount; seen from the side each proximal profile has a swell of its own between neck and
contact. Where contacts, necks, crest points and sizes are measured nothing changes. General
anatomy; figures are our choice.
"""

import numpy as np
from numpy.typing import NDArray

from bitewright.solids.blends import rise
from bitewright.solids.placed_tooth import PlacedTooth

Floats = NDArray[np.float64]

LINE_ANGLE_MM = {
    "mesiobuccal": 0.10,
    "distobuccal": 0.25,
    "mesiolingual": 0.20,
    "distolingual": 0.35,
}
"""How far the line angles lie in at the height of the contacts, of teeth as broad as molars."""

OWN_SHARE = 0.45
"""A tooth's own line angles differ from these by this share at most."""

TOP_SHARE = 1.2
"""Rounding fades towards cusps, from this share of the way from the contact to the crown's top."""

ACROSS_FROM, ACROSS_OVER = 0.38, 0.60
ALONG_FROM, ALONG_OVER = 0.15, 0.75
"""Shares of the half breadth and half width at which rounding begins, and over which it grows: the
middle of proximal sides, where contacts are, and of cheek and tongue sides stays."""

SWELL_MM, SWELL_AT, SWELL_REACH = ((-0.06, 0.16), (-0.16, 0.06)), 0.42, 0.30
"""Mesial profiles are flatter between neck and contact, distal ones fuller: they lie in by so much,
least and most, at this share of the contact's height, fading over so far from it."""


CORNER_MM, CORNER_AT, CORNER_REACH = (0.10, 0.34), 0.62, 0.34
"""Of premolars and molars: above the contact, where a side passes into the marginal ridge, it
stands out by so much, least and most, at this share of the way up to the crown's top, fading over
so far from it."""


def line_angles_mm(placed: PlacedTooth, along: Floats, across: Floats, height: Floats) -> Floats:
    """Of the sides at places as shares of half width and half breadth, and at heights. [mm]"""
    contact = float(placed.sections.contact_mm[placed.row].mean())
    left = placed.tooth.crown_length_mm - contact
    up = rise(height / contact) * rise((contact + TOP_SHARE * left - height) / left)
    size = min(placed.tooth.bl_crown_mm, placed.tooth.md_crown_mm) / 10.0
    near = rise((np.abs(across) - ACROSS_FROM) / ACROSS_OVER)
    near = near * rise((np.abs(along) - ALONG_FROM) / ALONG_OVER)
    angles = [
        most * placed.between((1.0 - OWN_SHARE, 1.0 + OWN_SHARE), 30 + number)
        for number, most in enumerate(LINE_ANGLE_MM.values())
    ]
    # One bilinear patch through the four corners: mesial is positive along, buccal across.
    m, b = 0.5 + 0.5 * np.clip(1.3 * along, -1.0, 1.0), 0.5 + 0.5 * np.clip(1.3 * across, -1.0, 1.0)
    amount = b * (m * angles[0] + (1 - m) * angles[1])
    amount = amount + (1 - b) * (m * angles[2] + (1 - m) * angles[3])
    return np.asarray(size * up * near * amount)


def swells_mm(placed: PlacedTooth, along: Floats, height: Floats) -> Floats:
    """Of the proximal sides between neck and contact. [mm]"""
    total = np.zeros(np.broadcast_shapes(along.shape, height.shape))
    for side, sign in enumerate((1.0, -1.0)):
        contact = float(placed.sections.contact_mm[placed.row, side])
        share = height / contact
        bump = rise(1.0 - np.abs(share - SWELL_AT) / SWELL_REACH)
        own = placed.between(SWELL_MM[side], 40 + side)
        left = (height - contact) / (placed.tooth.crown_length_mm - contact)
        corner = rise(1.0 - np.abs(left - CORNER_AT) / CORNER_REACH)
        out = placed.between(CORNER_MM, 44 + side) * (placed.place >= 4)
        swell = own * bump - out * corner
        total = total + swell * rise((sign * along - 0.4) / 0.4)
    return np.asarray(total)


__all__ = ["line_angles_mm", "swells_mm"]
