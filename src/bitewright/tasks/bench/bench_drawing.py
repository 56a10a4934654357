"""What the bench draws, as plain numbers in millimetres: from above, along the row, from the side.

Places are to the right and down as a person sees them; see `report.exposure_views`.
"""

from typing import Any

import numpy as np
from numpy.typing import NDArray

from bitewright.exposing.contact_error import contact_errors_deg
from bitewright.exposing.exposure import Exposures, Station
from bitewright.exposing.seating import Seat
from bitewright.mouth.jaws import opened
from bitewright.planning.open_fans import OpenFan
from bitewright.report import exposure_views as views

Floats = NDArray[np.float64]
Document = dict[str, Any]
SeatedDrawing = Document
FansDrawing = list[Document]

SECTION_STEPS = 33


def still_drawing(exposure: Exposures) -> Document:
    """What stays while tube and receptor move: the teeth and the region's directions.

    ``exposure`` is any at the station.
    """
    at = exposure.station
    frame = at.seating.frame
    return {
        "front_sign": at.region.front_sign,
        "front": _places(views.above(frame.front_mouth)),
        "tongue": _places(views.above(frame.tongue_mouth)),
        "teeth": [
            {
                "code": code,
                "lower": lower,
                "own": code // 10 in at.region.quadrants,
                "outline": _places(views.hull(views.above(points))),
                "middle": _places(views.hull(views.above(points)).mean(axis=0)),
            }
            for lower in (False, True)
            for code, points in views.crowns_mouth(at, exposure.seat, lower=lower).items()
        ],
    }


def moving_drawing(
    exposure: Exposures, fans: tuple[OpenFan, ...], stays: SeatedDrawing
) -> Document:
    """Receptor, tube, beam and lower teeth of one exposure in all three drawings.

    ``stays`` is the `seated_drawing` of its seat.
    """
    moves = tube_drawing(exposure, fans)
    drawn = fans_drawing(fans, exposure.station, exposure.seat)
    return {**moves, **{name: {**moves[name], **stays[name]} for name in stays}, "fans": drawn}


def tube_drawing(exposure: Exposures, fans: tuple[OpenFan, ...]) -> Document:
    """What of all three drawings may move whenever a hand does."""
    at = exposure.station
    casing, active = views.from_side(exposure)
    errors = contact_errors_deg(exposure, tuple(fan.site for fan in fans))[0]
    own = [fan.site.pair[0] // 10 in at.region.quadrants for fan in fans]
    return {
        "above": _laid(views.from_above(exposure)),
        "row": _laid(views.along_row(exposure, origin_mouth=row_origin(at))),
        "side": {"casing": _places(casing), "active": _places(active)},
        "solid": _solid(exposure),
        "beam_in_fan": {
            fan.site.name: bool(mine and fan.holds(float(error) + fan.site.open_azimuth_deg))
            for fan, error, mine in zip(fans, errors, own, strict=True)
        },
    }


def seated_drawing(at: Station, seat: Seat) -> SeatedDrawing:
    """What stays while only the tube moves: the teeth as opened, palate and floor."""
    origin = row_origin(at)
    own = {
        lower: {
            code: points
            for code, points in views.crowns_mouth(at, seat, lower=lower).items()
            if code // 10 in at.region.quadrants
        }
        for lower in (False, True)
    }
    nearest = {lower: _nearest(at, seat, crowns) for lower, crowns in own.items() if crowns}
    return {
        "side": {
            "teeth": [
                _tooth(code, views.beside(at, points), lower=lower)
                for lower, crowns in own.items()
                for code, points in crowns.items()
                if code % 10 >= 3
            ]
        },
        "row": {
            "teeth": [
                _tooth(code, views.across(at, own[lower][code], origin_mouth=origin), lower=lower)
                for lower, code in nearest.items()
            ],
            **_room(at, seat, origin),
        },
    }


def _nearest(at: Station, seat: Seat, crowns: dict[int, Floats]) -> int:
    """The tooth nearest to the receptor's middle along the row."""
    front, middle = at.seating.frame.front_mouth, seat.centres_mouth[0]
    return min(crowns, key=lambda code: abs(float((crowns[code].mean(axis=0) - middle) @ front)))


def _tooth(code: int, places: Floats, *, lower: bool) -> Document:
    return {"code": code, "lower": lower, "outline": _places(views.hull(places))}


def fans_drawing(fans: tuple[OpenFan, ...], at: Station, seat: Seat) -> FansDrawing:
    """Fans as drawn from above, each at its contact as opened, with its two outermost ways."""
    hinge, angle = at.outlines.hinge_mm, float(seat.opening_deg[0])
    points = np.array([fan.site.point_mouth for fan in fans])
    lower = np.array([fan.is_lower for fan in fans])
    points[lower] = opened(points[lower], hinge, angle)
    ends_deg = np.array([[fan.low_deg, fan.high_deg] for fan in fans], dtype=float)
    right = np.array([fan.site.pair[0] // 10 in (1, 4) for fan in fans])
    places, ways = _places(views.above(points)), _places(_ways(ends_deg, right=right[:, None]))
    return [
        {
            "contact": fan.site.name,
            "lower": fan.is_lower,
            "place": places[k],
            "low_deg": None if fan.low_deg is None else round(fan.low_deg, 2),
            "high_deg": None if fan.high_deg is None else round(fan.high_deg, 2),
            "least_overlap_mm": round(fan.least_overlap_mm, 3),
            "ways": [] if None in (fan.low_deg, fan.high_deg) else ways[k],
        }
        for k, fan in enumerate(fans)
    ]


def _ways(azimuth_deg: Floats, *, right: NDArray[np.bool_]) -> Floats:
    """Unit directions to the tube (..., 2), to the right and down as drawn from above."""
    angle = np.deg2rad(azimuth_deg)
    return np.stack([np.where(right, 1.0, -1.0) * np.cos(angle), -np.sin(angle)], axis=-1)


def _solid(exposure: Exposures) -> Document:
    """Receptor, tube and opening in the mouth frame, for the view in space. [mm, deg]"""
    at, beam = exposure.station, exposure.beam
    source, ray = beam.sources_mouth[0], beam.rays_mouth[0]
    across, down = beam.across_mouth[0], beam.down_mouth[0]
    signs = ((-1.0, -1.0), (1.0, -1.0), (1.0, 1.0), (-1.0, 1.0))
    rim = source + beam.end_mm * ray
    reach = float((exposure.seat.centres_mouth[0] - source) @ ray) / beam.end_mm
    half = (beam.half_across_mm, beam.half_down_mm)
    corners = np.array([s * half[0] * across + t * half[1] * down for s, t in signs])
    return {
        "casing": _places(views.casing_corners_mouth(exposure)),
        "rim": _places(rim + corners),
        "tail": _places(rim - views.TAIL_MM * ray + corners),
        "field": _places(source + reach * (beam.end_mm * ray + corners)),
        "is_round": beam.is_round,
        "hinge": _places(np.array(at.outlines.hinge_mm)),
        "opening_deg": round(float(exposure.seat.opening_deg[0]), 3),
    }


def _laid(laid: views.Laid) -> Document:
    return {
        name: _places(getattr(laid, name))
        for name in ("casing", "active", "tube", "ray", "beam", "middle")
    }


def row_origin(at: Station) -> Floats:
    """Where the drawing along the row has its zero: the bite block's middle at the region's."""
    frame = at.seating.frame
    half_block = 0.5 * at.holder.bite_block_thickness_mm
    return np.asarray(frame.middle_mouth - [0.0, 0.0, half_block])


def _room(at: Station, seat: Seat, origin: Floats) -> Document:
    """Palate and floor of the mouth over and under the receptor's middle, from tooth to tooth."""
    plan = at.seating
    centre = seat.centres_mouth[0]
    at_row = origin + ((centre - origin) @ plan.frame.front_mouth) * plan.frame.front_mouth
    reach = 2.0 * abs(float(at_row[0])) / max(abs(float(plan.frame.tongue_mouth[0])), 0.2)
    across = np.linspace(2.0, max(reach - 2.0, 4.0), SECTION_STEPS)
    points = at_row + across[:, None] * plan.frame.tongue_mouth
    # Both are measured from the cusp lines, as when a receptor is seated.
    level = plan.frame.middle_mouth[2] + plan.slope * float(
        (at_row - plan.frame.middle_mouth) @ plan.frame.front_mouth
    )
    apart = plan.block_mm + float(seat.closure_mm[0])
    palate, floor = points.copy(), points.copy()
    palate[:, 2] = level + plan.room.palate_mm(points)
    floor[:, 2] = level - apart - plan.room.floor_mm(points)
    return {
        name: _places(views.across(at, line, origin_mouth=origin))
        for name, line in (("palate", palate), ("floor", floor))
    }


def _places(points: Floats) -> Any:  # noqa: ANN401  numbers nested as the array was
    return np.round(points, 2).tolist()


__all__ = [
    "FansDrawing",
    "SeatedDrawing",
    "fans_drawing",
    "moving_drawing",
    "row_origin",
    "seated_drawing",
    "still_drawing",
    "tube_drawing",
]
