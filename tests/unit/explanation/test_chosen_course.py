"""Which way to the next exposure is told, by what is expected of each."""

import pytest

from bitewright.explanation.course_trial import Expected
from bitewright.explanation.next_exposure import Course, chosen_course

ANEW = Expected(readable=0.80, needed=0.80)


def chosen(course: Course, *, readable: float, needed: float) -> Course:
    return chosen_course(
        {Course.ANEW: ANEW, course: Expected(readable=readable, needed=needed)},
    )


@pytest.mark.parametrize("needed", [0.75, 0.80, 0.88])
def test_a_film_that_does_not_serve_is_not_repeated_for_what_is_only_ideal(needed: float) -> None:
    assert chosen(Course.SAME, readable=0.95, needed=needed) is Course.ANEW


def test_putting_all_back_is_told_where_it_shows_plainly_more_of_what_is_needed() -> None:
    assert chosen(Course.SAME, readable=0.95, needed=0.92) is Course.SAME


@pytest.mark.parametrize(
    ("readable", "needed", "told"),
    [(0.81, 0.80, Course.MOVED), (0.81, 0.79, Course.ANEW), (0.802, 0.80, Course.ANEW)],
)
def test_a_movement_has_to_gain_and_to_lose_nothing_that_is_needed(
    readable: float, needed: float, told: Course
) -> None:
    assert chosen(Course.MOVED, readable=readable, needed=needed) is told
