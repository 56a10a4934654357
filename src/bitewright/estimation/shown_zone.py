"""For which teeth an exposure was set, by what its film shows.

A hand sets receptor and tube for premolars or for molars, and the film itself tells for which
better than the view that somebody reads it under: read under two views, an exposure is still one.
"""

from dataclasses import replace

import numpy as np
from numpy.typing import NDArray

from bitewright.estimation.exposure_unknowns import (
    NAMES,
    Whereabouts,
    exposures_at,
    pose_of,
    usual_unknowns,
)
from bitewright.exposing.exposure import Station, station
from bitewright.exposing.landmarks import Landmarks, Status
from bitewright.exposing.region import Format, Zone
from bitewright.exposing.region_frame import NothingToImageError

Floats = NDArray[np.float64]

MIDDLE_PLACE = {
    Format.HORIZONTAL: (5.6, 6.7),
    Format.VERTICAL: (5.1, 6.1),
}
"""Place of the row (5 the second premolar's middle) that lies at the image's middle where receptors
are set for premolars, and for molars: on average as the general plans set them in 30 drawn mouths
(seeds 961, 0 to 29)."""

CLEARLY = 0.25
"""Share of the way from one zone's usual place to the other's up to which a film clearly shows it:
of films that slip by some mm the view says better for what they were set. Our choice."""

FEWEST_EDGES = 4
"""From so few edges nobody tells what lies at the image's middle. Our choice."""

ROUNDS = 3
"""Times that a pose is brought nearer to another's."""

POSED = (
    "forward_mm",
    "height_mm",
    "turn_deg",
    "tilt_deg",
    "roll_deg",
    "azimuth_deg",
    "vertical_deg",
)
"""Unknowns that move the field of `Whereabouts` of their name one to one, or nearly."""


def shown_station(at: Station, landmarks: Landmarks) -> Station:
    """The same in the zone that a film clearly shows, by what lies at its middle.

    The station itself where that is its own zone, where a film lies between both or too few edges
    are marked to tell, or where the row has no teeth in the other zone.

    Parameters
    ----------
    at : Station
    landmarks : Landmarks
        Of the film's marks.
    """
    place = middle_place(landmarks)
    if place is None:
        return at
    premolar, molar = MIDDLE_PLACE[at.region.format]
    to_molar = (place - premolar) / (molar - premolar)
    to_other = to_molar if at.region.zone is Zone.PREMOLAR else 1.0 - to_molar
    if to_other < 1.0 - CLEARLY:
        return at
    zone = Zone.MOLAR if at.region.zone is Zone.PREMOLAR else Zone.PREMOLAR
    try:
        region = replace(at.region, zone=zone)
        return station(at.outlines, region, at.receptor, at.holder, at.tube)
    except NothingToImageError:
        return at


def usual_place(at: Station, landmarks: Landmarks) -> Floats:
    """The middle of the prior (10,) of a film, told from a station of its view."""
    shown = shown_station(at, landmarks)
    usual = usual_unknowns(shown)
    return usual if shown is at else told_from(at, shown, usual)


def told_from(at: Station, other: Station, unknowns: Floats) -> Floats:
    """Unknowns (10,) of an exposure at another station of the same mouth, told from this one.

    Space to the teeth and what holds the arches apart are told without the region's directions.
    """
    along = (at.seating.frame.front_mouth, at.seating.frame.tongue_mouth)
    wanted = pose_of(exposures_at(other, unknowns[None]), *along)
    found = unknowns.copy()
    for _ in range(ROUNDS):
        found += _apart(pose_of(exposures_at(at, found[None]), *along), wanted)
    return found


def middle_place(landmarks: Landmarks) -> float | None:
    """Which place of the row lies at the image's middle, by a line through the crowns' edges."""
    along, places = [], []
    for column, name in enumerate(landmarks.names):
        code, _, surface = name.partition(".")
        side = {"mesial": -0.5, "distal": 0.5}.get(surface)
        if side is not None and landmarks.status[0, column] == Status.SEEN:
            along.append(float(landmarks.points_receptor[0, column, 0]))
            places.append(int(code) % 10 + side)
    if len(along) < FEWEST_EDGES or np.ptp(along) == 0.0:
        return None
    return float(np.polyfit(along, places, 1)[1])


def _apart(now: Whereabouts, wanted: Whereabouts) -> Floats:
    """By how much each unknown falls short of a pose."""
    by = np.zeros(len(NAMES))
    for name in POSED:
        by[NAMES.index(name)] = getattr(wanted, name)[0] - getattr(now, name)[0]
    return by


__all__ = ["middle_place", "shown_station", "told_from", "usual_place"]
