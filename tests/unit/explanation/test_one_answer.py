"""Verdict, headline, next exposure, movements and sentences are one answer, whatever is told."""

from collections.abc import Iterator
from dataclasses import dataclass, replace
from itertools import product

import pytest

from bitewright.explanation.correction import Correction, Need, Part, Spared, Verdict
from bitewright.explanation.course_trial import Expected
from bitewright.explanation.mark_slips import ContactSlip, MarkSlips
from bitewright.explanation.needs import AsMarked
from bitewright.explanation.next_exposure import Course, NextExposure
from bitewright.explanation.one_answer import (
    asks_for_another_way,
    is_worth_another_way,
    one_answer,
)
from bitewright.tasks.documents import correction_document, film_answer_document, next_document
from bitewright.words.corrections import correction_words
from bitewright.words.film_answers import AnswerBasis, full_answer
from bitewright.words.movements import NOT_SURELY
from tests.sample_corrections import correction_of, plan_of

SAID = {
    Part.SWING: "slide the tube",
    Part.FORWARD: "move the receptor",
    Part.TURN: "turn the receptor's front end",
    Part.CLOSURE: "have the teeth close",
}
"""How a movement is known in a sentence."""

ANEW = "set the view up anew"
OFF = {Part.SWING: -9.0, Part.FORWARD: 4.0, Part.TURN: 9.0, Part.CLOSURE: 3.0}
NEEDS = (Need.MOVE, Need.PERHAPS, Need.STAY)
SWAPPED = MarkSlips(exchanged=(ContactSlip(contact="15-16", space_mm=0.8, exchanged_mm=0.2),))


@dataclass(frozen=True, slots=True, kw_only=True)
class Told:
    """One combination: what is told of it as data, and what somebody reads."""

    serves: bool | None
    failed: bool
    document: dict[str, object]
    headline: str
    needed: set[Part]
    operator: str
    short: str


def corrections() -> Iterator[Correction]:
    """Every combination of what four movements need, of marks believed or not, told or not."""
    first = correction_of(OFF)
    for needs in product(NEEDS, repeat=len(OFF)):
        by_part = dict(zip(OFF, needs, strict=True))
        movements = tuple(
            replace(each, need=by_part.get(each.part, Need.STAY)) for each in first.movements
        )
        moving = any(need is Need.MOVE for need in needs)
        for verdict in (Verdict.MOVE if moving else Verdict.NOTHING, Verdict.CANNOT_TELL):
            yield replace(first, movements=movements, verdict=verdict)


def weighed(course: Course, way: float) -> NextExposure:
    """A next exposure whose set-up goes the way of every movement, or against each."""
    one = Expected(readable=0.8, needed=0.8)
    return NextExposure(
        course=course,
        set_up=plan_of().setting,
        exposure=plan_of().exposure,
        goes={part: way * far for part, far in OFF.items()} | {Part.VERTICAL: 0.0},
        expected=dict.fromkeys(Course, one),
    )


def basis(*, serves: bool | None, failed: bool) -> AnswerBasis:
    return AnswerBasis(
        serves=serves,
        fails=failed,
        fail_chance=1.0 if failed else 0.02,
        fitness="As it is.",
        overlapped=(),
        faults=(),
        ring=True,
        rim_flush=None,
        rim_radius_mm=60.0,
        is_whole=True,
    )


def told(
    correction: Correction, then: NextExposure | None, *, serves: bool | None, failed: bool
) -> Told:
    found = one_answer(correction, then, serves=serves is True)
    words = correction_words(found, serves=serves is True, then=then)
    answer = full_answer(basis(serves=serves, failed=failed), found, then)
    document = correction_document(found, words) | {"next": next_document(then)}
    return Told(
        serves=serves,
        failed=failed,
        document=document,
        headline=str(film_answer_document(answer)["headline"]),
        needed={each.part for each in found.movements if each.need is Need.MOVE},
        operator=words.operator,
        short=f"{answer.movement} {answer.also}",
    )


def every() -> Iterator[Told]:
    for correction in corrections():
        for serves, failed in ((True, False), (None, False), (False, False), (False, True)):
            marked = AsMarked(serves=serves is True, likely_failed=failed)
            if not asks_for_another_way(correction, marked):
                yield told(correction, None, serves=serves, failed=failed)
                continue
            courses = [Course.ANEW, Course.FITTED]
            if correction.sure_swing is not None:
                courses.append(Course.MOVED)
            for course, way in product(courses, (1.0, -1.0)):
                yield told(correction, weighed(course, way), serves=serves, failed=failed)


@pytest.fixture(scope="module")
def all_told() -> list[Told]:
    return list(every())


def parts_in(said: str) -> set[Part]:
    return {part for part, words in SAID.items() if words in said.lower()}


def test_every_verdict_and_course_comes_up(all_told: list[Told]) -> None:
    assert {each.document["verdict"] for each in all_told} == {each.value for each in Verdict}
    courses = {each.document["next"]["course"] for each in all_told if each.document["next"]}  # type: ignore[index]
    assert courses == {"anew", "fitted", "moved"}


def test_nothing_needs_to_move_is_never_told_beside_another_set_up(all_told: list[Told]) -> None:
    """An assessment's JSON said both."""
    for each in all_told:
        if each.document["verdict"] == Verdict.NOTHING.value:
            assert each.document["next"] is None
            assert not each.needed
            assert ANEW not in f"{each.operator} {each.short}".lower()


def test_the_verdict_is_what_needs_and_the_next_exposure_come_to(all_told: list[Told]) -> None:
    for each in all_told:
        verdict, then = each.document["verdict"], each.document["next"]
        if verdict != Verdict.CANNOT_TELL.value:
            assert bool(each.needed) is (verdict in {"move", "nearer-to-the-best"})
        if verdict == Verdict.SET_UP_ANEW.value:
            assert then is not None
        if each.serves:
            assert then is None
            assert verdict != "move"
        assert (verdict == "nearer-to-the-best") <= (each.serves is True)


def test_where_nothing_likely_failed_and_nothing_was_off_the_set_up_is_kept(
    all_told: list[Told],
) -> None:
    kept = [
        each
        for each in all_told
        if each.document["verdict"] == Verdict.NOTHING.value
        and "perhaps" not in each.operator.lower()
    ]
    assert {each.serves for each in kept} == {True, None, False}
    assert not any(each.failed for each in kept)
    for each in kept:
        if each.serves is False:
            assert "keep the set-up" in each.operator
        if each.serves is not None:
            assert "keep the set-up" in each.short


def test_a_film_that_likely_failed_is_never_told_to_be_taken_the_same_way(
    all_told: list[Told],
) -> None:
    failed = [each for each in all_told if each.failed]
    assert failed
    assert not any("the same way next time" in each.operator for each in failed)
    assert all(each.document["next"] for each in failed)


def test_the_sentence_sets_up_anew_where_the_next_exposure_is_that(all_told: list[Told]) -> None:
    for each in all_told:
        then = each.document["next"]
        anew = then is not None and then["course"] in {"anew", "fitted"}  # type: ignore[index]
        for said in (each.operator, each.short):
            assert (ANEW in said.lower()) is anew


def test_what_the_table_needs_is_what_both_sentences_tell(all_told: list[Told]) -> None:
    """The table said yes, and no sentence a word of it."""
    for each in all_told:
        if each.document["verdict"] == Verdict.CANNOT_TELL.value and each.document["next"] is None:
            continue
        firm = each.operator.partition("erhaps also:")[0].partition("erhaps:")[0]
        assert parts_in(firm) >= each.needed
        assert parts_in(each.short.partition("erhaps:")[0]) == each.needed


def test_what_waits_for_a_question_about_marks_says_so() -> None:
    asked = replace(correction_of(OFF), slips=SWAPPED)
    found = one_answer(asked, weighed(Course.ANEW, 1.0))
    assert found.of(Part.SWING).spared is Spared.ASKED_FIRST
    said = correction_words(found, then=weighed(Course.ANEW, 1.0)).teacher
    waits = said.partition("Likely by the marks as they are, which are asked about first: ")[2]
    assert "the tube to front or back" in waits.partition(".")[0]


@pytest.mark.parametrize(
    ("failed", "same", "is_told"),
    [(False, 0.3, True), (False, 0.79, False), (False, 0.9, False), (True, 0.9, True)],
)
def test_a_film_that_did_not_fail_is_told_another_way_only_where_it_promises_more(
    *, failed: bool, same: float, is_told: bool
) -> None:
    """It was set up anew for "about 95%", and the same way again "about as much"."""
    then = weighed(Course.ANEW, 1.0)
    again = {Course.SAME: Expected(readable=same, needed=same)}
    then = replace(then, expected={**then.expected, **again})
    assert is_worth_another_way(then, AsMarked(likely_failed=failed)) is is_told


def test_where_another_way_promises_no_more_the_set_up_is_kept() -> None:
    found = one_answer(correction_of(OFF), is_kept=True)
    assert found.verdict is Verdict.NOTHING
    assert {each.need for each in found.movements if each.part in OFF} == {Need.PERHAPS}
    words = correction_words(found)
    assert words.operator.startswith(NOT_SURELY)
    assert "hardly more is expected to be read by another way: " in words.teacher
    assert ANEW not in full_answer(basis(serves=False, failed=False), found).movement.lower()


def test_of_a_film_that_serves_marks_are_asked_about_before_anything_is_needed() -> None:
    """The sentence asked first; the answer above it told a movement, and no question."""
    asked = replace(correction_of(OFF), slips=SWAPPED)
    found = one_answer(asked, serves=True)
    assert not any(each.need is Need.MOVE for each in found.movements)
    answer = full_answer(basis(serves=True, failed=False), found)
    question = "15-16 is marked as a space of 0.80 mm"
    assert question in answer.why
    assert question in correction_words(found, serves=True).operator
    assert not parts_in(f"{answer.movement} {answer.also}")


def test_beside_a_view_set_up_anew_it_is_not_told_that_nothing_was_off() -> None:
    """Under "Does not serve" stood that nothing was off by more than matters."""
    still = correction_of({})
    anew, kept = one_answer(still, weighed(Course.ANEW, 1.0)), one_answer(still)
    assert (anew.verdict, kept.verdict) == (Verdict.SET_UP_ANEW, Verdict.NOTHING)
    assert correction_words(anew, then=weighed(Course.ANEW, 1.0)).teacher.startswith(
        "These marks do not tell what was off"
    )
    assert correction_words(kept).teacher.startswith("These marks do not show that receptor")


def test_beside_a_fault_that_was_seen_no_next_exposure_is_weighed() -> None:
    """It was mended first, and yet movements that only the dropped set-up spared were not told."""
    for correction in corrections():
        assert not asks_for_another_way(correction, AsMarked(mended_first=True))
        moving = {each.part for each in correction.movements if each.need is Need.MOVE}
        found = one_answer(correction)
        assert {each.part for each in found.movements if each.need is Need.MOVE} == moving
        operator = correction_words(found, likely_failed=True).operator
        assert "the same way next time" not in operator
        if found.verdict is Verdict.NOTHING:
            assert operator.startswith(NOT_SURELY)
