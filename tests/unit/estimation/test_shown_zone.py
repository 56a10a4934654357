"""One exposure is estimated to have stood in one place, whichever view it is read under."""

from functools import cache

import numpy as np
import pytest

from bitewright.estimation.estimate import Estimate, FilmEvidence, estimate
from bitewright.estimation.exposure_unknowns import (
    NAMES,
    Whereabouts,
    exposures_at,
    pose_of,
    usual_unknowns,
)
from bitewright.estimation.mouth_belief import population
from bitewright.estimation.mouth_shapes import mouth_shapes
from bitewright.estimation.shown_zone import middle_place, shown_station
from bitewright.exposing.exposure import Station
from bitewright.exposing.landmarks import Landmarks
from bitewright.exposing.project import project
from bitewright.exposing.targets import targets
from bitewright.marking.marked_landmarks import landmarks_from_marks
from bitewright.marking.simulated_marker import marked_by_simulation
from bitewright.quality.views import view
from tests.scenes import station_of

AS_PREMOLAR, AS_MOLAR = (station_of(f"right-{zone}", "sensor-2") for zone in ("premolar", "molar"))
PIXEL_MM = 0.02


@cache
def film(forward_mm: float) -> Landmarks:
    """A marked film whose receptor lies so far in front of where it is set for premolars."""
    unknowns = usual_unknowns(AS_PREMOLAR)
    unknowns[NAMES.index("forward_mm")] += forward_mm
    unknowns[NAMES.index("azimuth_deg")] += 6.0
    exposure = exposures_at(AS_PREMOLAR, unknowns[None])
    marks = marked_by_simulation(
        project(exposure, targets(AS_PREMOLAR.outlines, AS_PREMOLAR.region))[0],
        view("right-premolar"),
        pixel_mm=PIXEL_MM,
        image_name="one.png",
        receptor="sensor-2",
        sd_mm=0.1,
        generator=np.random.default_rng(3),
    )
    return landmarks_from_marks(
        marks, view("right-premolar"), pixel_mm=PIXEL_MM, receptor=AS_PREMOLAR.receptor
    )


def estimated(at: Station, marks: Landmarks) -> Estimate:
    teeth = at.outlines.codes
    evidence = FilmEvidence(landmarks=marks, station=at)
    return estimate([evidence], mouth_shapes(teeth, at.region), population(teeth))


def stood(found: Estimate) -> Whereabouts:
    frame = AS_PREMOLAR.seating.frame
    exposure = exposures_at(found.films[0].station, found.unknowns[0][None])
    return pose_of(exposure, frame.front_mouth, frame.tongue_mouth)


@pytest.mark.parametrize("forward_mm", [-3.0, -13.0])
def test_one_exposure_read_under_two_views_stood_in_one_place(forward_mm: float) -> None:
    both = [estimated(at, film(forward_mm)) for at in (AS_PREMOLAR, AS_MOLAR)]
    assert [found.films[0].station for found in both] == [AS_PREMOLAR, AS_MOLAR]
    one, other = map(stood, both)
    for name in Whereabouts.__slots__:
        off = 2.0 if name == "lingual_mm" else 0.3  # space is told to the teeth of each zone
        assert getattr(one, name) == pytest.approx(getattr(other, name), abs=off), name
    assert both[0].amounts == pytest.approx(both[1].amounts)
    assert both[0].misfit == both[1].misfit


def test_a_film_is_of_the_zone_that_lies_at_its_middle_or_else_of_its_view() -> None:
    for at in (AS_PREMOLAR, AS_MOLAR):
        assert shown_station(at, film(-8.0)) is at
        assert shown_station(at, film(-3.0)).region == AS_PREMOLAR.region
        assert shown_station(at, film(-13.0)).region == AS_MOLAR.region
    assert shown_station(AS_PREMOLAR, film(-3.0)) is AS_PREMOLAR


def test_too_few_edges_leave_the_views_own_zone() -> None:
    marks = film(-13.0)
    few = Landmarks(
        names=marks.names[:2],
        points_receptor=marks.points_receptor[:, :2],
        status=marks.status[:, :2],
        origin=marks.origin,
        frame_margin_mm=marks.frame_margin_mm[:, :2],
        beam_margin_mm=marks.beam_margin_mm[:, :2],
        half_size_mm=marks.half_size_mm,
        front_sign=marks.front_sign,
    )
    assert middle_place(few) is None
    assert shown_station(AS_PREMOLAR, few) is AS_PREMOLAR
