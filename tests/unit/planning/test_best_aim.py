"""Plans: never beaten by a random setting, and their tolerances are where the targets are lost."""

from dataclasses import replace

import numpy as np
import pytest

from bitewright.exposing.aim import Aim
from bitewright.exposing.exposure import expose
from bitewright.exposing.placement import Placement
from bitewright.exposing.seating import nearest_fit_mm
from bitewright.mouth.drawn_mouth import drawn_mouth
from bitewright.mouth.mouth import textbook_mouth
from bitewright.planning.best_aim import best_aim, setting_cost
from bitewright.planning.tolerance import SlipWay, tolerances
from bitewright.quality.predicted import asked, predict
from bitewright.quality.rating import Outcome
from bitewright.quality.views import view
from tests.scenes import station_in, station_of

VIEWS = ["right-premolar", "left-molar", "right-molar-vertical"]
ROUNDING_COST = 0.15
"""The plan is rounded to half millimetres and half degrees."""


@pytest.mark.parametrize("view_name", VIEWS)
@pytest.mark.parametrize("receptor", ["film-2", "sensor-2"])
def test_no_random_setting_beats_the_plan(view_name: str, receptor: str) -> None:
    at = station_of(view_name, receptor)
    plan = best_aim(view(view_name), at)
    planned = setting_cost(plan.prediction, plan.exposure)[0]
    rng = np.random.default_rng(7)
    count = 600
    place = Placement(forward_mm=rng.uniform(-12, 12, count), turn_deg=rng.uniform(0, 16, count))
    place = replace(place, lingual_mm=nearest_fit_mm(at.seating, place))
    aim = Aim(ring_offset_deg=rng.uniform(-25, 25, count), vertical_deg=rng.uniform(-5, 15, count))
    exposures = expose(at, place, aim)
    costs = setting_cost(predict(exposures, asked(view(view_name), at)), exposures)
    assert planned <= costs.min() + ROUNDING_COST


@pytest.mark.parametrize("seed", range(3))
def test_a_film_plan_of_a_drawn_mouth_fails_nothing(seed: int) -> None:
    plan = best_aim(view("right-molar"), station_in(drawn_mouth(seed), "right-molar"))
    assert (plan.prediction.rating.outcomes != Outcome.FAILED).all()


def test_the_place_can_be_kept() -> None:
    plan = best_aim(view("right-premolar"), station_of(), forward_mm=3.0, allow_turn=False)
    assert plan.setting.forward_mm == 3.0
    assert plan.setting.turn_deg == 0.0


def test_tolerances_are_where_the_first_criterion_is_lost() -> None:
    """In the textbook's mouth, whose plan meets every target."""
    at = station_in(textbook_mouth(), "right-molar")
    plan = best_aim(view("right-molar"), at)
    slips = {slip.movement: slip for slip in tolerances(plan)}
    assert set(slips) == set(SlipWay)
    slip = slips[SlipWay.TUBE_FORWARD]
    assert slip.until_failed is not None
    assert slip.until_short is None or slip.until_short <= slip.until_failed
    of = asked(view("right-molar"), at)
    for swing, failed in ((slip.until_failed - 0.3, False), (slip.until_failed + 0.3, True)):
        aim = replace(plan.setting.aim(), ring_offset_deg=plan.setting.ring_offset_deg + swing)
        rating = predict(expose(at, plan.setting.placement(), aim), of).rating
        assert (rating.outcomes == Outcome.FAILED).any() == failed


def test_a_mirrored_mouth_gets_the_mirrored_plan() -> None:
    mouth = drawn_mouth(2)
    one = best_aim(view("right-premolar"), station_in(mouth, "right-premolar"))
    other = best_aim(view("left-premolar"), station_in(mouth.mirrored(), "left-premolar"))
    assert one.setting.ring_offset_deg == pytest.approx(other.setting.ring_offset_deg, abs=1.0)
    assert one.setting.forward_mm == pytest.approx(other.setting.forward_mm, abs=1.0)
