"""Set-ups chosen by how likely they serve, and their odds found again with other slips."""

import numpy as np
import pytest

from bitewright.exposing.scatter import Scatter
from bitewright.mouth.population_mouth import Regularity
from bitewright.planning.best_aim import Plan, best_aim
from bitewright.planning.expected_success import Success
from bitewright.planning.first_time import first_time
from bitewright.planning.odds import DRAWS, OPERATOR, odds_of, over_mouths, standing_mouths
from bitewright.planning.plan_by_odds import TIE, WORTH_LEAVING, PlanByOdds, plan_by_odds
from bitewright.planning.stated_hands import MIDDLING, stated_hands
from bitewright.quality.criteria import CriterionName, Question
from bitewright.quality.views import view
from builders.mouths_for_odds import nearest_to_all
from tests.scenes import station_of

HAND = stated_hands()[MIDDLING].scatter
VIEWS = ("right-premolar", "right-molar")


def planned(view_name: str, holder: str = "ring-holder") -> PlanByOdds:
    at = station_of(view_name, "plate-2", holder)
    return plan_by_odds(view(view_name), at, HAND, generator=np.random.default_rng(3))


def chance(plan: Plan, hand: Scatter = HAND) -> float:
    return first_time(plan, hand, np.random.default_rng(9)).none_failed


@pytest.mark.slow
@pytest.mark.parametrize("view_name", VIEWS)
def test_with_a_ring_the_rim_is_flush_and_that_costs_little(view_name: str) -> None:
    """Common practice, no source: the receptor is turned and placed, the tube follows."""
    found = planned(view_name)
    setting = found.plan.setting
    assert (setting.ring_offset_deg, setting.vertical_deg) == (0.0, 0.0)
    free = best_aim(view(view_name), found.plan.station)
    assert chance(found.plan) > chance(free) - WORTH_LEAVING - 2 * TIE
    assert found.leaving is None or found.leaving.gain >= WORTH_LEAVING


def test_without_a_ring_the_tube_is_swung_where_that_serves() -> None:
    found = planned("right-molar", "tab")
    assert found.leaving is None
    assert found.plan.setting.ring_offset_deg != 0.0


@pytest.mark.slow
def test_odds_are_those_that_other_slips_give_and_steadier_hands_do_better() -> None:
    plan = planned("right-molar").plan
    odds = {each.hand: each for each in odds_of(plan, None, seed=5)}
    assert list(odds) == list(stated_hands())
    for name, each in odds.items():
        again = chance(plan, stated_hands()[name].scatter)
        assert each.in_this_mouth.chance == pytest.approx(again, abs=4 * np.sqrt(0.25 / DRAWS))
    here = [each.in_this_mouth.chance for each in odds.values()]
    anywhere = [each.in_any_mouth.chance for each in odds.values()]
    assert here == sorted(here)
    assert anywhere == sorted(anywhere)
    assert all(known > unknown for known, unknown in zip(here, anywhere, strict=True))


def test_an_operators_own_scatter_takes_the_place_of_the_stated_hands() -> None:
    plan = planned("right-premolar").plan
    (only,) = odds_of(plan, HAND, seed=5, question=Question.BONE)
    assert only.hand == OPERATOR


def test_over_mouths_chances_are_their_mean_and_the_error_that_of_the_mouths() -> None:
    crest, shut = CriterionName.CREST, CriterionName.CONTACTS_OPEN
    one = Success(chance=0.5, error=0.1, shown=0.9, fails_most=((shut, 0.5), (crest, 0.1)))
    other = Success(chance=0.9, error=0.1, shown=0.7, fails_most=((crest, 0.1),))
    both = over_mouths([one, other])
    assert both.chance == pytest.approx(0.7)
    assert both.error == pytest.approx(0.2)  # SD 0.283 of two, over the root of two
    assert both.shown == pytest.approx(0.8)
    assert both.fails_most == ((shut, pytest.approx(0.25)), (crest, pytest.approx(0.1)))


def test_eight_mouths_of_each_kind_stand_for_one_that_nobody_knows() -> None:
    kinds = [kind for kind, _ in standing_mouths()]
    assert len(set(standing_mouths())) == 16
    assert {kind: kinds.count(kind) for kind in Regularity} == dict.fromkeys(Regularity, 8)


def test_rows_are_chosen_whose_mean_is_that_of_all() -> None:
    """Half of 40 rows of a kind are 0 and half 1: four of each of eight have their mean."""
    chances = np.tile([0.0, 1.0], 40)[:, None]
    kinds = np.repeat(["A", "B"], 40)
    rows = nearest_to_all(chances, kinds)
    assert sorted(kinds[rows].tolist()) == ["A"] * 8 + ["B"] * 8
    assert chances[rows].mean() == pytest.approx(0.5)
