"""Causes that a film does not tell apart are told as such, and how the mouth tells them apart."""

from dataclasses import replace

import pytest

from bitewright.explanation.correction import CauseName, Estimated
from bitewright.words.causes import tell_apart
from bitewright.words.corrections import correction_words
from tests.sample_corrections import sample


@pytest.mark.parametrize(("chance", "of"), [(0.4, "two"), (0.2, "several")])
def test_two_causes_that_are_not_told_apart_are_said_so_and_share_no_percentages(
    chance: float, of: str
) -> None:
    told = sample(swing_deg=10).correction
    first = told.causes[0]
    first = replace(first, chance=0.5)
    other = replace(
        first,
        name=CauseName.RECEPTOR_TOO_FAR_FORWARD,
        unit="mm",
        chance=chance,
        is_alternative=True,
    )
    words = correction_words(replace(told, causes=(first, other)))
    assert words.causes[0].startswith(f"one of {of} that these marks do not tell apart: the tube")
    assert words.causes[1] == "or in its place: the receptor lay too far to the front"
    assert f"One of {of} that these marks do not tell apart: the tube stood 10" in words.teacher
    assert "Or in its place: the receptor lay too far to the front." in words.teacher
    assert "Which it was, the mouth tells: the rim flush with its ring" in words.teacher
    assert "of what is off" not in words.teacher
    assert "Most likely" not in words.teacher


@pytest.mark.parametrize(
    ("first", "other", "said"),
    [
        (CauseName.TUBE_TOO_HIGH, CauseName.TUBE_TOO_FAR_BACK, ""),
        (CauseName.RECEPTOR_TOO_HIGH, CauseName.RECEPTOR_ROLLED_FRONT_UP, "receptor's edges lie"),
        (CauseName.RECEPTOR_TOO_HIGH, CauseName.TUBE_TOO_LOW, "speak against the tube"),
        (CauseName.TUBE_TOO_HIGH, CauseName.NOT_CLOSED, "whether the teeth touch the bite block"),
    ],
)
def test_how_to_tell_two_causes_apart_hangs_on_what_they_are(
    first: CauseName, other: CauseName, said: str
) -> None:
    of = sample(swing_deg=10).correction.causes[0]
    told = tell_apart(replace(of, name=first), replace(of, name=other))
    assert said in told
    assert bool(told) is bool(said)


@pytest.mark.parametrize(
    ("low", "said"),
    [
        (0.0, "(90%: perhaps none, at most 13)"),
        (0.3, "(90%: perhaps none, at most 13)"),
        (4.0, "(90% between 4 and 13)"),
    ],
)
def test_no_lower_end_is_told_of_a_cause_whose_movement_may_go_the_other_way(
    low: float, said: str
) -> None:
    told = sample(swing_deg=10).correction
    size = Estimated(value=9.0, low=low, high=13.0)
    words = correction_words(replace(told, causes=(replace(told.causes[0], size=size),)))
    assert said in words.teacher
    assert ("between 0" in words.teacher) is False


def test_a_cause_that_is_not_sure_and_has_no_other_beside_it_is_told_as_perhaps() -> None:
    told = sample(swing_deg=10).correction
    words = correction_words(replace(told, causes=(replace(told.causes[0], chance=0.5),)))
    assert words.causes[0].startswith("perhaps the tube stood 10")
    assert words.teacher.startswith("Perhaps the tube stood 10")
