"""What is drawn of an explanation: what is told, and no amount that is not told."""

from dataclasses import replace
from typing import Any

import pytest

from bitewright.explanation.correction import Need, Part
from bitewright.explanation.course_trial import Expected
from bitewright.explanation.explanation import Explanation
from bitewright.explanation.next_exposure import Course, NextExposure
from bitewright.report.drawing_panel import Scene
from bitewright.words.next_exposures import also_words, lead_words
from tests.sample_corrections import Sample, correction_of, sample

OFF = {Part.SWING: -9.0, Part.ROLL: 5.0, Part.FORWARD: 4.0}
SAID = {
    Part.SWING: "slide the tube",
    Part.ROLL: "tip the receptor's front edge",
    Part.FORWARD: "move the receptor",
}

TOLD = [course for course in Course if course is not Course.SAME]


def weighed(of: Sample, course: Course, goes: dict[Part, float]) -> NextExposure:
    one = Expected(readable=0.5, needed=0.5)
    return NextExposure(
        course=course,
        set_up=of.plan.setting,
        exposure=of.plan.exposure,
        goes={Part.VERTICAL: 0.0, Part.FORWARD: 0.0} | goes,
        expected=dict.fromkeys(Course, one),
    )


def explained(
    course: Course | None, *, swing_deg: float = -8.0, forward_mm: float = 0.0, **changes: Any
) -> Explanation:
    of = sample(swing_deg=9.0)
    goes = {Part.SWING: swing_deg, Part.FORWARD: forward_mm}
    return Explanation(
        correction=replace(correction_of(OFF), **changes),
        now=of.present,
        plan=of.plan,
        estimate=None,  # type: ignore[arg-type]  # nothing here asks for it
        next=None if course is None else weighed(of, course, goes),
    )


def drawn_parts(of: Explanation) -> set[Part]:
    return {each.part for each in of.drawn.movements if each.need is Need.MOVE}


@pytest.mark.parametrize("course", [Course.ANEW, Course.FITTED])
def test_a_set_up_draws_the_swing_only_where_it_goes_its_way(course: Course) -> None:
    assert drawn_parts(explained(course)) == {Part.SWING, Part.ROLL}
    assert drawn_parts(explained(course, swing_deg=-2.0)) == {Part.ROLL}
    assert drawn_parts(explained(course, swing_deg=8.0)) == {Part.ROLL}


@pytest.mark.parametrize("course", TOLD)
@pytest.mark.parametrize("swing_deg", [-8.0, -2.0, 8.0])
@pytest.mark.parametrize("forward_mm", [-3.0, 1.5, 3.0])
def test_what_is_drawn_is_what_is_said(course: Course, swing_deg: float, forward_mm: float) -> None:
    of = explained(course, swing_deg=swing_deg, forward_mm=forward_mm)
    assert of.next is not None
    lead = lead_words(of.next, of.correction, receptor_turned=())
    said = f"{lead} {also_words(of.next, of.correction, receptor_turned=())}"
    assert drawn_parts(of) == {part for part, words in SAID.items() if words in said}


def test_only_a_movement_that_is_told_says_how_far() -> None:
    told = {course: explained(course).tells_how_far for course in TOLD}
    assert [course for course, far in told.items() if far] == [Course.MOVED]
    assert explained(None).tells_how_far
    assert not explained(None, is_unlike=True).tells_how_far


def test_of_what_a_movement_leaves_to_the_set_up_the_way_alone_is_drawn() -> None:
    of = explained(Course.MOVED, forward_mm=3.0)
    assert of.tells_how_far
    assert of.ways_alone == (Part.FORWARD,)
    scene = Scene(of.drawn, of.now, None, of.tells_how_far, of.ways_alone)
    assert scene.arrow_words(of.correction.of(Part.FORWARD)) == "to the front"
    assert scene.arrow_words(of.correction.of(Part.ROLL)) == "front edge 5 degrees down"


@pytest.mark.parametrize("course", TOLD)
def test_what_is_told_is_drawn_as_the_set_up_for_next_time(course: Course) -> None:
    of = explained(course)
    assert of.next is not None
    assert of.next_plan.exposure is of.next.exposure
