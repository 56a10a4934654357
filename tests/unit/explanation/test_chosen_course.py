"""Which way to the next exposure is told, by what is expected of each."""

import pytest

from bitewright.explanation.course_trial import Expected
from bitewright.explanation.next_exposure import Course, chosen_course

ANEW = Expected(readable=0.80, needed=0.80)


def chosen(course: Course, *, readable: float, needed: float) -> Course:
    return chosen_course(
        {Course.ANEW: ANEW, course: Expected(readable=readable, needed=needed)},
    )


@pytest.mark.parametrize("needed", [0.75, 0.80, 0.92, 1.0])
def test_a_film_that_does_not_serve_is_never_repeated_as_it_was(needed: float) -> None:
    assert chosen(Course.SAME, readable=1.0, needed=needed) is Course.ANEW


def test_a_movement_is_told_though_the_same_way_again_may_show_more() -> None:
    expected = {
        Course.SAME: Expected(readable=0.99, needed=0.99),
        Course.ANEW: ANEW,
        Course.MOVED: Expected(readable=0.85, needed=0.85),
    }
    assert chosen_course(expected) is Course.MOVED


@pytest.mark.parametrize(
    ("readable", "needed", "told"),
    [(0.81, 0.80, Course.MOVED), (0.81, 0.79, Course.ANEW), (0.802, 0.80, Course.ANEW)],
)
def test_a_movement_has_to_gain_and_to_lose_nothing_that_is_needed(
    readable: float, needed: float, told: Course
) -> None:
    assert chosen(Course.MOVED, readable=readable, needed=needed) is told
