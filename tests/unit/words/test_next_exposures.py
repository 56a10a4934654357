"""What to do next in words: the movement first, the set-up to return to, what is expected."""

from dataclasses import replace

import pytest

from bitewright.explanation.correction import Estimated, HeldApart, Need, Part, Verdict
from bitewright.explanation.course_trial import Expected
from bitewright.explanation.mark_slips import MarkSlips
from bitewright.explanation.next_exposure import Course, NextExposure
from bitewright.explanation.one_answer import one_answer
from bitewright.explanation.quick_reading import QuickReading
from bitewright.planning.best_aim import Setting
from bitewright.tasks.documents import next_document
from bitewright.words.corrections import correction_words, operator_sentence
from bitewright.words.film_answers import (
    MAY_CHANGE,
    SETTLED,
    AnswerBasis,
    full_answer,
    quick_answer,
)
from bitewright.words.next_exposures import expected_words
from tests.sample_corrections import correction_of, plan_of, unsure

SET_UP = Setting(
    forward_mm=1.0, lingual_mm=6.0, turn_deg=4.0, ring_offset_deg=-3.0, vertical_deg=0.0
)
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
OFF = correction_of({Part.SWING: -9.0, Part.ROLL: 5.0, Part.FORWARD: 4.0})
SURE = QuickReading(
    movements=(OFF.of(Part.SWING),),
    swing=OFF.of(Part.SWING),
    can_tell=True,
    chance_same=0.99,
    is_unlike=False,
    is_hopeless=False,
    slips=MarkSlips(),
)


def weighed(
    course: Course,
    *,
    swing_deg: float = -10.0,
    vertical_deg: float = 0.0,
    forward_mm: float = 0.0,
    needed: float = 0.9,
) -> NextExposure:
    return NextExposure(
        course=course,
        set_up=SET_UP,
        exposure=plan_of().exposure,
        goes={Part.SWING: swing_deg, Part.VERTICAL: vertical_deg, Part.FORWARD: forward_mm},
        expected={
            Course.SAME: Expected(readable=0.3, needed=0.31),
            Course.ANEW: Expected(readable=0.8, needed=0.82),
            Course.MOVED: Expected(readable=0.9, needed=needed),
            Course.FITTED: Expected(readable=0.9, needed=needed),
        },
    )


@pytest.mark.parametrize(
    ("ring_offset_deg", "said"),
    [
        (0.0, ""),
        (-6.0, "set-up itself leaves the ring, by 6 degrees towards the back of the mouth"),
    ],
)
def test_the_paragraph_means_the_gap_of_the_set_up_that_is_told_and_no_other(
    ring_offset_deg: float, said: str
) -> None:
    best = replace(OFF, ring_offset=Estimated(value=9.0, low=5.0, high=13.0))
    then = weighed(Course.ANEW)
    then = replace(then, set_up=replace(SET_UP, ring_offset_deg=ring_offset_deg))
    teacher = correction_words(best, then=then).teacher
    assert said in teacher
    assert ("a gap of that much is meant" in teacher) is bool(said)
    assert "slide it as said" not in teacher  # with a set-up told, no slide is
    alone = correction_words(best).teacher
    assert "aim itself leaves the ring, by 9 degrees (5 to 13) towards the front" in alone


@pytest.mark.parametrize(
    "ring_offset", [None, Estimated(value=28.0, low=-2.0, high=58.0)], ids=["unlike", "wide"]
)
def test_no_gap_is_meant_that_the_marks_do_not_surely_tell(ring_offset: Estimated | None) -> None:
    """A gap of 28 degrees was "meant" where no amount could be told."""
    teacher = correction_words(replace(OFF, ring_offset=ring_offset)).teacher
    assert "leaves the ring" not in teacher
    assert "look from above" in teacher


def test_a_movement_leads_then_the_set_up_then_what_is_expected() -> None:
    answer = full_answer(FAILED, OFF, weighed(Course.MOVED))
    assert answer.what_to_do.startswith(
        "Next time, or if another exposure is justified: slide the tube about 9 mm towards the back"
    )
    assert answer.set_up.startswith("As a set-up: set the receptor turned 4 degrees")
    assert "then swing it 3 degrees towards the back" in answer.set_up
    assert answer.set_up.endswith("Where that and the movement differ, go half way.")
    assert answer.expected == (
        "Of what its question needs, about 90% can be read then, as estimated; set up anew by the "
        "general plan about 80%; the same way again about 30%."
    )
    # The receptor's place is the set-up's; a roll is none.
    assert "move the receptor" not in answer.also
    assert answer.also.startswith("Also: tip the receptor's front edge down by about 5 degrees")
    assert answer.asks_rim


def test_a_view_set_up_anew_tells_the_way_the_tube_goes_without_an_amount() -> None:
    answer = full_answer(FAILED, OFF, weighed(Course.ANEW))
    assert answer.movement == (
        "Set the view up anew by the general plan; against this film that most likely means to "
        "slide the tube towards the back of the mouth at the rim, turning it to keep it on the "
        "receptor."
    )
    assert answer.set_up.startswith("That is: set the receptor turned 4 degrees")
    assert answer.also == (
        "Besides, against this film that most likely means to tip the receptor's front edge down, "
        "to level it."
    )
    assert answer.expected == (
        "Of what its question needs, about 80% can be read then, as estimated; the same way again "
        "about 30%."
    )
    assert not answer.asks_rim


@pytest.mark.parametrize(
    ("same", "said"),
    [
        (0.60, "the same way again about 60%."),
        (0.81, "the same way again hardly less."),
        (
            0.83,
            (
                "the same way again about 85%, but where that was reckoned as more, simulated next "
                "films showed less by it."
            ),
        ),
    ],
)
def test_the_same_way_again_is_never_told_as_better_without_a_word(same: float, said: str) -> None:
    then = weighed(Course.ANEW)
    then = replace(
        then, expected={**then.expected, Course.SAME: Expected(readable=same, needed=same)}
    )
    assert expected_words(then, OFF).endswith(said)


def test_the_same_way_again_that_is_more_by_a_hair_is_called_as_much() -> None:
    """About 95% either way, "which simulated next films did not bear out"."""
    then = weighed(Course.ANEW)
    more = {Course.SAME: Expected(readable=0.8, needed=0.824)}
    said = expected_words(replace(then, expected={**then.expected, **more}), OFF)
    assert said.endswith(
        "about 80% can be read then, as estimated; the same way again about as much."
    )


@pytest.mark.parametrize("course", [Course.ANEW, Course.FITTED])
def test_a_view_set_up_anew_tells_which_way_the_receptor_goes(course: Course) -> None:
    """A contact was not shown, the table said 5 mm to the front, the sentence no word of it."""
    off = correction_of({Part.FORWARD: 5.0})
    answer = full_answer(FAILED, off, weighed(course, forward_mm=4.0))
    assert answer.movement.endswith(
        "; against this film that most likely means to move the receptor further towards the front "
        "of the mouth against the teeth, and the tube with it."
    )
    for short in (1.5, -4.0):
        still = full_answer(FAILED, off, weighed(course, forward_mm=short))
        assert "move the receptor" not in f"{still.movement} {still.also}"


def test_beside_a_movement_it_is_told_which_way_the_set_up_takes_the_receptor() -> None:
    """A contact was not shown, the receptor lay 6 mm too far back, and the tube alone was slid."""
    answer = full_answer(FAILED, OFF, weighed(Course.MOVED, forward_mm=3.0))
    assert answer.movement.startswith("Slide the tube about 9 mm towards the back of the mouth")
    assert answer.also == (
        "The set-up most likely means besides to move the receptor further towards the front of "
        "the mouth against the teeth, and the tube with it. Also: tip the receptor's front edge "
        "down by about 5 degrees (3 to 7), to level it."
    )


def test_what_costs_the_film_most_leads_and_the_other_ways_follow() -> None:
    off = correction_of({Part.SWING: -9.0, Part.VERTICAL: -12.0, Part.ROLL: 5.0})
    then = weighed(Course.ANEW, vertical_deg=-8.0)
    answer = full_answer(FAILED, off, then)
    first, second = off.movements[:2]
    assert (first.part, second.part) == (Part.VERTICAL, Part.SWING)
    assert "that most likely means to lower the tube at the rim" in answer.movement
    assert answer.also.startswith("Besides, against this film that most likely means to slide the")
    assert answer.also.endswith("; to tip the receptor's front edge down, to level it.")
    flush = full_answer(replace(FAILED, rim_flush=True), off, then)
    assert "tilt the receptor's upper edge towards the teeth, its ring" in flush.movement
    assert "turn the receptor's front end towards the teeth, its ring" in flush.also


def test_a_set_up_that_fits_the_mouth_tells_the_way_too() -> None:
    answer = full_answer(FAILED, OFF, weighed(Course.FITTED))
    assert answer.movement.startswith(
        "Set the view up anew, as fits this mouth; against this film that most likely means to "
        "slide the tube towards the back"
    )


def test_in_a_mouth_that_is_known_no_general_plan_is_told() -> None:
    """It was set up "by the general plan", though the set-up told was planned for that mouth."""
    known = replace(OFF, of_known_mouth=True)
    for course in (Course.ANEW, Course.FITTED, Course.MOVED):
        answer = full_answer(FAILED, known, weighed(course))
        said = operator_sentence(known, then=weighed(course))
        for each in (answer.movement, answer.also, answer.set_up, answer.expected, said):
            assert "general plan" not in each
    anew = full_answer(FAILED, known, weighed(Course.ANEW)).movement
    assert anew.startswith("Set the view up anew, as fits this mouth")


def test_several_ways_besides_are_told_in_one_sentence() -> None:
    off = correction_of({Part.ROLL: 5.0, Part.HEIGHT: -2.0})
    answer = full_answer(FAILED, off, weighed(Course.ANEW))
    assert answer.movement == "Set the view up anew by the general plan."
    assert answer.also == (
        "Against this film that most likely means to tip the receptor's front edge down, to level "
        "it; to set the receptor lower against the teeth."
    )


def test_where_the_rim_was_flush_the_receptor_is_turned_without_an_amount() -> None:
    then = weighed(Course.ANEW)
    flush = replace(FAILED, rim_flush=True)
    answer = full_answer(flush, OFF, then)
    assert answer.movement == (
        "Set the view up anew by the general plan; against this film that most likely means to "
        "turn the receptor's front end towards the teeth, its ring and the tube with it."
    )
    sentence = operator_sentence(OFF, ring=True, rim_flush=True, then=then)
    assert sentence.startswith(answer.what_to_do)


@pytest.mark.parametrize("swing_deg", [2.0, -2.0, 10.0])
def test_no_way_is_told_that_the_set_up_does_not_surely_go(swing_deg: float) -> None:
    answer = full_answer(FAILED, OFF, weighed(Course.ANEW, swing_deg=swing_deg))
    assert answer.movement == "Set the view up anew by the general plan."
    assert "slide the tube" not in answer.also


def test_no_way_is_told_of_a_swing_that_the_marks_do_not_tell() -> None:
    wide = replace(OFF, verdict=Verdict.CANNOT_TELL)
    answer = full_answer(FAILED, wide, weighed(Course.ANEW))
    assert answer.movement.endswith("Set the view up anew by the general plan.")
    assert "slide the tube" not in operator_sentence(wide, then=weighed(Course.ANEW))


def test_a_mouth_unlike_others_is_told_a_way_only_where_one_is_told() -> None:
    unlike = replace(OFF, is_unlike=True)
    assert operator_sentence(unlike, then=weighed(Course.ANEW)).endswith(
        "the way to move is likely, how far cannot be told."
    )
    still = replace(correction_of({Part.FORWARD: 4.0}), is_unlike=True)
    said = operator_sentence(still, then=weighed(Course.ANEW))
    assert said.endswith("how far to move cannot be told.")
    assert "the way to move" not in said


@pytest.mark.parametrize("course", [each for each in Course if each is not Course.SAME])
def test_the_card_and_the_sentence_say_the_same(course: Course) -> None:
    then = weighed(course)
    answer = full_answer(FAILED, OFF, then)
    sentence = operator_sentence(OFF, ring=True, then=then)
    assert sentence.startswith(answer.what_to_do)
    for said in (answer.set_up, answer.also, answer.expected):
        assert said in sentence


def test_as_much_of_what_is_needed_is_said_so_and_all_is_never_promised() -> None:
    answer = full_answer(FAILED, OFF, weighed(Course.MOVED, needed=0.82))
    assert "as much, but less of what is only ideal" in answer.expected
    most = full_answer(FAILED, OFF, weighed(Course.MOVED, needed=1.0))
    assert most.expected.startswith("Of what its question needs, nearly all can be read then")


def test_less_of_what_is_ideal_is_not_said_where_all_that_is_gained_is_needed() -> None:
    then = weighed(Course.MOVED)
    alike = {
        Course.MOVED: Expected(readable=0.955, needed=0.955),
        Course.ANEW: Expected(readable=0.94, needed=0.94),
    }
    answer = full_answer(FAILED, OFF, replace(then, expected=then.expected | alike))
    assert "set up anew by the general plan hardly less;" in answer.expected
    assert "ideal" not in answer.expected


def test_a_film_that_serves_and_a_fault_that_was_seen_are_told_as_before() -> None:
    then = weighed(Course.MOVED)
    serving = replace(FAILED, serves=True, fails=False, fail_chance=0.0)
    assert full_answer(serving, OFF, then).set_up == ""
    assert full_answer(replace(FAILED, faults=("receptor-bent",)), OFF, then).set_up == ""


def test_where_marks_cannot_tell_the_view_is_set_up_anew() -> None:
    told = unsure(correction_of({}), Part.SWING, value=1.0, spread=20.0)
    answer = full_answer(FAILED, told, weighed(Course.ANEW))
    assert answer.movement.startswith("These marks do not tell yet which way")
    assert answer.movement.endswith("Set the view up anew by the general plan.")
    sentence = operator_sentence(told, ring=True, then=weighed(Course.ANEW))
    assert sentence.startswith("These marks cannot tell whether the tube should slide")
    assert "set the view up anew by the general plan" in sentence


@pytest.mark.parametrize("course", [Course.MOVED, Course.ANEW])
def test_first_marks_are_told_what_to_do_as_an_explanation_tells_it(course: Course) -> None:
    """A movement with its set-up, or the view set up anew; it stays provisional."""
    then = weighed(course)
    answer = quick_answer(FAILED, replace(SURE, next=then))
    whole = full_answer(FAILED, SURE.as_correction(FAILED.rim_radius_mm), then)
    for each in ("movement", "also", "set_up", "expected", "when", "asks_rim"):
        assert getattr(answer, each) == getattr(whole, each)
    assert answer.set_up
    assert answer.is_settled == (course is Course.MOVED)
    assert answer.sure == (SETTLED if course is Course.MOVED else MAY_CHANGE)
    not_told = quick_answer(replace(FAILED, serves=None, fails=False), replace(SURE, next=then))
    assert not not_told.set_up


@pytest.mark.parametrize(("same", "is_told"), [(0.31, True), (0.82, False)])
def test_first_marks_of_a_film_that_did_not_fail_are_told_another_way_only_for_more(
    same: float, *, is_told: bool
) -> None:
    read = replace(FAILED, fails=False, fail_chance=0.02, fitness="Good for caries.")
    then = weighed(Course.ANEW)
    again = {Course.SAME: Expected(readable=same, needed=same)}
    then = replace(then, expected={**then.expected, **again})
    answer = quick_answer(read, replace(SURE, next=then))
    assert bool(answer.set_up) is is_told
    assert ("et the view up anew" in answer.movement) is is_told
    assert ("keep the set-up" in answer.movement) is not is_told
    assert quick_answer(FAILED, replace(SURE, next=then)).set_up


def test_beside_a_set_up_it_is_said_what_held_the_teeth_apart() -> None:
    high = correction_of({Part.HEIGHT: -3.0})
    then = weighed(Course.ANEW)
    said = full_answer(
        FAILED, replace(high, held_by=HeldApart(by=Part.HEIGHT, is_sure=True)), then
    ).also
    assert said.endswith(
        "set the receptor lower against the teeth: the palate held it there, so that the teeth "
        "could not close."
    )
    assert full_answer(FAILED, high, then).also.endswith("lower against the teeth.")


@pytest.mark.parametrize("how", ["described", "estimated"])
def test_no_place_and_no_movement_is_told_where_the_mouth_has_no_room(how: str) -> None:
    then = replace(weighed(Course.ANEW), has_room=False)
    off = replace(OFF, of_known_mouth=how == "described")
    answer = full_answer(FAILED, off, then)
    assert answer.what_to_do.endswith("take a smaller receptor, or one that bends.")
    assert answer.set_up == (
        f"No set-up was found in which this mouth, as it is {how}, has room for this one."
    )
    assert not answer.also
    assert not answer.expected
    told = one_answer(off, then)
    assert all(each.need is not Need.MOVE for each in told.movements)
    had, document = next_document(weighed(Course.ANEW)), next_document(then)
    assert had is not None
    assert document == had | {"set_up": None}
