"""Questions from the chairside, as they are asked and answered."""

import pytest

from bitewright.explanation.chairside_answers import ChairsideQuestion
from bitewright.tasks.assess.chairside_answers import (
    AnsweredBothWaysError,
    AnsweredWithoutRingError,
    OppositeAnswersError,
    UnknownAnswerError,
    chairside_answers,
)
from bitewright.tasks.assess.explain_film import BesideTheMarks, RimToldBothWaysError
from bitewright.tasks.assess.usual_equipment import USUAL_TUBE
from bitewright.tasks.catalogue.named import equipment
from bitewright.words.chairside import CHAIRSIDE_QUESTIONS, answers_sentence, typed_question


def test_every_question_is_one_sentence_that_takes_yes_or_no() -> None:
    assert set(CHAIRSIDE_QUESTIONS) == set(ChairsideQuestion)
    for words in CHAIRSIDE_QUESTIONS.values():
        assert words.split()[0] in {"Was", "Did"}
        assert (words[-1], words.count("?")) == ("?", 1)


def test_answers_are_said_with_how_far_they_are_believed() -> None:
    said = answers_sentence({ChairsideQuestion.BITE: False})
    assert said.endswith("Did the teeth touch the bite block, above and below? No")
    assert "one answer in ten" in said
    assert answers_sentence({}) == ""


def test_a_question_says_how_it_is_answered_in_words_that_are_understood() -> None:
    for question in ChairsideQuestion:
        said = typed_question(question)
        for answer in ("yes", "no"):
            assert f"--answer {question}={answer}" in said
            assert chairside_answers([f"{question}={answer}"]) == {question: answer == "yes"}


def test_answers_are_typed_as_name_and_yes_or_no() -> None:
    assert chairside_answers(["bite=no", "low=yes", "bite=no"]) == {
        ChairsideQuestion.BITE: False,
        ChairsideQuestion.LOW: True,
    }


def test_one_question_is_not_answered_both_ways() -> None:
    """The last counted, and nothing said so."""
    with pytest.raises(AnsweredBothWaysError, match="bite=yes and bite=no"):
        chairside_answers(["bite=no", "low=yes", "bite=yes"])


@pytest.mark.parametrize("given", ["bite", "bite=maybe", "teeth=yes", "=yes"])
def test_what_is_no_answer_is_refused_with_the_questions(given: str) -> None:
    with pytest.raises(UnknownAnswerError, match="gap-along"):
        chairside_answers([given])


def test_of_a_holder_without_a_ring_answers_about_one_are_refused() -> None:
    """They were left out, and nothing said so."""
    known = equipment()
    tube, ringed, tab = known.tube(USUAL_TUBE), known.holder("ring-holder"), known.holder("tab")
    answers = chairside_answers(["gap-along=yes", "bite=no"])
    beside = BesideTheMarks(known=known, tube=tube, rim_flush=False, answers=answers)
    assert set(beside.answered(ringed)) == {ChairsideQuestion.RIM, *answers}
    with pytest.raises(AnsweredWithoutRingError, match=r"\(rim and gap-along\).*'tab'.* no ring"):
        beside.answered(tab)
    bite = BesideTheMarks(known=known, tube=tube, answers=chairside_answers(["bite=no"]))
    assert bite.answered(tab) == {ChairsideQuestion.BITE: False}


@pytest.mark.parametrize("is_flush", [True, False])
def test_the_rim_is_told_alike_as_an_answer_and_as_an_option(*, is_flush: bool) -> None:
    """An answer was weighed, and the rim was asked about again."""
    known = equipment()
    ringed = known.holder("ring-holder")
    tube, rim = known.tube(USUAL_TUBE), {ChairsideQuestion.RIM: is_flush}
    as_answer = BesideTheMarks(known=known, tube=tube, answers=rim)
    as_option = BesideTheMarks(known=known, tube=tube, rim_flush=is_flush)
    both = BesideTheMarks(known=known, tube=tube, rim_flush=is_flush, answers=rim)
    for each in (as_answer, as_option, both):
        assert each.rim is is_flush
        assert each.answered(ringed) == rim
    assert BesideTheMarks(known=known, tube=tube).rim is None


def test_a_rim_told_flush_and_not_flush_is_refused() -> None:
    """One paragraph told that it stood flush, and that it did not."""
    known = equipment()
    with pytest.raises(RimToldBothWaysError, match="--rim-flush, --rim-off or --answer rim="):
        BesideTheMarks(
            known=known,
            tube=known.tube(USUAL_TUBE),
            rim_flush=True,
            answers=chairside_answers(["rim=no"]),
        )


@pytest.mark.parametrize(
    ("one", "other"), [("front", "back"), ("low", "high"), ("rim", "gap-along")]
)
def test_two_answers_that_cannot_both_be_are_refused(one: str, other: str) -> None:
    with pytest.raises(OppositeAnswersError, match="cannot both be"):
        chairside_answers([f"{one}=yes", f"{other}=yes"])
    assert len(chairside_answers([f"{one}=no", f"{other}=yes"])) == 2
