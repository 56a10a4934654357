"""Placement: what was asked for is what is seated, and what does not fit is said so."""

from dataclasses import replace

import numpy as np
import pytest

from bitewright.exposing.aim import Aim
from bitewright.exposing.contact_error import contact_error_deg, contact_errors_deg
from bitewright.exposing.exposure import (
    CannotOpenError,
    ReceptorTooLargeError,
    expose,
    fitting,
)
from bitewright.exposing.placement import Placement
from bitewright.exposing.receptor_edges import EdgeName, edge_places
from bitewright.exposing.region_frame import NothingToImageError, region_frame
from bitewright.exposing.seating import nearest_fit_mm, seat
from bitewright.exposing.targets import targets
from bitewright.mouth.jaws import opened
from bitewright.mouth.mouth import Room
from bitewright.mouth.room import lingual_bulge_mouth
from bitewright.mouth.standard_mouth import standard_mouth
from bitewright.quality.views import view, view_names
from tests.scenes import outlines_of, station_in, station_of


@pytest.mark.parametrize("name", view_names())
@pytest.mark.parametrize("receptor", ["film-2", "sensor-2"])
def test_at_least_the_wanted_space_is_left_to_every_crown(name: str, receptor: str) -> None:
    at = station_of(name, receptor)
    wanted = nearest_fit_mm(at.seating, Placement())
    seated = seat(at.seating, Placement(lingual_mm=wanted))
    outlines = at.outlines
    bulge = lingual_bulge_mouth(outlines)
    for row, code in enumerate(outlines.codes):
        if code // 10 in (3, 4):
            bulge[row] = opened(bulge[row], outlines.hinge_mm, float(seated.opening_deg[0]))
    own = [c // 10 in at.region.quadrants or c % 10 <= 2 for c in outlines.codes]
    away = (bulge[own].reshape(-1, 3) - seated.centres_mouth[0]) @ seated.axes_mouth[0].T
    within = np.abs(away[:, 0]) <= at.half_width_mm
    within &= np.abs(away[:, 1]) <= at.half_height_mm
    face = -at.receptor.active_depth_mm
    space = face - away[within, 2].max()
    assert space >= wanted[0] - 0.2


def test_bite_block_keeps_the_cusp_lines_apart_by_its_thickness() -> None:
    at = station_of("right-molar")
    frame, seated = at.seating.frame, seat(at.seating, Placement(lingual_mm=9.0))
    assert seated.closure_mm[0] == pytest.approx(0.0, abs=1e-9)
    rest = opened(frame.lower_rest_mouth, at.outlines.hinge_mm, float(seated.opening_deg[0]))
    apart = frame.middle_mouth[2] - rest[2]
    assert apart == pytest.approx(at.holder.bite_block_thickness_mm, abs=1e-9)


def test_a_flat_palate_keeps_the_arches_apart() -> None:
    flat = replace(standard_mouth(), room=Room(palate_depth_mm=11.0))
    at = station_in(flat, "right-molar", "sensor-2")
    here = Placement(lingual_mm=6.0)
    low = seat(at.seating, here)
    usual = seat(station_of("right-molar", "sensor-2").seating, here)
    assert low.closure_mm[0] > usual.closure_mm[0] + 2.0
    assert low.opening_deg[0] > usual.opening_deg[0]


def test_a_receptor_larger_than_the_mouth_is_refused_in_one_sentence() -> None:
    small = standard_mouth()
    narrow = replace(
        small,
        upper=replace(small.upper, width_mm=40.0, depth_mm=60.0),
        lower=replace(small.lower, width_mm=36.0, depth_mm=58.0),
    )
    at = station_in(narrow, "right-premolar", "sensor-2")
    with pytest.raises(
        ReceptorTooLargeError, match=r"size 2 sensor .* is larger than the mouth allows"
    ):
        fitting(expose(at, Placement(forward_mm=8.0), Aim()))


def test_a_mouth_that_cannot_open_so_far_is_refused() -> None:
    tight = replace(standard_mouth(), room=Room(opening_limit_mm=10.0, palate_depth_mm=6.0))
    at = station_in(tight, "right-molar-vertical", "sensor-2")
    with pytest.raises(CannotOpenError, match="this mouth opens 10 mm"):
        fitting(expose(at, Placement(lingual_mm=5.0), Aim()))


def test_nothing_to_image_without_teeth() -> None:
    base = standard_mouth()
    gone = {
        code: replace(tooth, present=not (code // 10 in (1, 4) and code % 10 >= 4))
        for code, tooth in base.teeth.items()
    }
    with pytest.raises(NothingToImageError, match="right premolar region"):
        station_in(replace(base, teeth=gone))


def test_edges_are_named_against_the_teeth_they_lie_on() -> None:
    exposure = expose(station_of(), Placement(lingual_mm=3.0), Aim())
    places = {(edge.edge, edge.upper): edge for edge in edge_places(exposure)}
    assert len(places) == 8
    front = places[EdgeName.ACTIVE_FRONT, False]
    back = places[EdgeName.ACTIVE_BACK, False]
    assert front.tooth in (42, 43)
    assert back.tooth in (46, 47)
    sensor = expose(station_of(receptor="sensor-2"), Placement(lingual_mm=6.0), Aim())
    edges = {e.edge for e in edge_places(sensor)}
    assert edges == set(EdgeName)


def test_region_frame_points_forward_and_to_the_tongue() -> None:
    for name in view_names():
        region = view(name).region
        frame = region_frame(outlines_of(), region)
        assert frame.front_mouth[1] < 0
        # The right side's tongue direction is to the patient's left, +x.
        assert frame.tongue_mouth[0] * region.front_sign > 0.8


def test_contact_error_is_positive_with_the_tube_to_the_front() -> None:
    at = station_of("left-molar")
    exposures = expose(at, Placement(lingual_mm=6.0), Aim(ring_offset_deg=np.array([0.0, 10.0])))
    errors = contact_errors_deg(exposures, targets(at.outlines, at.region).sites)
    assert ((errors[1] - errors[0]) > 8.0).all()
    assert (contact_error_deg(errors)[1] - contact_error_deg(errors)[0]) > 8.0


def test_nearest_fit_is_the_nearest_place_at_which_the_arches_close() -> None:
    at = station_of("right-molar", "sensor-2")
    space = nearest_fit_mm(at.seating, Placement())
    assert seat(at.seating, Placement(lingual_mm=space)).closure_mm[0] < 0.06
    assert seat(at.seating, Placement(lingual_mm=space - 1.0)).closure_mm[0] > 0.06
