"""Against which teeth the edges of a seated receptor lie, as an operator sees them."""

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

    CASING_FRONT = "casing-front"
    ACTIVE_FRONT = "active-front"
    ACTIVE_BACK = "active-back"
    CASING_BACK = "casing-back"


class AgainstTooth(StrEnum):
    """Where along a tooth an edge lies."""

    DISTAL_THIRD = "distal-third"
    MIDDLE_THIRD = "middle-third"
    MESIAL_THIRD = "mesial-third"
    IN_FRONT = "in-front"
    """Before the row's first tooth."""
    BEHIND = "behind"
    """Behind the row's last tooth."""
    MESIAL_SPACE = "mesial-space"
    """In the space on the tooth's mesial side."""
    DISTAL_SPACE = "distal-space"


THIRDS = (AgainstTooth.DISTAL_THIRD, AgainstTooth.MIDDLE_THIRD, AgainstTooth.MESIAL_THIRD)
"""Of a tooth, back to front."""


@dataclass(frozen=True, slots=True, kw_only=True)
class EdgePlace:
    """Where one edge lies against one row of teeth.

    ``tooth`` is the ISO 3950 code of the tooth it lies against, or of the nearest one.
    ``has_casing``: whether the receptor's casing reaches beyond its active area along the row; else
    the edges of both are one.
    """

    edge: EdgeName
    upper: bool
    tooth: int
    against: AgainstTooth
    has_casing: bool = True


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
    has_casing = bool(
        along[EdgeName.CASING_FRONT] - along[EdgeName.ACTIVE_FRONT] > LEAST_CASING_MM
        or along[EdgeName.ACTIVE_BACK] - along[EdgeName.CASING_BACK] > LEAST_CASING_MM
    )
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
        EdgePlace(edge=edge, upper=upper, tooth=where[0], against=where[1], has_casing=has_casing)
        for edge, place in along.items()
        for upper, row in rows.items()
        if row
        for where in [_against(row, place)]
    )


LEAST_CASING_MM = 0.1
"""A casing that reaches less far beyond the active area is none, as of film and plate.

Our choice."""

TOUCHING_MM = 0.5
"""Neighbours no further apart than this have a contact that an operator can see. Our choice."""


@dataclass(frozen=True, slots=True, kw_only=True)
class EdgeFromContact:
    """How far a casing's edge lies in front of a contact, negative behind it. [mm]

    ``name`` is the contact's, such as "45-46".
    """

    edge: EdgeName
    upper: bool
    name: str
    ahead_mm: float


def edges_from_contacts(exposures: Exposures) -> tuple[EdgeFromContact, ...]:
    """Front and back edge of the first exposure's casing, each from its nearest contact, per row.

    Measured square onto the receptor; rows without a contact are left out.
    """
    at, seated = exposures.station, exposures.seat
    front = at.region.front_sign * seated.axes_mouth[0, 0]
    plan, centre = at.seating, seated.centres_mouth[0]
    found = []
    for edge, place in (
        (EdgeName.CASING_FRONT, plan.offset_along_mm + plan.half_along_mm),
        (EdgeName.CASING_BACK, plan.offset_along_mm - plan.half_along_mm),
    ):
        for quadrant, opening in zip(
            at.region.quadrants, (0.0, float(seated.opening_deg[0])), strict=True
        ):
            sites = {
                site.name: place
                - float((opened(site.point_mouth, at.outlines.hinge_mm, opening) - centre) @ front)
                for site in at.outlines.sites
                if site.pair[0] // 10 == quadrant and site.gap_mm <= TOUCHING_MM
            }
            if sites:
                name = min(sites, key=lambda each: abs(sites[each]))
                is_upper = quadrant in (1, 2)
                found.append(
                    EdgeFromContact(edge=edge, upper=is_upper, name=name, ahead_mm=sites[name])
                )
    return tuple(found)


def teeth_on_block(exposures: Exposures) -> tuple[int, ...]:
    """Lower teeth, front to back, that stand on the bite block of the first exposure's holder."""
    at, seated = exposures.station, exposures.seat
    front = at.region.front_sign * seated.axes_mouth[0, 0]
    half = 0.5 * at.holder.bite_block_length_mm
    middle = at.seating.offset_along_mm
    opening = float(seated.opening_deg[0])
    row = _row(at.outlines, at.region.quadrants[1], front, seated.centres_mouth[0], opening)
    return tuple(
        code for code, back, ahead in row if back < middle + half and ahead > middle - half
    )


def behind_last_mm(exposures: Exposures) -> Floats:
    """How far each receptor's back edge reaches behind its side's last tooth, (E,). [mm]

    Seen square onto the receptor, the jaws closed; negative where it ends before that tooth's back.
    """
    at, seated = exposures.station, exposures.seat
    front = at.region.front_sign * seated.axes_mouth[:, 0]
    back_edge = at.seating.offset_along_mm - at.seating.half_along_mm
    lines = at.outlines
    rows = [lines.row[code] for code in lines.codes if code // 10 in at.region.quadrants]
    points = lines.flanks_mouth[rows].reshape(-1, 3)
    # Many exposures lie along few directions.
    ways, which = np.unique(front, axis=0, return_inverse=True)
    last = np.array([(points @ way).min() for way in ways])[which.reshape(-1)]
    return np.asarray(last - np.einsum("ec,ec->e", seated.centres_mouth, front) - back_edge)


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


def _against(row: Row, place: float) -> tuple[int, AgainstTooth]:
    # Seen along the receptor the curve of the arch hides front teeth behind back ones: the back
    # one, nearer the receptor, is what an operator sees.
    for code, back, front in reversed(row):
        if back <= place <= front:
            share = (place - back) / (front - back)
            return code, THIRDS[min(int(3 * share), 2)]
    if place > row[0][2]:
        return row[0][0], AgainstTooth.IN_FRONT
    if place < row[-1][1]:
        return row[-1][0], AgainstTooth.BEHIND
    near = min(row, key=lambda tooth: min(abs(place - tooth[1]), abs(place - tooth[2])))
    is_mesial = abs(place - near[2]) < abs(place - near[1])
    return near[0], AgainstTooth.MESIAL_SPACE if is_mesial else AgainstTooth.DISTAL_SPACE


__all__ = [
    "THIRDS",
    "AgainstTooth",
    "EdgeFromContact",
    "EdgeName",
    "EdgePlace",
    "behind_last_mm",
    "edge_places",
    "edges_from_contacts",
    "teeth_on_block",
]
