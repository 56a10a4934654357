"""Whether teeth touched the bite block, as somebody who was there answers: what is told then."""

from dataclasses import replace
from functools import cache

import numpy as np
import pytest

from bitewright.estimation.estimate import Estimate, FilmEvidence, estimate
from bitewright.estimation.exposure_unknowns import NAMES, exposures_at, hold_for, usual_unknowns
from bitewright.estimation.mouth_belief import population
from bitewright.estimation.mouth_prior import mean_mouth
from bitewright.estimation.mouth_shapes import mouth_shapes
from bitewright.explanation.answered_bite import stands_against_marks, without_closing
from bitewright.explanation.chairside_answers import ChairsideQuestion
from bitewright.explanation.chairside_questions import answered_amounts, foresaw
from bitewright.explanation.correction import CauseName, Correction, Estimated, Need, Part
from bitewright.explanation.explain import film_correction
from bitewright.explanation.likeliest_faults import LOWER, UPPER, FaultStates
from bitewright.explanation.needed_movement import NeededMovement, needed_movement
from bitewright.explanation.needs import AsMarked
from bitewright.exposing.project import project
from bitewright.exposing.targets import targets
from bitewright.marking.marked_landmarks import landmarks_from_marks
from bitewright.marking.simulated_marker import marked_by_simulation
from bitewright.quality.views import view
from bitewright.words.correction_doubts import correction_doubts
from bitewright.words.movement_rows import movement_rows
from tests.unit.explanation.test_chairside_questions import states
from tests.unit.explanation.test_explain import usual_station
from trials.known_films import Equipment

BITE = ChairsideQuestion.BITE
TOUCHED, APART = {BITE: True}, {BITE: False}
VIEW = "right-molar"


def shut_or_apart(chance_apart: float, apart_mm: float = 4.0) -> FaultStates:
    """Teeth shut, or so far apart, with these chances and no fault of the hand."""
    either = states({}, {}, chance=(1.0 - chance_apart, chance_apart))
    best = either.best.copy()
    best[1, [UPPER, LOWER]] = 0.75 * apart_mm, 0.25 * apart_mm
    return replace(either, best=best, held=np.array([False, True]))


def closing(value: float) -> dict[Part, Estimated]:
    """Nothing but the teeth's closing is needed, give or take 2 mm."""
    none = dict.fromkeys(Part, Estimated(value=0.0, low=-2.0, high=2.0))
    return none | {Part.CLOSURE: Estimated(value=value, low=value - 2.0, high=value + 2.0)}


@pytest.mark.parametrize(("answers", "after"), [(TOUCHED, 0.1), (APART, 0.9)])
def test_closing_goes_with_the_answer_by_as_much_as_teeth_are_believed_nearer(
    answers: dict[ChairsideQuestion, bool], after: float
) -> None:
    """Half and half 4 mm apart or shut, one answer in ten wrong: 0.4 or 3.6 mm instead of 2."""
    either = shut_or_apart(0.5)
    likely = foresaw(either, answers)
    assert likely is not None
    moved = answered_amounts(closing(2.0), either, likely)[Part.CLOSURE]
    assert moved.value == pytest.approx(4.0 * after)
    assert moved.high - moved.low == pytest.approx(4.0)


@pytest.mark.parametrize(
    ("answers", "chance_apart", "told_mm", "is_against"),
    [
        (TOUCHED, 0.5, 0.4, False),
        (TOUCHED, 0.8, 1.2, False),  # 4 to 1 by marks, 9 to 1 by the answer
        (TOUCHED, 0.99, 3.7, True),
        (APART, 0.5, 3.6, False),
        (APART, 0.01, 0.3, True),
        (APART, 0.99, 4.0, False),
    ],
)
def test_marks_contradict_where_the_answer_does_not_turn_them(
    answers: dict[ChairsideQuestion, bool],
    chance_apart: float,
    told_mm: float,
    *,
    is_against: bool,
) -> None:
    either = shut_or_apart(chance_apart)
    told = closing(told_mm)[Part.CLOSURE]
    likely = foresaw(either, answers)
    assert stands_against_marks(answers, either, likely, told) is is_against
    assert not stands_against_marks({}, either, None, told)


def test_nothing_is_said_against_an_answer_that_the_table_bears_out() -> None:
    apart = shut_or_apart(0.99)
    told = closing(0.4)[Part.CLOSURE]
    assert not stands_against_marks(TOUCHED, apart, foresaw(apart, TOUCHED), told)


def test_teeth_that_touched_are_told_to_nobody() -> None:
    needs = dict.fromkeys(Part, Need.MOVE)
    of_hand = without_closing(closing(2.0), needs)
    assert Part.CLOSURE not in of_hand
    assert needs[Part.CLOSURE] is Need.STAY
    assert needs[Part.SWING] is Need.MOVE


@cache
def explained_apart(apart_mm: float) -> tuple[Estimate, NeededMovement]:
    """The mean mouth's film with its teeth so far off the bite block, and what it needs."""
    at = usual_station(VIEW)
    unknowns = usual_unknowns(at)
    unknowns[[NAMES.index("upper_hold"), NAMES.index("lower_hold")]] = (
        hold_for(apart_mm),
        hold_for(0.1),
    )
    marks, _ = project(exposures_at(at, unknowns[None]), targets(at.outlines, at.region))
    film = marked_by_simulation(
        marks,
        view(VIEW),
        pixel_mm=0.02,
        image_name="a.png",
        receptor="sensor-2",
        sd_mm=0.15,
        generator=np.random.default_rng(0),
    )
    landmarks = landmarks_from_marks(
        film, view(VIEW), pixel_mm=0.02, receptor=Equipment.usual().receptor
    )
    teeth = tuple(mean_mouth().teeth)
    found = estimate(
        [FilmEvidence(landmarks=landmarks, station=at)],
        mouth_shapes(teeth, at.region),
        population(teeth),
    )
    return found, needed_movement(found, view(VIEW), generator=np.random.default_rng(1))


def answered(apart_mm: float, answers: dict[ChairsideQuestion, bool]) -> Correction:
    found, needed = explained_apart(apart_mm)
    return film_correction(found, view(VIEW), needed, marked=AsMarked(answers=answers))


def closing_row(correction: Correction) -> str:
    return next(row.need for each, row in movement_rows(correction) if each.part is Part.CLOSURE)


@pytest.mark.slow
def test_who_saw_teeth_touch_is_not_told_to_close_them() -> None:
    """About 2 mm apart as marked, and not surely: the answer counts."""
    before, touched, apart = (answered(2.0, each) for each in ({}, TOUCHED, APART))
    assert before.of(Part.CLOSURE).need is Need.PERHAPS
    assert CauseName.NOT_CLOSED in {each.name for each in before.causes}
    assert touched.of(Part.CLOSURE).need is Need.STAY
    assert closing_row(touched) == "no, they were seen to touch it"
    assert CauseName.NOT_CLOSED not in {each.name for each in touched.causes}
    assert not touched.bite_against_marks
    assert touched.held_by is None
    values = [each.of(Part.CLOSURE).needed.value for each in (touched, before, apart)]
    assert values == sorted(values)
    assert values[0] < values[1] < values[2]


@pytest.mark.slow
def test_marks_that_show_teeth_apart_are_set_against_the_answer_in_one_sentence() -> None:
    said = answered(5.0, TOUCHED)
    assert said.bite_against_marks
    assert not said.teeth_touched
    assert said.of(Part.CLOSURE).need is Need.MOVE
    assert closing_row(said) == "yes"
    (doubt,) = [each for each in correction_doubts(said) if "said to touch" in each]
    assert doubt.startswith("The teeth were said to touch the bite block, but as marked they were")
    assert "about 5 mm short of it" in doubt
    assert not [each for each in correction_doubts(answered(5.0, {})) if "were said" in each]
    otherwise = correction_doubts(replace(said, answers=APART))
    assert [each for each in otherwise if "said not to touch the bite block, but as" in each]
