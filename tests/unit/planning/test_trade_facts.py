"""What the trade knows of placing bitewings, found by plans: common practice, no source."""

from dataclasses import replace
from functools import cache

import numpy as np
import pytest

from bitewright.exposing.exposure import aimed
from bitewright.exposing.landmarks import Status
from bitewright.exposing.receptor_edges import AgainstTooth, EdgeName, edge_places
from bitewright.exposing.seating import seat
from bitewright.planning.best_aim import Plan, best_aim
from bitewright.planning.plan_by_odds import plan_by_odds
from bitewright.planning.stated_hands import MIDDLING, stated_hands
from bitewright.quality.predicted import asked, predict
from bitewright.quality.questions import CANINE
from bitewright.quality.views import view
from tests.scenes import station_of

pytestmark = pytest.mark.slow

HAND = stated_hands()[MIDDLING].scatter
FLUSH_COSTS_MM = 0.1


@cache
def planned(view_name: str, receptor: str) -> Plan:
    at = station_of(view_name, receptor, "ring-holder")
    return plan_by_odds(view(view_name), at, HAND, generator=np.random.default_rng(2)).plan


def test_a_molar_view_with_a_rigid_sensor_goes_nearer_the_midline() -> None:
    sensor, plate = planned("right-molar", "sensor-2"), planned("right-molar", "plate-2")
    assert sensor.setting.lingual_mm > plate.setting.lingual_mm
    assert sensor.setting.lingual_mm > planned("right-premolar", "sensor-2").setting.lingual_mm


def test_a_premolar_view_is_turned_and_shows_the_canine_only_with_its_front_edge_there() -> None:
    """Turned from the mouth's own front, towards the opposite canine."""
    of, at = view("right-premolar"), station_of("right-premolar", "sensor-2", "ring-holder")
    made = best_aim(of, at, flush=True)
    front = at.region.front_sign * made.exposure.seat.axes_mouth[0, 0]
    assert np.rad2deg(np.arctan2(front[0], -front[1])) > 10.0
    for back_mm in np.arange(0.0, 8.1, 1.0):
        setting = replace(made.setting, forward_mm=made.setting.forward_mm - back_mm)
        exposure = aimed(at, seat(at.seating, setting.placement()), setting.aim())
        edges = {each.edge: each for each in edge_places(exposure) if not each.upper}
        lies = edges[EdgeName.ACTIVE_FRONT]
        is_at_canine = lies.tooth <= 43 or lies.against is AgainstTooth.MESIAL_SPACE
        shown = predict(exposure, asked(of, at)).measurements.gone["43.distal"][0] == Status.SEEN
        assert shown <= is_at_canine, f"{back_mm} mm further back, front edge at {lies}"


def test_a_flush_rim_costs_at_most_a_tenth_of_a_millimetre_in_the_standard_mouth() -> None:
    """At contacts the question needs; the canine's opens 13 degrees in front of its neighbour."""
    for view_name in ("right-premolar", "right-molar"):
        of = view(view_name)
        flush = planned(view_name, "sensor-2")
        free = best_aim(of, flush.station)
        needed = [
            column
            for column, pair in enumerate(asked(of, flush.station).wanted.contacts)
            if pair[0] % 10 != CANINE
        ]
        worst = [
            float(np.nanmax(each.prediction.measurements.overlap_mm[0, needed]))
            for each in (flush, free)
        ]
        assert worst[0] - max(worst[1], 0.0) <= FLUSH_COSTS_MM, view_name
