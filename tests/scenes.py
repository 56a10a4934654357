"""Scenes that several tests look at: mouths, stations, ideal crowns under a far source."""

from collections.abc import Iterable
from dataclasses import replace
from functools import cache, lru_cache

import numpy as np
from numpy.typing import NDArray

from bitewright.equipment.catalogue import packaged_catalogue
from bitewright.exposing.aim import Aim, Beam
from bitewright.exposing.exposure import Exposures, Station, expose, station
from bitewright.exposing.placement import Placement
from bitewright.exposing.seating import Seat
from bitewright.exposing.targets import Targets
from bitewright.film.film_parts import FilmMouth
from bitewright.mouth.mouth import Mouth
from bitewright.mouth.outlines import ContactSite, Outlines, build_outlines
from bitewright.mouth.standard_mouth import standard_mouth
from bitewright.quality.views import view
from bitewright.solids.tooth_shells import ToothShells, tooth_shells
from bitewright.tasks.film.film_mouths import film_key, station_film_mouth
from tests.made_once_a_run import made_once_a_run, own_turn

Floats = NDArray[np.float64]


@lru_cache(maxsize=8)
def outlines_of(*, third_molars: bool = False) -> Outlines:
    """Outlines of the standard mouth."""
    return build_outlines(standard_mouth(third_molars=third_molars))


def usual_teeth(codes: Iterable[int]) -> tuple[ToothShells, ...]:
    """The standard mouth's solid teeth, each made once a run, to be looked at only."""
    return tuple(_usual_tooth(code) for code in codes)


@cache
def _usual_tooth(code: int) -> ToothShells:
    (made,) = made_once_a_run(f"tooth-{code}", lambda: tooth_shells(outlines_of(), (code,)))
    return made


@lru_cache(maxsize=64)
def station_of(
    view_name: str = "right-premolar",
    receptor: str = "film-2",
    holder: str = "ring-holder",
    tube: str = "rectangular-300",
) -> Station:
    """The standard mouth with packaged equipment."""
    return station_in(standard_mouth(), view_name, receptor, holder, tube)


def station_in(
    mouth: Mouth,
    view_name: str = "right-premolar",
    receptor: str = "film-2",
    holder: str = "ring-holder",
    tube: str = "rectangular-300",
) -> Station:
    """Any mouth with packaged equipment."""
    known = packaged_catalogue()
    return station(
        build_outlines(mouth),
        view(view_name).region,
        known.receptor(receptor),
        known.holder(holder),
        known.tube(tube),
    )


FAR_MM = 1e7


def ideal_crowns(
    *,
    facet_mm: float,
    radii_mm: tuple[float, float],
    off_deg: Floats,
    object_mm: float = 12.0,
    source_mm: float = FAR_MM,
) -> tuple[Exposures, Targets]:
    """Two round crowns that touch along a flat facet, under a beam turned off it.

    The contact lies at the origin of an upright receptor's axis, ``object_mm`` before its plane and
    ``source_mm`` from the focal spot; u points to the front. Both crowns have the same section at
    every height.
    """
    count = len(off_deg)
    ahead, behind = (_round_flank(facet_mm, r) for r in radii_mm)
    # Facing each other across the plane u = 0, both towards w = buccolingual.
    front_tooth = ahead * [1.0, 1.0, 1.0]
    back_tooth = behind * [-1.0, 1.0, 1.0]
    site = ContactSite(
        pair=(14, 15),
        point_mouth=np.zeros(3),
        normal_mouth=np.array([1.0, 0.0, 0.0]),
        open_azimuth_deg=0.0,
        facet_width_mm=facet_mm,
        gap_mm=0.0,
        enamel_mm=1.3,
    )
    targets = Targets(
        sites=(site,),
        flanks_mouth=np.stack([front_tooth, back_tooth]),
        outward=np.array([-1.0, 1.0]),
        points_mouth=np.zeros((0, 3)),
        flank_is_lower=np.zeros(2, dtype=bool),
        point_is_lower=np.zeros(0, dtype=bool),
        names=("14.distal", "15.mesial"),
    )
    turn = np.deg2rad(off_deg)
    ray = np.column_stack([np.sin(turn), np.zeros(count), np.cos(turn)])
    axes = np.broadcast_to(np.eye(3), (count, 3, 3))
    centre = np.broadcast_to([0.0, 0.0, object_mm], (count, 3))
    zero = np.zeros(count)
    seat = Seat(axes, centre, zero, zero, zero, zero + 50.0)
    beam = Beam(
        sources_mouth=-source_mm * ray,
        rays_mouth=ray,
        across_mouth=np.broadcast_to([1.0, 0.0, 0.0], (count, 3)),
        down_mouth=np.broadcast_to([0.0, 1.0, 0.0], (count, 3)),
        end_mm=source_mm / 2,
        half_across_mm=1e3,
        half_down_mm=1e3,
        is_round=True,
    )
    at = station_of()
    frame = replace(
        at.seating.frame, front_mouth=np.array([1.0, 0.0, 0.0]), middle_mouth=np.zeros(3)
    )
    return (
        Exposures(
            station=replace(at, seating=replace(at.seating, frame=frame, slope=0.0)),
            seat=seat,
            beam=beam,
        ),
        targets,
    )


def _round_flank(facet_mm: float, radius_mm: float) -> Floats:
    """A flank (K, M, 3) that ends in a facet at u = 0, round beyond it, the crown at u > 0."""
    half = 0.5 * facet_mm
    angles = np.linspace(0.0, 1.2, 400)
    arc = np.column_stack([radius_mm * (1 - np.cos(angles)), half + radius_mm * np.sin(angles)])
    profile = np.vstack([arc[::-1] * [1, -1], arc])
    heights = np.linspace(-1.0, 1.0, 3)
    return np.stack(
        [np.column_stack([profile[:, 0], np.full(len(profile), h), profile[:, 1]]) for h in heights]
    )


def exposure_of(outlines: Outlines, view_name: str, aim: Aim) -> Exposures:
    """A sensor 5 mm from the crowns of a mouth, aimed."""
    known = packaged_catalogue()
    at = station(
        outlines,
        view(view_name).region,
        known.receptor("sensor-2"),
        known.holder("ring-holder"),
        known.tube("rectangular-300"),
    )
    return expose(at, Placement(lingual_mm=5.0), aim)


def film_mouth_of(view_name: str = "right-premolar") -> FilmMouth:
    """The standard mouth's solids for a view, made once."""
    return film_mouth_in(station_of(view_name))


def film_mouth_in(at: Station) -> FilmMouth:
    """A station's solids, made in this run and once: its folder keeps them, none from before."""
    key = film_key(at, "whole")
    if key not in _MADE:
        if len(_MADE) == MOST_MOUTHS:
            del _MADE[next(iter(_MADE))]
        with own_turn(f"solids-{key}"):
            _MADE[key] = station_film_mouth(at)
    return _MADE[key]


MOST_MOUTHS = 6
_MADE: dict[str, FilmMouth] = {}
