"""A planned visit in words: one film is not several, and each chance has its hand."""

import pytest

from bitewright.words.visit_plans import all_words, odds_note

CHANCES = {"learner": 0.68, "practised": 0.995}


@pytest.mark.parametrize(
    ("films", "on"),
    [(1, "this film, not taken again"), (2, "these films, none taken again")],
)
def test_the_chance_is_of_as_many_films_as_there_are(films: int, on: str) -> None:
    assert all_words(films, CHANCES) == (
        f"The chance that all of that is on {on}: 68% for a learner, over 99% for a practised hand."
    )


@pytest.mark.parametrize(
    ("is_described", "mouths"),
    [
        (True, "simulated exposures of this mouth as it is described"),
        (False, "simulated exposures of many mouths that this one may be"),
    ],
)
def test_the_note_says_of_which_mouths_the_chances_are(*, is_described: bool, mouths: str) -> None:
    assert mouths in odds_note(is_described=is_described)
