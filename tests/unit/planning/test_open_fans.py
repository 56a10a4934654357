"""Fans against the projection of the same mouth through a real tube."""

import numpy as np
import pytest

from bitewright.exposing.aim import Aim
from bitewright.exposing.contact_error import contact_errors_deg
from bitewright.exposing.exposure import expose
from bitewright.exposing.placement import Placement
from bitewright.exposing.seating import nearest_fit_mm
from bitewright.planning.open_fans import OpenFan, open_fans
from bitewright.quality.predicted import asked, predict
from bitewright.quality.views import view
from tests.scenes import outlines_of, station_of

PARTING_RAYS_DEG = 1.4
"""A tube's rays part by about a degree over a contact's facets; fans are for parallel beams."""


@pytest.mark.parametrize("view_name", ["right-molar", "left-premolar"])
@pytest.mark.parametrize("vertical_deg", [0.0, 8.0])
def test_a_fan_ends_where_the_projected_contact_closes(view_name: str, vertical_deg: float) -> None:
    at = station_of(view_name)
    of = asked(view(view_name), at)
    space = float(nearest_fit_mm(at.seating, Placement())[0])
    aim = Aim(ring_offset_deg=np.arange(-45.0, 45.1, 0.25), vertical_deg=vertical_deg)
    exposures = expose(at, Placement(lingual_mm=space), aim)
    overlap = predict(exposures, of).measurements.overlap_mm
    sites = {site.pair: site for site in of.targets.sites}
    opening = float(exposures.seat.opening_deg[0])
    found = open_fans(at.outlines, vertical_deg=vertical_deg, opening_deg=opening)
    fans = {fan.site.pair: fan for fan in found}
    for column, pair in enumerate(of.wanted.contacts):
        errors = contact_errors_deg(exposures, (sites[pair],))[:, 0]
        azimuth = (errors + sites[pair].open_azimuth_deg)[overlap[:, column] <= 0.10]
        fan = fans[pair]
        assert fan.low_deg == pytest.approx(azimuth.min(), abs=PARTING_RAYS_DEG)
        assert fan.high_deg == pytest.approx(azimuth.max(), abs=PARTING_RAYS_DEG)


def test_fans_are_mirrored_left_and_right_and_swing_round_the_arch() -> None:
    fans = {fan.site.name: fan for fan in open_fans(outlines_of())}
    for right, left in (("16-17", "26-27"), ("43-44", "33-34")):
        assert fans[right].low_deg == pytest.approx(fans[left].low_deg, abs=1e-6)
        assert fans[right].high_deg == pytest.approx(fans[left].high_deg, abs=1e-6)
    middles = [middle(fans[name]) for name in ("46-47", "45-46", "44-45", "43-44")]
    assert middles == sorted(middles), "the further forward, the further forward it opens"
    assert all(fans[name].holds(middle(fans[name])) for name in fans)
    assert not fans["46-47"].holds(middle(fans["43-44"]))


def middle(fan: OpenFan) -> float:
    assert fan.low_deg is not None
    assert fan.high_deg is not None
    return 0.5 * (fan.low_deg + fan.high_deg)
