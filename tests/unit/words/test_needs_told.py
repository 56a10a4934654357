"""What is needed, perhaps needed or not is said as no more than that, and as the table has it."""

from dataclasses import replace

import pytest

from bitewright.explanation.chairside_answers import ChairsideQuestion
from bitewright.explanation.correction import (
    CauseName,
    Correction,
    Estimated,
    HeldApart,
    Movement,
    Need,
    Part,
    Verdict,
)
from bitewright.explanation.rim_seen import turned_instead
from bitewright.words.corrections import correction_words
from bitewright.words.movement_rows import movement_row, movement_rows
from tests.sample_corrections import RIM_RADIUS_MM, correction_of, sample


def test_a_film_that_serves_is_not_told_to_be_taken_the_same_way() -> None:
    """Six bone crests were cut off, and the paragraph said that all was where it should be."""
    still = sample().correction
    words = correction_words(still, serves=True)
    assert words.operator.startswith("This film serves its question")
    assert words.operator.endswith("nothing needs to move for that.")
    assert words.teacher.startswith("These marks do not show that receptor or tube was off by more")
    assert "where they should be" not in words.teacher


def test_of_a_film_that_needs_no_movement_causes_are_only_ever_perhaps() -> None:
    told = sample(swing_deg=10).correction
    first = replace(told.causes[0], chance=0.4)
    other = replace(
        first, name=CauseName.RECEPTOR_TOO_HIGH, unit="mm", chance=0.3, is_alternative=True
    )
    movements = tuple(
        replace(each, need=Need.PERHAPS if each.part is Part.SWING else Need.STAY)
        for each in told.movements
    )
    still = replace(told, verdict=Verdict.NOTHING, movements=movements, causes=(first, other))
    words = correction_words(still, serves=True)
    assert words.causes[0].startswith("perhaps the tube stood")
    assert words.causes[1].startswith("or in its place, perhaps: the receptor stood too high")
    assert "Perhaps the tube stood" in words.teacher


@pytest.mark.parametrize(
    ("low", "said"),
    [
        (-1.0, "Likely, but within the interval it may be none"),
        (0.3, "Likely, but within the interval it may be none"),
        (2.0, "Likely, but within the interval it may be too small to matter"),
        (5.0, "of this mouth, but the general plan does not go that way"),
    ],
)
def test_what_is_perhaps_is_called_perhaps_none_only_where_its_interval_holds_nought(
    low: float, said: str
) -> None:
    told = sample(swing_deg=10).correction
    needed = Estimated(value=8.0, low=low, high=14.0)
    movements = tuple(
        replace(each, needed=needed, need=Need.PERHAPS) if each.part is Part.VERTICAL else each
        for each in told.movements
    )
    teacher = correction_words(replace(told, movements=movements)).teacher
    assert f"{said}: the tube up or down." in teacher
    assert teacher.count("Likely") == 1
    flush = correction_words(replace(told, movements=movements), rim_flush=True).teacher
    assert f"{said}: the receptor's upper edge." in flush


def test_where_the_rim_was_flush_the_receptor_moves_and_the_tube_with_it() -> None:
    """The sentence turned the receptor to the teeth, the table slid the tube and turned it back."""
    off = correction_of({Part.SWING: -12.0, Part.VERTICAL: 8.0})
    words = correction_words(off, ring=True, rim_flush=True)
    assert "turn the receptor's front end about 12 degrees towards the teeth" in words.operator
    assert "tilt the receptor's upper edge about 8 degrees towards the midline" in words.operator
    assert words.operator.count("its ring and the tube with it") == 2
    assert "tube about" not in words.operator
    rows = [
        movement_row(off.of(part), rim_radius_mm=RIM_RADIUS_MM, receptor_turned=(part,))
        for part in (Part.SWING, Part.VERTICAL)
    ]
    assert [row.name for row in rows] == [
        "receptor's front end, its ring and the tube with it",
        "receptor's upper edge, its ring and the tube with it",
    ]
    assert [row.about for row in rows] == ["12 degrees to the teeth", "8 degrees to the midline"]


@pytest.mark.parametrize("seen", [True, False])
def test_the_paragraph_does_not_ask_for_a_gap_that_was_looked_for(*, seen: bool) -> None:
    """It said to look for a gap at the front or the back, beside the answer that there was none."""
    off = correction_of({Part.SWING: -12.0, Part.VERTICAL: 8.0})
    answered = replace(off, answers={ChairsideQuestion.GAP_ALONG: seen})
    words = correction_words(answered, ring=True)
    assert "Was the tube's rim flush" not in words.operator
    assert ("turn the receptor's front end about 12" in words.operator) is not seen
    assert "raise the tube about" in words.operator
    told = "A gap" if seen else "No gap"
    assert f"{told} between rim and ring was seen at the front or the back" in words.teacher
    assert "look from above" not in words.teacher
    assert "look from the front" in words.teacher
    names = [row.name for _, row in movement_rows(answered, receptor_turned=turned(answered))]
    assert ("receptor's front end, its ring and the tube with it" in names) is not seen
    assert "tube, up or down" in names


def turned(correction: Correction) -> frozenset[Part]:
    return turned_instead(correction.answers, ring=True, rim_flush=None)


def test_what_is_large_and_not_needed_says_why() -> None:
    """5 mm to close and "no" stood side by side, and so did a roll of 6 degrees."""
    needed = Estimated(value=5.0, low=4.0, high=7.0)
    closing = Movement(part=Part.CLOSURE, needed=needed, need=Need.STAY)
    held = movement_row(
        closing, rim_radius_mm=RIM_RADIUS_MM, held_by=HeldApart(by=Part.HEIGHT, is_sure=True)
    )
    assert held.need == "no, the receptor holds them apart"
    assert movement_row(closing, rim_radius_mm=RIM_RADIUS_MM).need == "no"
    higher = replace(closing, part=Part.HEIGHT)
    held = movement_row(
        higher, rim_radius_mm=RIM_RADIUS_MM, held_by=HeldApart(by=Part.FORWARD, is_sure=True)
    )
    assert held.need == "no, palate or floor held it there"
    rolled = replace(closing, part=Part.ROLL)
    assert movement_row(rolled, rim_radius_mm=RIM_RADIUS_MM).need == "no, the bite is level"
    small = replace(rolled, needed=Estimated(value=1.0, low=-1.0, high=3.0))
    assert movement_row(small, rim_radius_mm=RIM_RADIUS_MM).need == "no"


def test_a_further_cause_that_may_be_none_is_only_perhaps() -> None:
    """Its interval held nought, and it was told as firmly as the first."""
    told = sample(swing_deg=10).correction
    first = replace(told.causes[0], chance=0.9)
    size = Estimated(value=2.0, low=0.0, high=6.0)
    further = replace(first, name=CauseName.RECEPTOR_TOO_LOW, unit="mm", size=size, weight=0.3)
    words = correction_words(replace(told, causes=(first, further)))
    assert words.causes[0].startswith("the tube stood")
    assert words.causes[1] == "perhaps the receptor stood 2 mm too low against the teeth"
    assert "Perhaps the receptor stood 2 mm too low" in words.teacher
    assert "Besides" not in words.teacher


def test_a_cause_is_told_no_more_surely_than_its_movement() -> None:
    """The table said perhaps, and the cause that the tube pointed down 8 degrees too much."""
    told = sample(swing_deg=10, vertical_deg=8).correction
    assert [each.name for each in told.causes] == [
        CauseName.TUBE_TOO_FAR_FORWARD,
        CauseName.TUBE_TOO_HIGH,
    ]
    movements = tuple(
        replace(each, need=Need.PERHAPS) if each.part is Part.VERTICAL else each
        for each in told.movements
    )
    sure, perhaps = (
        correction_words(replace(told, movements=each)) for each in (told.movements, movements)
    )
    assert sure.causes[1].startswith("the tube pointed down 8 degrees too much")
    assert perhaps.causes[1].startswith("perhaps the tube pointed down 8 degrees too much")
    assert perhaps.causes[0] == sure.causes[0]
    assert "Besides, the tube pointed" in sure.teacher
    assert "Perhaps the tube pointed" in perhaps.teacher
    assert (sure.teacher.count("this accounts"), sure.teacher.count("if so")) == (2, 0)
    assert (perhaps.teacher.count("this accounts"), perhaps.teacher.count("if so")) == (1, 1)
