"""Aiming with the film hidden: where it begins, what films come to, what is told."""

import numpy as np
import pytest

from bitewright.equipment.tubes import FieldShape
from bitewright.explanation.correction import Part
from bitewright.exposing.exposure import Exposures
from bitewright.mouth.population_mouth import population_mouth
from bitewright.planning.best_aim import Plan, best_aim
from bitewright.quality.predicted import Prediction, asked, predict
from bitewright.quality.views import view
from bitewright.tasks.catalogue.named import equipment, named_equipment, station_for
from bitewright.teaching.aiming import (
    BEGUN_OFF,
    aim_score,
    contacts_on,
    drawn_beginning,
    still_off,
)
from bitewright.teaching.correcting import contacts_won
from bitewright.teaching.fault_names import PlantedFault
from bitewright.teaching.slips import HandSlip, slipped_exposure
from bitewright.words.aiming import aimed_words, exposures_words, still_off_words


@pytest.fixture(scope="module")
def plan() -> Plan:
    by = named_equipment(
        equipment(), receptor="plate-2", holder="ring-holder", tube="rectangular-300"
    )
    at = station_for(view("left-molar"), population_mouth(2), by)
    return best_aim(view("left-molar"), at, flush=True)


def taken(plan: Plan, slip: HandSlip) -> tuple[Exposures, Prediction]:
    exposure = slipped_exposure(plan, slip)
    return exposure, predict(exposure, asked(plan.view, plan.station))


def test_the_best_aim_at_once_is_all_that_can_be_had_and_each_further_film_costs(
    plan: Plan,
) -> None:
    _, best = taken(plan, HandSlip())
    _, off = taken(plan, HandSlip(swing_deg=15.0))
    assert aim_score(plan, [best]) == 1.0
    assert aim_score(plan, [off, best]) == 0.75
    assert aim_score(plan, [off]) < 0.75
    assert contacts_on([off, best]) >= max(contacts_won(off), contacts_won(best))


def test_a_beginning_leaves_something_to_win_and_several_things_to_move(plan: Plan) -> None:
    for seed in range(4):
        begun = drawn_beginning(plan, np.random.default_rng(seed), tuple(PlantedFault))
        if begun is None:
            continue
        assert begun.fault in BEGUN_OFF
        assert contacts_won(plan.prediction) - contacts_won(begun.prediction) >= 1.5
        assert sum(abs(each) >= 0.5 for each in (
            begun.slip.swing_deg, begun.slip.vertical_deg, begun.slip.turn_deg,
            begun.slip.forward_mm,
        )) >= 2  # fmt: skip
    height = (PlantedFault.RECEPTOR_TOO_HIGH,)
    assert drawn_beginning(plan, np.random.default_rng(1), height) is None


def test_what_was_still_off_is_the_movement_back(plan: Plan) -> None:
    exposure, off = taken(plan, HandSlip(swing_deg=8.0, forward_mm=4.0))
    needed = still_off(plan, exposure)
    assert set(needed) == {Part.SWING, Part.FORWARD}
    assert needed[Part.SWING] == pytest.approx(-8.0, abs=0.1)
    assert needed[Part.FORWARD] == pytest.approx(-4.0, abs=0.6)
    said = still_off_words(plan, off, needed, was_flush=False)
    assert "slide the tube" in said
    assert "towards the back of the mouth" in said
    assert "turn the receptor" in still_off_words(plan, off, needed, was_flush=True)
    assert still_off(plan, plan.exposure) == {}


def test_films_and_their_dose_are_told_together(plan: Plan) -> None:
    films = [taken(plan, slip)[1] for slip in (HandSlip(swing_deg=15.0), HandSlip())]
    first, by_film = aimed_words(plan, films)
    assert f"one with the best aim {contacts_won(plan.prediction):g}." in first
    assert by_film.startswith(f"Film by film: {contacts_won(films[0]):g} and ")
    assert exposures_words(3, FieldShape.RECTANGULAR).startswith("3 exposures: ")
    assert "0.9 to 6 uSv" in exposures_words(3, FieldShape.RECTANGULAR)
