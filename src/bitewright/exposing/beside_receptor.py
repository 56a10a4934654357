"""The tooth beside a receptor's middle, and the space between the two, as an operator sees them."""

import numpy as np

from bitewright.exposing.exposure import Exposures
from bitewright.mouth.jaws import opened
from bitewright.mouth.room import lingual_bulge_mouth

FIRST_PLACE = 4
"""Of the back teeth."""


def tooth_beside(exposures: Exposures) -> int:
    """The back tooth whose middle lies nearest to that of the first exposure's casing."""
    at, seated = exposures.station, exposures.seat
    front = at.region.front_sign * seated.axes_mouth[0, 0]
    middle = seated.centres_mouth[0] + at.seating.offset_along_mm * front
    lines = at.outlines
    codes = [c for c in lines.codes if c // 10 in at.region.quadrants]
    back = [code for code in codes if code % 10 >= FIRST_PLACE] or codes

    def away(code: int) -> float:
        return abs(float((lines.origins_mouth[lines.row[code]] - middle) @ front))

    return min(back, key=away)


def space_to_tooth_mm(exposures: Exposures, code: int) -> float:
    """Free space between a crown's inner side and the first exposure's casing. [mm]"""
    at, seated = exposures.station, exposures.seat
    away = seated.axes_mouth[0, 2]
    face = seated.centres_mouth[0] - at.receptor.active_depth_mm * away
    points = lingual_bulge_mouth(at.outlines)[at.outlines.row[code]]
    if code // 10 in (3, 4):
        points = opened(points, at.outlines.hinge_mm, float(seated.opening_deg[0]))
    return float(-np.max((points - face) @ away))


__all__ = ["space_to_tooth_mm", "tooth_beside"]
