"""Where the tube stands for an aim, and how its field lies."""

import numpy as np
import pytest

from bitewright.exposing.aim import Aim, beam
from bitewright.exposing.placement import Placement
from bitewright.exposing.region import Format
from bitewright.exposing.seating import seat
from bitewright.quality.views import view_names
from tests.scenes import station_of


@pytest.mark.parametrize("view_name", view_names())
def test_the_tube_stands_where_the_aim_says(view_name: str) -> None:
    at = station_of(view_name, "sensor-2")
    seated = seat(at.seating, Placement(lingual_mm=8.0, turn_deg=6.0))
    made = beam(
        seated,
        Aim(ring_offset_deg=7.0, vertical_deg=5.0),
        at.tube,
        at.region,
        end_to_receptor_mm=60.0,
    )
    axes, ray = seated.axes_mouth[0], made.rays_mouth[0]
    assert -ray[2] == pytest.approx(np.sin(np.deg2rad(5.0)))  # points down
    level = ray[:2] / np.linalg.norm(ray[:2])
    normal = axes[2, :2] / np.linalg.norm(axes[2, :2])
    turn = np.rad2deg(np.arctan2(normal[0] * level[1] - normal[1] * level[0], normal @ level))
    assert abs(turn) == pytest.approx(7.0)
    to_front = at.region.front_sign * axes[0]
    assert made.sources_mouth[0] @ to_front > seated.centres_mouth[0] @ to_front
    reach = made.sources_mouth[0] - seated.centres_mouth[0]
    assert np.linalg.norm(reach) == pytest.approx(at.tube.source_to_end_mm + 60.0)
    assert reach == pytest.approx(-np.linalg.norm(reach) * ray)


def test_a_tube_slid_forward_and_up_leaves_the_receptors_middle_behind() -> None:
    at = station_of("left-premolar")
    seated = seat(at.seating, Placement(lingual_mm=5.0))
    still, slid = (
        beam(
            seated, Aim(tube_forward_mm=f, tube_up_mm=u), at.tube, at.region, end_to_receptor_mm=9.0
        )
        for f, u in ((0.0, 0.0), (6.0, 2.5))
    )
    moved = seated.axes_mouth[0] @ (slid.sources_mouth - still.sources_mouth)[0]
    assert moved == pytest.approx([at.region.front_sign * 6.0, -2.5, 0.0])
    assert moved[0] < 0.0  # the left side's front lies to the viewer's left


@pytest.mark.parametrize("view_name", view_names())
def test_a_rectangular_field_lies_along_the_receptor(view_name: str) -> None:
    at = station_of(view_name)
    seated = seat(at.seating, Placement(lingual_mm=5.0))
    made = beam(seated, Aim(), at.tube, at.region, end_to_receptor_mm=60.0)
    u, v, _ = seated.axes_mouth[0]
    assert made.across_mouth[0] @ u > 0.99
    assert made.down_mouth[0] @ v > 0.99
    halves = made.half_across_mm, made.half_down_mm
    sides = at.tube.field_long_mm, at.tube.field_short_mm
    flat = at.region.format is Format.HORIZONTAL
    assert halves == tuple(0.5 * (side or 0.0) for side in (sides if flat else sides[::-1]))
