"""A visit of two films: which further film could be justified, if any."""

import numpy as np
import pytest

from bitewright.exposing.exposure import aimed
from bitewright.exposing.placement import Placement
from bitewright.exposing.seating import nearest_fit_mm, seat
from bitewright.planning.best_aim import Plan, Setting
from bitewright.quality.predicted import asked, predict
from bitewright.quality.views import view
from bitewright.teaching.decided_visit import (
    ALL_FILMS,
    BOTH_FILMS,
    NO_FILM,
    AskedVisit,
    DecidedVisit,
    drawn_visit,
    visit_ledger,
)
from bitewright.teaching.exercises import drawn_exercise
from bitewright.teaching.fault_names import PlantedFault
from bitewright.teaching.item import ItemKind
from bitewright.words.exercises import choice_words, explanation_words, item_question
from tests.scenes import station_of

SETTINGS = {"right-premolar": (-6.0, 2.5), "right-molar": (0.0, 5.5)}
FOUR = {**SETTINGS, "left-premolar": (-6.0, 2.5), "left-molar": (0.0, 5.5)}
"""Near the best aim in the standard mouth: forward and turn, the rim flush."""


def plan_of(name: str) -> Plan:
    at, of_view = station_of(name, "plate-2"), view(name)
    forward, turn = FOUR[name]
    space = float(nearest_fit_mm(at.seating, Placement(forward_mm=forward, turn_deg=turn))[0])
    setting = Setting(
        forward_mm=forward, lingual_mm=space, turn_deg=turn, ring_offset_deg=0.0, vertical_deg=0.0
    )
    exposure = aimed(at, seat(at.seating, setting.placement()), setting.aim())
    made = predict(exposure, asked(of_view, at))
    return Plan(
        view=of_view, station=at, setting=setting, exposure=exposure, prediction=made, cost=0.0
    )


@pytest.fixture(scope="module")
def plans() -> tuple[Plan, ...]:
    return tuple(plan_of(name) for name in SETTINGS)


def a_visit(
    plans: tuple[Plan, ...], fault: PlantedFault, *, leaves_unread: bool
) -> DecidedVisit | None:
    found = (drawn_visit(plans, np.random.default_rng(seed), (fault,)) for seed in range(12))
    return next(
        (each for each in found if each is not None and bool(each.unread) is leaves_unread), None
    )


def test_what_one_film_lost_and_the_other_shows_justifies_no_further_film(
    plans: tuple[Plan, ...],
) -> None:
    visit = a_visit(plans, PlantedFault.TUBE_TOO_FAR_BACK, leaves_unread=False)
    assert visit is not None
    assert any(visit.shown_elsewhere)
    assert [visit.choices[k] for k in visit.key] == [NO_FILM]
    assert not visit_ledger(visit.films).unread


def test_a_contact_that_no_film_shows_is_won_by_the_view_that_asks_for_it(
    plans: tuple[Plan, ...],
) -> None:
    """The front of a premolar film left blank: no molar film reaches what stood there."""
    asked_for = AskedVisit(plans=plans, leaves_unread=True)
    fault = (PlantedFault.BEAM_OFF_FRONT,)
    made = (
        drawn_exercise(
            ItemKind.DECIDE, plans[0], np.random.default_rng(seed), faults=fault, visit=asked_for
        )
        for seed in range(12)
    )
    exercise = next(each for each in made if each is not None)
    visit = exercise.visit
    assert visit is not None
    assert "44.distal" in visit.unread
    assert [exercise.choices[k] for k in exercise.key] == ["right-premolar"]
    assert exercise.choices == (NO_FILM, "right-premolar", "right-molar", BOTH_FILMS)
    assert "right premolar and right molar" in item_question(exercise)
    assert choice_words(exercise)[1] == "the right premolar film again"
    first, *rest = explanation_words(exercise)
    assert first.startswith("The right premolar film again: ")
    assert "44-45" in first
    assert any("for the practitioner to decide" in each for each in rest)


@pytest.fixture(scope="module")
def four_plans() -> tuple[Plan, ...]:
    return tuple(plan_of(name) for name in FOUR)


def test_of_four_films_the_one_that_lost_a_contact_is_taken_again(
    four_plans: tuple[Plan, ...],
) -> None:
    asked_for = AskedVisit(plans=four_plans, leaves_unread=True)
    made = (
        drawn_exercise(
            ItemKind.DECIDE,
            four_plans[0],
            np.random.default_rng(seed),
            faults=(PlantedFault.BEAM_OFF_FRONT,),
            visit=asked_for,
        )
        for seed in range(20)
    )
    exercise = next(each for each in made if each is not None)
    visit = exercise.visit
    assert visit is not None
    assert exercise.choices == (NO_FILM, *FOUR, ALL_FILMS)
    (again,) = visit.won_by
    side = again.partition("-")[0]
    quadrants = {"right": "14", "left": "23"}[side]
    assert visit.unread
    assert all(name[0] in quadrants for name in visit.unread)
    assert "four films of a visit" in item_question(exercise)
    assert choice_words(exercise)[-1] == "all four again"
    other = visit.beside(list(FOUR).index(again)).plan.view
    assert other.region.side.value == side
    first, *_ = explanation_words(exercise)
    assert f"the {other.title} film does not show" in first


def test_of_four_films_that_show_all_together_none_is_taken_again(
    four_plans: tuple[Plan, ...],
) -> None:
    visit = a_visit(four_plans, PlantedFault.TUBE_TOO_FAR_BACK, leaves_unread=False)
    assert visit is not None
    assert [visit.choices[k] for k in visit.key] == [NO_FILM]
    assert not visit_ledger(visit.films).unread
    shown = [k for k, names in enumerate(visit.shown_elsewhere) if names]
    assert shown
    for k in shown:
        beside = visit.beside(k).plan.view
        assert beside.region.side is visit.films[k].plan.view.region.side
        assert beside.name != visit.films[k].plan.view.name
