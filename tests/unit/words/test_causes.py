"""Causes that a film does not tell apart are told as such, and how the mouth tells them apart."""

from dataclasses import replace

import pytest

from bitewright.explanation.correction import CauseName, Estimated, Need, Part, Verdict
from bitewright.words.causes import tell_apart
from bitewright.words.corrections import correction_words
from bitewright.words.phrases import capital
from tests.sample_corrections import sample


@pytest.mark.parametrize("is_needed", [True, False])
def test_a_cause_in_anothers_place_is_told_no_more_surely_than_the_table_tells_both(
    *, is_needed: bool
) -> None:
    """The table said yes to the first, and the causes that the other may have been in its place."""
    told = sample(swing_deg=10).correction
    first = replace(told.causes[0], chance=0.5)
    other = replace(
        first,
        name=CauseName.RECEPTOR_TOO_FAR_FORWARD,
        unit="mm",
        chance=0.4,
        is_alternative=True,
    )
    movements = tuple(
        each if is_needed or each.part is not Part.SWING else replace(each, need=Need.PERHAPS)
        for each in told.movements
    )
    words = correction_words(replace(told, movements=movements, causes=(first, other)))
    place = "perhaps, beside it or in its place" if is_needed else "or in its place, perhaps"
    assert words.causes[0].startswith("the tube" if is_needed else "perhaps the tube stood 10")
    assert words.causes[1] == f"{place}: the receptor lay too far to the front"
    opening = "Most likely the tube" if is_needed else "Perhaps the tube"
    assert words.teacher.startswith(f"{opening} stood 10")
    assert f"{capital(place)}: the receptor lay too far to the front." in words.teacher
    assert "Which it was, the mouth tells: the rim flush with its ring" in words.teacher
    assert "of what is off" not in words.teacher


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


@pytest.mark.parametrize(("need", "said"), [(Need.MOVE, "the"), (Need.PERHAPS, "perhaps the")])
def test_a_cause_is_as_sure_as_the_table_tells_its_movement(need: Need, said: str) -> None:
    """The table said yes, and the cause perhaps."""
    told = sample(swing_deg=10).correction
    movements = tuple(
        replace(each, need=need) if each.part is Part.SWING else each for each in told.movements
    )
    causes = (replace(told.causes[0], chance=0.5),)
    words = correction_words(replace(told, movements=movements, causes=causes))
    assert words.causes[0].startswith(f"{said} tube stood 10")


@pytest.mark.parametrize("ring", [True, False])
@pytest.mark.parametrize(
    ("verdict", "acts"), [(Verdict.NOTHING, False), (Verdict.NEARER, False), (Verdict.MOVE, True)]
)
def test_where_nothing_needs_to_move_nobody_is_told_what_has_to(
    verdict: Verdict, *, acts: bool, ring: bool
) -> None:
    """Beneath "Nothing needs to move" stood "so the tube is what has to move"."""
    off = sample(swing_deg=10, vertical_deg=8).correction
    movements = tuple(
        replace(each, need=Need.PERHAPS) if each.need is Need.MOVE else each
        for each in off.movements
    )
    still = replace(off, verdict=verdict, movements=movements)
    teacher = correction_words(still, ring=ring, serves=not acts).teacher
    assert "look from above" in teacher
    assert "the receptor was turned" in teacher
    remedies = ("what has to move", "ring back", "set it straight", "seat it upright")
    assert any(each in teacher for each in remedies) is acts
