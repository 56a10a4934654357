"""The gate before another exposure: when one is offered, and what it may win."""

from dataclasses import replace

import numpy as np
import pytest

from bitewright.equipment.tubes import FieldShape
from bitewright.estimation.mouth_belief import population
from bitewright.exposing.exposure import Station, expose
from bitewright.marking.marks import Mark
from bitewright.mouth.numbering import Side
from bitewright.planning.best_aim import Plan, Setting, best_aim
from bitewright.planning.stated_hands import stated_hands
from bitewright.quality.predicted import asked, predict
from bitewright.quality.views import View, view
from bitewright.visit.gate import Stated, Withheld, bitewing_dose_usv, gate
from bitewright.visit.ledger import ledger
from bitewright.visit.odds import Odds, exposure_odds
from tests.scenes import station_in
from tests.unit.visit.marked import OFF, changed, film

RIGHT = (Side.RIGHT,)
ALL_STATED = Stated(purpose="pain at 45", cause="tube too far forward", change="tube back")
SHUT = film("right-premolar", {"44-45": 1.4})
GOOD = (film("right-premolar"), film("right-molar"))
TEETH = tuple(10 * quadrant + place for quadrant in (1, 2, 3, 4) for place in range(1, 8))


def test_nothing_is_offered_where_nothing_is_unread() -> None:
    found = gate(ledger(GOOD, sides=RIGHT), ALL_STATED)
    assert found.withheld == (Withheld.NOTHING_UNREAD,)


def test_without_purpose_cause_and_change_nothing_is_offered() -> None:
    told = ledger([SHUT, GOOD[1]], sides=RIGHT)
    assert gate(told, Stated()).withheld == (
        Withheld.NO_PURPOSE,
        Withheld.NO_CAUSE,
        Withheld.NO_CHANGE,
    )
    found = gate(told, ALL_STATED)
    assert found.is_offered
    assert [row.name for row in found.unread] == ["44.distal", "45.mesial"]
    assert [each.name for each in found.views] == ["right-premolar"]


def test_a_contact_across_a_closed_space_is_unread_like_any_other() -> None:
    edges = {
        "14.distal": Mark(x_px=770.0, y_px=400.0),
        "16.mesial": Mark(x_px=830.0, y_px=400.0),
    }
    shut = changed(film("right-premolar", absent=(15,)), edges)
    rest = changed(film("right-molar", absent=(15,)), {"16.mesial": OFF, "14.distal": OFF})
    found = gate(ledger([shut, rest], sides=RIGHT), ALL_STATED)
    assert [row.name for row in found.unread] == ["14.distal", "16.mesial"]
    assert found.failed == {"right-premolar": 1, "right-molar": 1}
    assert [each.name for each in found.views] == ["right-premolar", "right-molar"]


def test_a_view_that_was_never_taken_is_no_repeat() -> None:
    found = gate(ledger([GOOD[0]], sides=RIGHT), Stated(purpose="caries"))
    assert found.is_offered
    assert [each.name for each in found.views] == ["right-molar"]


def test_what_nobody_marked_is_marked_first() -> None:
    told = ledger([changed(SHUT, {"15.distal": None}), GOOD[1]], sides=RIGHT)
    assert Withheld.NOT_MARKED not in gate(told, ALL_STATED).withheld, "the molar film shows 15-16"
    told = ledger([changed(SHUT, {"14.distal": None}), GOOD[1]], sides=RIGHT)
    assert gate(told, ALL_STATED).withheld == (Withheld.NOT_MARKED,)


def test_nothing_unread_is_no_reason_where_something_is_not_known() -> None:
    """16-17 is shut on the molar film, and nobody marked it on the premolar film beside it."""
    shut = film("right-molar", {"16-17": 1.4})
    seen = {"16.distal": Mark(x_px=620.0, y_px=400.0)}
    alone = gate(ledger([GOOD[0], shut], sides=RIGHT), ALL_STATED)
    assert [row.name for row in alone.unread] == ["16.distal", "17.mesial"]
    both = gate(ledger([changed(GOOD[0], seen), shut], sides=RIGHT), ALL_STATED)
    assert both.withheld == (Withheld.NOT_MARKED,)
    assert [row.name for row in both.not_marked] == ["16.distal", "17.mesial"]


def test_what_is_doubtful_alone_is_said_to_be_doubtful() -> None:
    near_the_limit = {"44-45": 0.9}
    found = gate(ledger([film("right-premolar", near_the_limit), GOOD[1]], sides=RIGHT), ALL_STATED)
    assert [row.name for row in found.doubtful] == ["44.distal", "45.mesial"]
    assert found.withheld == (Withheld.ONLY_DOUBTFUL,)


def test_after_two_failed_films_another_view_then_none() -> None:
    again = film("right-premolar", {"44-45": 1.5}, name="again")
    found = gate(ledger([SHUT, again, GOOD[1]], sides=RIGHT), ALL_STATED)
    assert found.failed["right-premolar"] == 2
    assert [each.name for each in found.views] == ["right-premolar-vertical"]
    upright = [
        replace(
            each,
            name=f"upright {each.name}",
            view=view("right-premolar-vertical"),
            marks=replace(each.marks, view="right-premolar-vertical"),
        )
        for each in (SHUT, again)
    ]
    found = gate(ledger([SHUT, again, *upright, GOOD[1]], sides=RIGHT), ALL_STATED)
    assert found.withheld == (Withheld.TWO_FAILED,)


def test_the_dose_is_a_range_about_the_published_mean() -> None:
    """Ludlow et al. 2008: four bitewings 5.0 uSv; full mouth 170.7 round, 34.9 rectangular."""
    least, most = bitewing_dose_usv(FieldShape.RECTANGULAR)
    assert least < 5.0 / 4.0 < most
    wide = bitewing_dose_usv(FieldShape.ROUND)
    assert wide.most_usv / most == pytest.approx(170.7 / 34.9, rel=0.03)


@pytest.fixture(scope="module")
def plan() -> Plan:
    return best_aim(
        view("right-molar"), station_in(population(TEETH).mouth(), "right-molar", "sensor-2")
    )


def test_what_overlaps_across_a_closed_space_is_not_promised() -> None:
    """The tube is far off, so that 15-16 is shut; beside an open gap all the same can be read."""
    teeth = tuple(code for code in TEETH if code != 46)
    names = ("45.distal", "47.mesial", "16.mesial")
    for closed in ((46,), ()):
        belief = replace(population(teeth), closed=closed)
        of_view = view("right-molar")
        at = station_in(belief.mouth(), "right-molar", "sensor-2")
        far = Setting(
            forward_mm=0.0, lingual_mm=12.0, turn_deg=0.0, ring_offset_deg=28.0, vertical_deg=5.0
        )
        found = exposure_odds(
            _set(of_view, at, far),
            belief.seen_from(Side.RIGHT),
            stated_hands()["very-steady"].scatter,
            names,
            unreadable_share=0.5,
            generator=np.random.default_rng(3),
        )
        assert found.places["16.mesial"] < 0.1
        for name in names[:2]:
            assert found.places[name] < 0.5 if closed else found.places[name] > 0.9


def _set(of_view: View, at: Station, setting: Setting) -> Plan:
    exposure = expose(at, setting.placement(), setting.aim())
    return Plan(
        view=of_view,
        station=at,
        setting=setting,
        exposure=exposure,
        prediction=predict(exposure, asked(of_view, at)),
        cost=0.0,
    )


def odds(plan: Plan, hand: str, *names: str) -> Odds:
    return exposure_odds(
        plan,
        population(TEETH).seen_from(Side.RIGHT),
        stated_hands()[hand].scatter,
        names,
        unreadable_share=0.5,
        generator=np.random.default_rng(3),
    )


def test_a_steadier_hand_wins_more_and_the_other_side_nothing(plan: Plan) -> None:
    names = ("15.distal", "16.mesial", "26.distal", "17.mesial.crest")
    learner, steady = (odds(plan, hand, *names) for hand in ("learner", "very-steady"))
    assert steady.places["26.distal"] == 0.0
    assert steady.all_of_them == 0.0
    assert steady.places["16.mesial"] > learner.places["16.mesial"] > 0.5
    assert steady.expected > learner.expected
    assert steady.expected == pytest.approx(sum(steady.places.values()))
