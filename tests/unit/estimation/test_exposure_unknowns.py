"""Where receptor and tube stand comes back from what they were set to."""

import numpy as np
import pytest

from bitewright.estimation.exposure_unknowns import (
    NAMES,
    exposures_at,
    held_mm,
    hold_for,
    pose_of,
    usual_unknowns,
)
from bitewright.exposing.aim import Aim
from bitewright.exposing.exposure import expose
from bitewright.exposing.placement import Placement
from tests.scenes import station_of

SETTINGS = {
    "turn": (Placement(lingual_mm=8.0, turn_deg=9.0), Aim(), "turn_deg", 9.0),
    "tilt": (Placement(lingual_mm=8.0, tilt_deg=-6.0), Aim(), "tilt_deg", -6.0),
    "vertical": (Placement(lingual_mm=8.0), Aim(vertical_deg=7.0), "vertical_deg", 7.0),
}


@pytest.mark.parametrize("view_name", ["right-molar", "left-premolar"])
@pytest.mark.parametrize("what", SETTINGS)
def test_what_was_set_is_where_it_stands(view_name: str, what: str) -> None:
    """Set against the same exposure without it, along the region's own directions."""
    at = station_of(view_name, "plate-2")
    frame = at.seating.frame
    placement, aim, name, size = SETTINGS[what]
    still = pose_of(
        expose(at, Placement(lingual_mm=8.0), Aim()), frame.front_mouth, frame.tongue_mouth
    )
    moved = pose_of(expose(at, placement, aim), frame.front_mouth, frame.tongue_mouth)
    turned = getattr(moved, name) - getattr(still, name)
    assert turned[0] == pytest.approx(size, abs=0.2)  # the bite block's slope comes in between


@pytest.mark.parametrize("view_name", ["right-molar", "left-premolar"])
def test_a_roll_dips_the_front_end(view_name: str) -> None:
    at = station_of(view_name, "plate-2")
    frame = at.seating.frame
    rolls = [
        pose_of(
            expose(at, Placement(lingual_mm=8.0, roll_deg=roll), Aim()),
            frame.front_mouth,
            frame.tongue_mouth,
        ).roll_deg[0]
        for roll in (0.0, 5.0)
    ]
    assert rolls[1] - rolls[0] == pytest.approx(5.0, abs=0.05)


@pytest.mark.parametrize("view_name", ["right-molar", "left-premolar"])
def test_the_tube_is_further_front_by_turn_and_ring_together(view_name: str) -> None:
    at = station_of(view_name, "plate-2")
    frame = at.seating.frame
    exposures = expose(
        at,
        Placement(lingual_mm=8.0, turn_deg=np.array([0.0, 4.0])),
        Aim(ring_offset_deg=np.array([0.0, 6.0])),
    )
    azimuth = pose_of(exposures, frame.front_mouth, frame.tongue_mouth).azimuth_deg
    # With its front end turned inward a receptor faces further back, and so does the tube.
    assert azimuth[1] - azimuth[0] == pytest.approx(10.0, abs=0.1)


def test_unknowns_stand_where_they_say() -> None:
    at = station_of("right-premolar", "plate-2")
    frame = at.seating.frame
    unknowns = usual_unknowns(at)
    exposures = exposures_at(at, unknowns[None])
    found = pose_of(exposures, frame.front_mouth, frame.tongue_mouth)
    known = dict(zip(NAMES, unknowns, strict=True))
    assert found.turn_deg[0] == pytest.approx(known["turn_deg"], abs=0.05)
    assert found.vertical_deg[0] == pytest.approx(known["vertical_deg"])
    upper, lower = (HELD * np.log1p(np.exp(known[name])) for name in ("upper_hold", "lower_hold"))
    assert found.closure_mm[0] == pytest.approx(-upper - lower)
    seat = exposures.seat
    assert (seat.upper_gap_mm[0], seat.lower_gap_mm[0]) == pytest.approx((upper, lower))


HELD = 1.5


@pytest.mark.parametrize("gap_mm", [0.2, 1.0, 4.0])
def test_a_hold_is_turned_round(gap_mm: float) -> None:
    assert held_mm(np.array([hold_for(gap_mm)]))[0] == pytest.approx(gap_mm)


def test_holds_of_palate_and_floor_are_told_apart() -> None:
    """A palate's hold lowers the receptor; a floor's does not."""
    at = station_of("right-premolar", "plate-2")
    unknowns = np.repeat(usual_unknowns(at)[None], 3, axis=0)
    unknowns[1, NAMES.index("upper_hold")] += 3.0
    unknowns[2, NAMES.index("lower_hold")] += 3.0
    centres = exposures_at(at, unknowns).seat.centres_mouth
    lowered = HELD * np.diff(np.log1p(np.exp(unknowns[:2, NAMES.index("upper_hold")])))[0]
    assert centres[0, 2] - centres[1, 2] == pytest.approx(lowered)
    assert centres[2] == pytest.approx(centres[0])
