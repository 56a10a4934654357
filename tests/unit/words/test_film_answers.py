"""The answer to a film: the verdict leads, one movement follows, and nothing contradicts either."""

from dataclasses import replace

import pytest

from bitewright.explanation.chairside_answers import ChairsideQuestion
from bitewright.explanation.correction import Estimated, HeldApart, Movement, Need, Part
from bitewright.explanation.doubtful_marks import DoubtfulMark
from bitewright.explanation.mark_slips import ContactSlip, MarkSlips
from bitewright.explanation.quick_reading import QuickReading
from bitewright.exposing.beam_cover import BeamPlace
from bitewright.log.faults import fault_kinds
from bitewright.words.film_answers import (
    AnswerBasis,
    AnswerVerdict,
    answer_of_marks,
    full_answer,
    quick_answer,
)
from bitewright.words.seen_faults import SEEN_FAULTS
from tests.sample_corrections import correction_of


def swing(value: float) -> Movement:
    needed = Estimated(value=value, low=value - 4.0, high=value + 4.0)
    return Movement(part=Part.SWING, needed=needed, need=Need.MOVE)


FAILED = AnswerBasis(
    serves=False,
    fails=True,
    fail_chance=1.0,
    fitness="Not good for caries: 15-16 cannot be read.",
    overlapped=["15-16"],
    faults=(),
    ring=True,
    rim_flush=None,
    rim_radius_mm=60.0,
    is_whole=False,
)
SERVES = replace(
    FAILED,
    serves=True,
    fails=False,
    fail_chance=0.0,
    fitness="Good for caries; all is shown.",
    overlapped=(),
)
SURE = QuickReading(
    movements=(swing(-9.0),),
    swing=swing(-9.0),
    can_tell=True,
    chance_same=0.99,
    is_unlike=False,
    is_hopeless=False,
    slips=MarkSlips(),
)


def test_a_failed_film_leads_with_that_and_with_one_movement() -> None:
    answer = quick_answer(FAILED, SURE)
    assert answer.served is AnswerVerdict.NO
    assert answer.why == FAILED.fitness
    assert answer.what_to_do.startswith(
        "Next time, or if another exposure is justified: slide the tube about 9 mm towards the back"
    )
    assert answer.is_settled
    assert answer.sure == "More marks would hardly change what to do."


@pytest.mark.parametrize(("left_open", "says_so"), [(0.06, True), (0.004, False)])
def test_a_film_that_hangs_on_one_overlap_says_so(left_open: float, *, says_so: bool) -> None:
    read = replace(FAILED, fails=False, fail_chance=0.0, fitness="Good for caries.")
    answer = quick_answer(replace(read, left_open=left_open), SURE)
    assert answer.served is AnswerVerdict.READABLE
    assert ("perhaps with overlap" in answer.headline) == says_so
    hanging = (
        "Good for caries. Most likely 15-16 overlaps, yet can be read for it; the chance that it "
        "is open is 6%."
    )
    sure = "Good for caries. 15-16 overlaps, yet can be read for it."
    assert answer.why == (hanging if says_so else sure)


def test_a_verdict_that_marks_leave_open_says_so() -> None:
    close = quick_answer(replace(FAILED, fail_chance=0.3), SURE)
    assert close.served is AnswerVerdict.DOUBTFUL
    assert close.why.startswith("As measured: not good for caries")
    assert close.why.endswith("The marks leave a chance of 70% that nothing failed.")
    assert close.movement == quick_answer(FAILED, SURE).movement
    partly = quick_answer(replace(FAILED, fail_chance=0.3, is_rated_whole=False), SURE)
    assert partly.why.endswith("a chance of 70% that nothing marked so far failed.")
    wide = replace(
        FAILED, fails=False, fitness="Good for caries; everything is shown.", fail_chance=0.2
    )
    assert quick_answer(wide, SURE).why == (
        "As measured: good for caries; everything is shown. 15-16 overlaps, though as measured "
        "it can be read for it. The marks leave a chance of 20% that something failed."
    )


@pytest.mark.parametrize("overlapped", [(), ("15-16",)], ids=["open", "an overlap"])
@pytest.mark.parametrize(("fail_chance", "is_doubtful"), [(0.09, False), (0.11, True), (0.6, True)])
def test_the_headline_goes_by_the_chance_that_something_failed_and_says_it(
    fail_chance: float, *, is_doubtful: bool, overlapped: tuple[str, ...]
) -> None:
    told = replace(
        SERVES,
        serves=not (overlapped or is_doubtful),
        overlapped=overlapped,
        fail_chance=fail_chance,
    )
    answer = quick_answer(told, SURE)
    assert (answer.headline == "Doubtful whether it serves") == is_doubtful
    told_chance = f"The marks leave a chance of {fail_chance:.0%} that something failed."
    assert answer.why.endswith(told_chance) == is_doubtful
    assert ("Nothing needs to move" in answer.movement) == told.serves


@pytest.mark.parametrize(("told", "fail_chance"), [(FAILED, 0.07), (SERVES, 0.95)])
def test_what_was_measured_and_is_likely_otherwise_is_doubtful(
    told: AnswerBasis, fail_chance: float
) -> None:
    answer = quick_answer(replace(told, serves=False, fail_chance=fail_chance), SURE)
    assert answer.headline == "Doubtful whether it serves"
    assert "The marks leave a chance of 9" in answer.why


def test_a_film_that_serves_asks_for_no_movement_and_tells_it_under_what_else() -> None:
    answer = quick_answer(SERVES, SURE)
    assert answer.served is AnswerVerdict.YES
    assert answer.movement == "Nothing needs to move for this film."
    assert "slide the tube" in answer.also
    assert not answer.asks_rim


def test_a_film_that_serves_is_not_told_a_movement_that_may_be_none() -> None:
    """Twelve marks of a film that served told 11 degrees, 0 to 29, and the wrong way."""
    unsure = replace(swing(-11.0), needed=Estimated(value=-11.0, low=-29.0, high=-0.2))
    reading = replace(SURE, movements=(unsure,), swing=unsure)
    answer = quick_answer(SERVES, reading)
    assert answer.movement == "Nothing needs to move for this film: keep the set-up."
    assert answer.also == ""
    assert answer.is_settled
    assert "slide the tube" in quick_answer(FAILED, reading).movement.lower()


@pytest.mark.parametrize("told", [SERVES, FAILED], ids=["serves", "fails"])
@pytest.mark.parametrize("name", SEEN_FAULTS)
def test_a_fault_that_was_seen_is_mended_first_and_nothing_is_called_right(
    name: str, told: AnswerBasis
) -> None:
    answer = quick_answer(replace(told, faults=(name,)), SURE)
    assert answer.movement == SEEN_FAULTS[name].remedy
    assert fault_kinds()[name].title in answer.why
    assert answer.served in (AnswerVerdict.NO, AnswerVerdict.BY_EYE)
    for said in (answer.headline, answer.why, answer.movement, answer.also, answer.sure):
        assert "nothing needs to move" not in said.lower()
    assert not answer.is_settled


def test_a_film_that_serves_says_why_the_receptor_held_the_teeth_apart() -> None:
    off = correction_of({Part.HEIGHT: -3.0})
    said = full_answer(SERVES, replace(off, held_by=HeldApart(by=Part.HEIGHT, is_sure=True))).also
    assert "lower against the teeth" in said
    assert "the palate held it there, so that the teeth could not close" in said
    assert "held it there" not in full_answer(SERVES, off).also


def test_a_cone_cut_with_its_edge_marked_is_mended_by_so_much_and_that_way() -> None:
    told = replace(FAILED, faults=("cone-cut",), cone_cut_mm={BeamPlace.FRONT: 8.0})
    assert "at least 8 mm towards the front of the mouth" in answer_of_marks(told).movement


def test_six_marks_are_asked_for_only_where_there_are_fewer() -> None:
    assert "From six marks" in answer_of_marks(FAILED).sure
    assert answer_of_marks(FAILED, are_few=False).sure == ""


def test_with_a_ring_the_movement_hangs_on_the_rim() -> None:
    asked = quick_answer(FAILED, SURE)
    assert asked.asks_rim
    flush = quick_answer(replace(FAILED, rim_flush=True), SURE)
    assert flush.movement.startswith("Turn the receptor's front end about 9 degrees")
    gap = quick_answer(replace(FAILED, rim_flush=False), SURE)
    assert gap.movement == asked.movement
    assert not flush.asks_rim
    assert not gap.asks_rim
    assert not quick_answer(replace(FAILED, ring=False), SURE).asks_rim


@pytest.mark.parametrize("seen", [True, False])
def test_a_gap_that_was_looked_for_tells_the_tube_from_the_receptor(*, seen: bool) -> None:
    """No gap had been seen; the tube was to slide off its ring, and the rim was asked about."""
    asked = quick_answer(FAILED, SURE)
    told = quick_answer(replace(FAILED, answers={ChairsideQuestion.GAP_ALONG: seen}), SURE)
    assert not told.asks_rim
    if seen:
        assert told.movement == asked.movement
    else:
        assert told.movement.startswith("Turn the receptor's front end about 9 degrees")
    above = quick_answer(replace(FAILED, answers={ChairsideQuestion.GAP_ABOVE: seen}), SURE)
    assert (above.movement, above.asks_rim) == (asked.movement, True)


def test_marks_that_give_a_slip_away_come_before_any_answer() -> None:
    slip = ContactSlip(contact="15-16", space_mm=7.3, exchanged_mm=7.3)
    answer = quick_answer(FAILED, replace(SURE, slips=MarkSlips(wide=(slip,))))
    assert answer.headline == "Check the marks first"
    assert "15-16" in answer.why
    assert answer.movement == ""
    assert not answer.is_settled


@pytest.mark.parametrize(
    ("serves", "changed"),
    [
        (None, {}),
        (False, {"chance_same": 0.5}),
        (False, {"can_tell": False}),
        (False, {"movements": ()}),
        (
            True,
            {
                "slips": MarkSlips(
                    exchanged=(ContactSlip(contact="15-16", space_mm=0.6, exchanged_mm=0.6),)
                )
            },
        ),
    ],
)
def test_further_marks_are_called_needless_only_where_they_are(
    *, serves: bool | None, changed: dict[str, object]
) -> None:
    assert SURE.is_settled(serves=False)
    assert not replace(SURE, **changed).is_settled(serves=serves)  # type: ignore[arg-type]


@pytest.mark.parametrize(
    ("name", "border_mm", "is_told"),
    [
        ("15.distal", -1.0, True),
        ("16.mesial", None, True),
        ("15.distal", 1.0, False),  # there the overlap would be wider still
        ("15.mesial", -1.0, False),  # of a contact that is open
        ("15.distal.cej", -1.0, False),
    ],
)
def test_an_overlap_that_rests_on_a_doubtful_mark_is_told_to_do_so_at_once(
    name: str, border_mm: float | None, *, is_told: bool
) -> None:
    doubted = DoubtfulMark(name=name, chance=0.8, border_mm=border_mm)
    said = full_answer(FAILED, replace(correction_of({}), doubtful_marks=(doubted,))).why
    assert said.startswith(FAILED.fitness)
    assert ("The overlap at 15-16 rests on a doubtful mark." in said) == is_told
    assert ("check" in said) == is_told


def test_what_the_picture_doubts_is_told_with_the_first_marks_and_settles_nothing() -> None:
    """An overlap that rests on it says so; else the mark is named where the border is shown."""
    overlapped = DoubtfulMark(name="15.distal", chance=0.8, border_mm=-1.0)
    reading = replace(SURE, doubtful_marks=(overlapped,))
    answer = quick_answer(FAILED, reading)
    assert "The overlap at 15-16 rests on a doubtful mark." in answer.why
    assert not answer.is_settled
    elsewhere = replace(SURE, doubtful_marks=(replace(overlapped, name="45.distal"),))
    why = quick_answer(FAILED, elsewhere).why
    assert "the picture shows no clear edge" in why
    assert "rests on" not in why
    unseen = replace(SURE, doubtful_marks=(DoubtfulMark(name="45.distal", chance=0.8),))
    assert quick_answer(FAILED, unseen).why == FAILED.fitness
