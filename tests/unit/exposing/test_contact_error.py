"""How far the beam is off at a contact, with the tube placed by hand."""

from dataclasses import replace

import numpy as np
import pytest

from bitewright.exposing.aim import Aim
from bitewright.exposing.contact_error import contact_error_deg, contact_errors_deg
from bitewright.exposing.exposure import Exposures, expose
from bitewright.exposing.placement import Placement
from bitewright.exposing.targets import targets
from bitewright.mouth.jaws import opened
from tests.scenes import station_of


def seen_from(exposures: Exposures, source_mouth: np.ndarray) -> Exposures:
    return replace(exposures, beam=replace(exposures.beam, sources_mouth=source_mouth[None]))


@pytest.mark.parametrize("view_name", ["right-molar", "left-premolar"])
@pytest.mark.parametrize("swing_deg", [-15.0, 0.0, 8.0])
def test_a_tube_swung_off_a_contacts_open_direction_is_off_by_that_much(
    view_name: str, swing_deg: float
) -> None:
    """Measured from the cheek's side; a larger angle lies further to the front."""
    at = station_of(view_name)
    exposures = expose(at, Placement(lingual_mm=6.0), Aim())
    sites = targets(at.outlines, at.region).sites
    for k, site in enumerate(sites):
        point = site.point_mouth
        if site.pair[0] // 10 in (3, 4):
            point = opened(point, at.outlines.hinge_mm, float(exposures.seat.opening_deg[0]))
        angle = np.deg2rad(site.open_azimuth_deg + swing_deg)
        cheek = -at.region.front_sign  # the patient's right lies towards -x
        source = point + 300.0 * np.array([cheek * np.cos(angle), -np.sin(angle), 0.3])
        errors = contact_errors_deg(seen_from(exposures, source), sites)
        assert errors[0, k] == pytest.approx(swing_deg, abs=1e-9)


def test_one_figure_lies_midway_between_the_most_different_contacts() -> None:
    errors = np.array([[1.0, 5.0, -3.0], [2.0, 2.0, 8.0]])
    assert contact_error_deg(errors).tolist() == [1.0, 5.0]


def test_a_view_without_contacts_has_no_error() -> None:
    assert np.isnan(contact_error_deg(np.empty((2, 0)))).tolist() == [True, True]
