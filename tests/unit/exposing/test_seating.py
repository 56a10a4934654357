"""Receptors seated between a palate, a floor and teeth."""

from dataclasses import replace

import numpy as np
import pytest

from bitewright.exposing.placement import Placement
from bitewright.exposing.seating import seat, seat_plan
from bitewright.mouth.mouth import Room
from bitewright.mouth.standard_mouth import standard_mouth
from tests.scenes import station_in, station_of


@pytest.mark.parametrize("where", ["palate", "floor"])
def test_a_receptor_that_gives_is_held_off_by_so_much_less(where: str) -> None:
    room = Room(palate_depth_mm=8.0) if where == "palate" else Room(floor_depth_mm=2.0)
    at = station_in(replace(standard_mouth(), room=room), "right-molar", "film-2")
    here = Placement(lingual_mm=6.0)
    gaps = []
    for flex_mm in (0.0, 2.0):
        receptor = replace(at.receptor, flex_mm=flex_mm)
        plan = seat_plan(at.outlines, at.region, receptor, at.holder)
        seated = seat(plan, here)
        gaps.append(seated.upper_gap_mm[0] if where == "palate" else seated.lower_gap_mm[0])
    assert gaps[0] > 2.5
    assert gaps[0] - gaps[1] == pytest.approx(2.0, abs=0.25)


@pytest.mark.parametrize("view_name", ["right-premolar", "left-molar"])
def test_without_roll_a_receptor_stands_along_the_bite_blocks_slope(view_name: str) -> None:
    """Half way between the upper row's slope and the lower one's, opened as the block asks."""
    at = station_of(view_name)
    frame = at.seating.frame
    seated = seat(at.seating, Placement(lingual_mm=9.0))
    opening = np.tan(np.deg2rad(seated.opening_deg[0]))
    between = (frame.upper_slope + frame.lower_slope - opening) / 2.0
    front = at.region.front_sign * seated.axes_mouth[0, 0]
    level = np.hypot(front[0], front[1])
    assert seated.closure_mm[0] == pytest.approx(0.0)
    assert front[2] / level == pytest.approx(between, abs=0.005)


def test_a_receptor_lies_as_placed_along_the_row_and_up() -> None:
    at = station_of("left-molar")
    frame = at.seating.frame
    still, moved = (
        seat(at.seating, Placement(lingual_mm=9.0, forward_mm=f, height_mm=h)).centres_mouth[0]
        for f, h in ((0.0, 0.0), (3.0, -1.0))
    )
    assert (moved - still) @ frame.front_mouth == pytest.approx(3.0, abs=0.05)
    assert moved[2] - still[2] == pytest.approx(3.0 * at.seating.slope - 1.0, abs=0.05)
