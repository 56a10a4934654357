"""Placement as the trade says it: against which teeth the receptor's edges lie."""

from dataclasses import dataclass
from enum import StrEnum

import numpy as np
from numpy.typing import NDArray

from bitewright.exposing.exposure import Exposures
from bitewright.mouth.jaws import opened
from bitewright.mouth.outlines import Outlines

Floats = NDArray[np.float64]


class EdgeName(StrEnum):
    """An edge of the receptor across the row of teeth."""

    CASING_FRONT = "front edge of the casing"
    ACTIVE_FRONT = "front edge of the active area"
    ACTIVE_BACK = "back edge of the active area"
    CASING_BACK = "back edge of the casing"


@dataclass(frozen=True, slots=True, kw_only=True)
class EdgePlace:
    """Where one edge lies against one row of teeth.

    ``tooth`` is the ISO 3950 code of the tooth it lies against, or of the nearest one; ``words``
    says which part of it, or that the edge lies beyond the row.
    """

    edge: EdgeName
    upper: bool
    tooth: int
    words: str


def edge_places(exposures: Exposures) -> tuple[EdgePlace, ...]:
    """The four edges of the first exposure's receptor, against the upper and the lower row.

    Looking square onto the receptor, as an operator does when seating it.
    """
    seat, plan = exposures.seat, exposures.station.seating
    front = exposures.station.region.front_sign * seat.axes_mouth[0, 0]
    centre = seat.centres_mouth[0]
    casing = plan.offset_along_mm
    along = {
        EdgeName.CASING_FRONT: casing + plan.half_along_mm,
        EdgeName.ACTIVE_FRONT: exposures.station.half_width_mm,
        EdgeName.ACTIVE_BACK: -exposures.station.half_width_mm,
        EdgeName.CASING_BACK: casing - plan.half_along_mm,
    }
    rows = {
        upper: _row(exposures.station.outlines, quadrant, front, centre, opening)
        for upper, quadrant, opening in zip(
            (True, False),
            exposures.station.region.quadrants,
            (0.0, float(seat.opening_deg[0])),
            strict=True,
        )
    }
    return tuple(
        EdgePlace(edge=edge, upper=upper, tooth=where[0], words=where[1])
        for edge, place in along.items()
        for upper, row in rows.items()
        if row
        for where in [_against(row, place)]
    )


Row = list[tuple[int, float, float]]


def _row(
    outlines: Outlines, quadrant: int, front: Floats, centre: Floats, opening_deg: float
) -> Row:
    """Code, back end and front end of every tooth of a quadrant along the receptor, front first."""
    row = []
    for code in sorted(c for c in outlines.codes if c // 10 == quadrant):
        points = outlines.flanks_mouth[outlines.row[code]].reshape(-1, 3)
        along = (opened(points, outlines.hinge_mm, opening_deg) - centre) @ front
        row.append((code, float(along.min()), float(along.max())))
    return row


def _against(row: Row, place: float) -> tuple[int, str]:
    # Seen along the receptor the curve of the arch hides front teeth behind back ones: the back
    # one, nearer the receptor, is what an operator sees.
    for code, back, front in reversed(row):
        if back <= place <= front:
            share = (place - back) / (front - back)
            part = ("distal third", "middle third", "mesial third")[min(int(3 * share), 2)]
            return code, f"{part} of {code}"
    if place > row[0][2]:
        return row[0][0], f"in front of {row[0][0]}"
    if place < row[-1][1]:
        return row[-1][0], f"behind {row[-1][0]}"
    near = min(row, key=lambda tooth: min(abs(place - tooth[1]), abs(place - tooth[2])))
    side = "mesial" if abs(place - near[2]) < abs(place - near[1]) else "distal"
    return near[0], f"in the space {side} to {near[0]}"


__all__ = ["EdgeName", "EdgePlace", "edge_places"]
