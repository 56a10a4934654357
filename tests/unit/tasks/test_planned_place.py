"""A planned place that leaves a contact off the image says what it would be further forward."""

import re

import pytest

from bitewright.planning.best_aim import Held
from bitewright.quality.findings import not_shown
from bitewright.quality.rating import ContactState
from bitewright.quality.views import view
from bitewright.tasks.plan.plan_view import plan_view
from bitewright.tasks.plan.predict_exposure import ExposurePrediction, predict_exposure
from bitewright.tasks.plan.wanted_setting import WantedSetting
from bitewright.tasks.rated_by import RatedBy
from tests.scenes import station_of


def predicted(receptor: str, **given: float) -> ExposurePrediction:
    wanted = WantedSetting(planned=True, **given)  # type: ignore[arg-type]
    at = station_of("right-premolar", receptor)
    return predict_exposure(view("right-premolar"), at, wanted, by=RatedBy())


def kept(of: ExposurePrediction, further_mm: float) -> ExposurePrediction:
    """The same setting, its receptor further to the front."""
    place, aim = of.placement.arrays(), of.aim.arrays()
    return predicted_unplanned(
        forward_mm=float(place["forward_mm"][0]) + further_mm,
        turn_deg=float(place["turn_deg"][0]),
        ring_offset_deg=float(aim["ring_offset_deg"][0]),
        vertical_deg=float(aim["vertical_deg"][0]),
    )


def predicted_unplanned(**given: float) -> ExposurePrediction:
    at = station_of("right-premolar", "film-2")
    wanted = WantedSetting(**given)  # type: ignore[arg-type]
    return predict_exposure(view("right-premolar"), at, wanted, by=RatedBy())


def test_what_a_planned_place_leaves_off_is_told_as_it_would_be_further_forward() -> None:
    """The film was said to be planned 6 mm back, and its estimate to want 1 mm to the front."""
    planned = predicted("film-2")
    told = re.fullmatch(
        r"With the receptor ([\d.]+) mm further to the front (\d\d-\d\d) would be on the image, "
        r"but unreadable; for this question it is not needed\.",
        planned.planned_place,
    )
    assert told is not None
    assert planned.fitness.endswith(planned.planned_place)
    step_mm, contact = float(told[1]), told[2]
    assert contact in not_shown(planned.prediction.measurements)
    assert contact in planned.not_needed
    short, there = kept(planned, step_mm - 0.5), kept(planned, step_mm)
    assert contact in not_shown(short.prediction.measurements)
    state = {each.name: each.state for each in there.contacts}[contact]
    assert state is ContactState.UNREADABLE
    assert not short.planned_place


@pytest.mark.parametrize(("receptor", "given"), [("plate-2", {}), ("film-2", {"forward_mm": -6.0})])
def test_nothing_is_said_where_all_is_shown_or_a_person_chose_the_place(
    receptor: str, given: dict[str, float]
) -> None:
    assert not predicted(receptor, **given).planned_place


def test_a_plan_says_it_of_the_same_place_too() -> None:
    """A plan told only that the contact was not shown, as if there were nothing to say of why."""
    at = station_of("right-premolar", "film-2")
    told = predicted("film-2").planned_place
    planned = plan_view(view("right-premolar"), at, by=RatedBy())
    assert told
    assert planned.fitness.endswith(told)
    back = Held(forward_mm=planned.plan.setting.forward_mm)
    held = plan_view(view("right-premolar"), at, held=back, by=RatedBy())
    assert set(not_shown(planned.plan.prediction.measurements)) & set(
        not_shown(held.plan.prediction.measurements)
    )
    assert not held.planned_place
