"""Answers from the chairside as they are typed, and what of them goes with what else is given."""

from collections.abc import Iterable, Sequence

from bitewright.equipment.holders import Holder
from bitewright.errors import BitewrightError, quoted
from bitewright.explanation.chairside_answers import (
    OF_A_RING,
    OPPOSITES,
    Answers,
    ChairsideQuestion,
)
from bitewright.words.phrases import listed

YES_OR_NO = {"yes": True, "no": False}


class UnknownAnswerError(BitewrightError):
    """An answer names no question, or is neither yes nor no."""

    def __init__(self, given: str) -> None:
        names = ", ".join(each.value for each in ChairsideQuestion)
        super().__init__(
            f"{quoted(given)} is no answer: give a question's name, = and yes or no, such as "
            f"bite=no. The questions are {names}."
        )


class OppositeAnswersError(BitewrightError):
    """Two answers that cannot both be yes are."""

    def __init__(self, one: ChairsideQuestion, other: ChairsideQuestion) -> None:
        super().__init__(
            f"{one.value}=yes and {other.value}=yes cannot both be: give one of them, or no to one."
        )


class AnsweredBothWaysError(BitewrightError):
    """One question was answered yes and no."""

    def __init__(self, question: ChairsideQuestion) -> None:
        super().__init__(
            f"{question.value}=yes and {question.value}=no were both given: answer a question once."
        )


class AnsweredWithoutRingError(BitewrightError):
    """Rim and ring were answered of a holder that has no ring."""

    def __init__(self, holder: Holder, answered: Sequence[ChairsideQuestion]) -> None:
        without = [each.value for each in ChairsideQuestion if each not in OF_A_RING]
        super().__init__(
            f"No answer about rim and ring ({listed([each.value for each in answered])}) goes "
            f"with the holder {quoted(holder.name)}, which has no ring: leave it out, or name the "
            f"holder that was used; without a ring {listed(without)} can be answered."
        )


class AnswersNotWeighedError(BitewrightError):
    """Answers were given where no explanation is to be made, which alone weighs them."""

    def __init__(self, answers: Sequence[str], *, rim_flush: bool | None) -> None:
        rim = [] if rim_flush is None else ["--rim-flush" if rim_flush else "--rim-off"]
        given = [*rim, *(f"--answer {quoted(each)}" for each in answers)]
        super().__init__(
            f"--no-explain goes with no answers, since the explanation alone weighs them: leave it "
            f"out, or leave out {listed(given)}."
        )


def check_ring(holder: Holder, answered: Iterable[ChairsideQuestion]) -> None:
    """Refuse answers about rim and ring of a holder that has no ring.

    Raises
    ------
    AnsweredWithoutRingError
    """
    of_a_ring = [each for each in answered if each in OF_A_RING]
    if of_a_ring and not holder.ring:
        raise AnsweredWithoutRingError(holder, of_a_ring)


def chairside_answers(given: Sequence[str]) -> Answers:
    """Answers by question; the same answer may be given again.

    Parameters
    ----------
    given : sequence of str
        Such as "bite=no".

    Raises
    ------
    UnknownAnswerError
    AnsweredBothWaysError
    OppositeAnswersError
    """
    answers: dict[ChairsideQuestion, bool] = {}
    for question, answer in map(_answer, given):
        if answers.setdefault(question, answer) is not answer:
            raise AnsweredBothWaysError(question)
    for one, other in OPPOSITES:
        if answers.get(one) and answers.get(other):
            raise OppositeAnswersError(one, other)
    return answers


def _answer(given: str) -> tuple[ChairsideQuestion, bool]:
    name, _, answer = given.partition("=")
    if name not in set(ChairsideQuestion) or answer not in YES_OR_NO:
        raise UnknownAnswerError(given)
    return ChairsideQuestion(name), YES_OR_NO[answer]


__all__ = [
    "AnsweredBothWaysError",
    "AnsweredWithoutRingError",
    "AnswersNotWeighedError",
    "OppositeAnswersError",
    "UnknownAnswerError",
    "chairside_answers",
    "check_ring",
]
