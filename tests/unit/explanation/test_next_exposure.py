"""What to do next is weighed: by more than drawing decides, never at the cost of what is needed."""

from dataclasses import replace
from functools import cache

import numpy as np
import pytest

from bitewright.estimation.estimate import Estimate
from bitewright.estimation.mouth_shapes import MouthShapes
from bitewright.explanation.needed_movement import needed_movement
from bitewright.explanation.next_exposure import (
    WORTH_TELLING,
    Course,
    NextExposure,
    next_exposure,
)
from bitewright.planning.best_aim import Plan
from bitewright.planning.general_set_up import general_set_up
from bitewright.quality.criteria import Question
from trials.explained_films import Case, film_of
from trials.judged import estimated

pytestmark = pytest.mark.slow

FILMS = (0, 1, 2, 3)
"""One of each view."""

UNSURE = 0.02
"""Deviation that drawing leaves in a difference between courses, at most."""


@cache
def film(number: int) -> tuple[Estimate, Plan]:
    _, of, *_ = film_of(Case(run=300, number=number))
    found = estimated(of)
    return found, needed_movement(found, of.view, generator=np.random.default_rng(0)).plan


def weighed_of(
    found: Estimate, plan: Plan, *, seed: int = 0, swing_deg: float = 6.0
) -> NextExposure:
    return next_exposure(
        found,
        plan,
        swing_deg=swing_deg,
        question=Question.ENAMEL,
        generator=np.random.default_rng([7, seed]),
    )


@cache
def weighed(number: int, seed: int) -> NextExposure:
    return weighed_of(*film(number), seed=seed)


@pytest.mark.parametrize("number", FILMS)
def test_what_fits_a_known_mouth_shows_no_less_of_what_is_needed(number: int) -> None:
    _, of, *_ = film_of(Case(run=300, number=number))
    mouth = MouthShapes.known(of.station.outlines, of.view.region)
    found = estimated(of, shapes=mouth)
    plan = needed_movement(found, of.view, generator=np.random.default_rng(0)).plan
    expected = weighed_of(found, plan).expected
    fitted, anew = expected[Course.FITTED], expected[Course.ANEW]
    # Smoothed over neighbouring swings when it is chosen, and not when it is told.
    assert fitted.needed >= anew.needed - UNSURE
    assert fitted.readable >= anew.readable - UNSURE


@pytest.mark.parametrize("number", FILMS)
def test_a_course_is_told_by_more_than_drawing_decides(number: int) -> None:
    better = [
        each.expected[Course.MOVED].readable - each.expected[Course.ANEW].readable
        for each in (weighed(number, seed) for seed in range(4))
    ]
    assert np.std(better, ddof=1) < UNSURE


@pytest.mark.parametrize("number", FILMS)
def test_nothing_is_told_that_is_worth_no_more_than_setting_up_anew(number: int) -> None:
    for seed in range(4):
        then = weighed(number, seed)
        if then.course is not Course.ANEW:
            told, anew = then.expected[then.course], then.expected[Course.ANEW]
            assert told.readable > anew.readable + WORTH_TELLING
            assert told.needed >= anew.needed


@pytest.mark.parametrize("number", FILMS)
def test_a_set_up_leaves_the_receptor_where_the_general_plan_has_it(number: int) -> None:
    found, plan = film(number)
    then = weighed(number, 0)
    general = general_set_up(plan.view, found.films[0].station, Question.ENAMEL)
    swung = then.set_up.ring_offset_deg - general.ring_offset_deg
    assert then.set_up == replace(general, ring_offset_deg=general.ring_offset_deg + swung)


@pytest.mark.parametrize("number", FILMS)
def test_in_a_mouth_that_is_not_known_no_set_up_is_fitted(number: int) -> None:
    """Which would fit it better than the general plan, no film was found to tell."""
    expected = weighed(number, 0).expected
    assert set(expected) == {Course.SAME, Course.ANEW, Course.MOVED}


def test_a_movement_far_beside_the_set_up_is_not_told() -> None:
    then = weighed_of(*film(0), swing_deg=60.0)
    assert then.expected[Course.MOVED].readable < 0.5 * then.expected[Course.ANEW].readable
    assert then.course is not Course.MOVED
