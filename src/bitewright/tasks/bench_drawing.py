"""What the bench draws, as plain numbers in millimetres: from above, along the row, from the side.

Places are to the right and down as a person sees them; see `report.exposure_views`.
"""

from typing import Any

import numpy as np
from numpy.typing import NDArray

from bitewright.dentition.jaws import opened
from bitewright.imaging.contact_error import contact_errors_deg
from bitewright.imaging.exposure import Exposures, Station
from bitewright.planning.open_fans import OpenFan
from bitewright.report import exposure_views as views

Floats = NDArray[np.float64]
Document = dict[str, Any]

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
            for code, points in views.crowns_mouth(exposure, lower=lower).items()
        ],
    }


def _fan(fan: OpenFan, exposure: Exposures) -> Document:
    hinge, angle = exposure.station.outlines.hinge_mm, float(exposure.seat.opening_deg[0])
    point = opened(fan.site.point_mouth, hinge, angle if fan.is_lower else 0.0)
    right = fan.site.pair[0] // 10 in (1, 4)
    ends = (fan.low_deg, fan.high_deg)
    return {
        "contact": fan.site.name,
        "lower": fan.is_lower,
        "place": _places(views.above(point)),
        "low_deg": None if fan.low_deg is None else round(fan.low_deg, 2),
        "high_deg": None if fan.high_deg is None else round(fan.high_deg, 2),
        "least_overlap_mm": round(fan.least_overlap_mm, 3),
        "ways": [] if None in ends else [_way(end, right=right) for end in ends if end is not None],
    }


def _way(azimuth_deg: float, *, right: bool) -> Any:  # noqa: ANN401  as _places
    """Unit direction to the tube, to the right and down as drawn from above."""
    angle = np.deg2rad(azimuth_deg)
    return _places(np.array([(1.0 if right else -1.0) * np.cos(angle), -np.sin(angle)]))


def moving_drawing(exposure: Exposures, fans: tuple[OpenFan, ...]) -> Document:
    """Receptor, tube, beam and lower teeth of one exposure in all three drawings."""
    at = exposure.station
    origin = _row_origin(at)
    casing, active = views.from_side(exposure)
    sites = tuple(fan.site for fan in fans)
    errors = contact_errors_deg(exposure, sites)[0]
    own = [fan.site.pair[0] // 10 in at.region.quadrants for fan in fans]
    return {
        "above": _laid(views.from_above(exposure)),
        "row": {
            **_laid(views.along_row(exposure, origin_mouth=origin)),
            "teeth": _row_teeth(exposure, origin),
            **_room(exposure, origin),
        },
        "side": {
            "casing": _places(casing),
            "active": _places(active),
            "teeth": [
                {
                    "code": code,
                    "lower": lower,
                    "outline": _places(views.hull(views.beside(exposure, p))),
                }
                for lower in (False, True)
                for code, p in views.crowns_mouth(exposure, lower=lower).items()
                if code // 10 in at.region.quadrants and code % 10 >= 3
            ],
        },
        "solid": _solid(exposure),
        "fans": [_fan(fan, exposure) for fan in fans],
        "beam_in_fan": {
            fan.site.name: bool(mine and fan.holds(float(error) + fan.site.open_azimuth_deg))
            for fan, error, mine in zip(fans, errors, own, strict=True)
        },
    }


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


def _row_origin(at: Station) -> Floats:
    """Where the drawing along the row has its zero: the bite block's middle at the region's."""
    frame = at.seating.frame
    half_block = 0.5 * at.holder.bite_block_thickness_mm
    return np.asarray(frame.middle_mouth - [0.0, 0.0, half_block])


def _row_teeth(exposure: Exposures, origin: Floats) -> list[Document]:
    """The upper and the lower tooth nearest to the receptor's middle, cut along the row."""
    front = exposure.station.seating.frame.front_mouth
    middle = exposure.seat.centres_mouth[0]
    found = []
    for lower in (False, True):
        crowns = {
            code: points
            for code, points in views.crowns_mouth(exposure, lower=lower).items()
            if code // 10 in exposure.station.region.quadrants
        }
        if crowns:
            code = min(crowns, key=lambda c: abs(float((crowns[c].mean(axis=0) - middle) @ front)))
            flat = views.across(exposure, crowns[code], origin_mouth=origin)
            found.append({"code": code, "lower": lower, "outline": _places(views.hull(flat))})
    return found


def _room(exposure: Exposures, origin: Floats) -> Document:
    """Palate and floor of the mouth over and under the receptor's middle, from tooth to tooth."""
    plan = exposure.station.seating
    centre = exposure.seat.centres_mouth[0]
    at_row = origin + ((centre - origin) @ plan.frame.front_mouth) * plan.frame.front_mouth
    reach = 2.0 * abs(float(at_row[0])) / max(abs(float(plan.frame.tongue_mouth[0])), 0.2)
    across = np.linspace(2.0, max(reach - 2.0, 4.0), SECTION_STEPS)
    points = at_row + across[:, None] * plan.frame.tongue_mouth
    # Both are measured from the cusp lines, as when a receptor is seated.
    level = plan.frame.middle_mouth[2] + plan.slope * float(
        (at_row - plan.frame.middle_mouth) @ plan.frame.front_mouth
    )
    apart = plan.block_mm + float(exposure.seat.closure_mm[0])
    palate, floor = points.copy(), points.copy()
    palate[:, 2] = level + plan.room.palate_mm(points)
    floor[:, 2] = level - apart - plan.room.floor_mm(points)
    return {
        name: _places(views.across(exposure, line, origin_mouth=origin))
        for name, line in (("palate", palate), ("floor", floor))
    }


def _places(points: Floats) -> Any:  # noqa: ANN401  numbers nested as the array was
    return np.round(points, 2).tolist()


__all__ = ["moving_drawing", "still_drawing"]
