"""Answers from the chairside as they are typed."""

from collections.abc import Sequence

from bitewright.errors import BitewrightError, quoted
from bitewright.explanation.chairside_answers import OPPOSITES, Answers, ChairsideQuestion

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


def chairside_answers(given: Sequence[str]) -> Answers:
    """Answers by question; of two to one question the last counts.

    Parameters
    ----------
    given : sequence of str
        Such as "bite=no".

    Raises
    ------
    UnknownAnswerError
    OppositeAnswersError
    """
    answers = dict(map(_answer, given))
    for one, other in OPPOSITES:
        if answers.get(one) and answers.get(other):
            raise OppositeAnswersError(one, other)
    return answers


def _answer(given: str) -> tuple[ChairsideQuestion, bool]:
    name, _, answer = given.partition("=")
    if name not in set(ChairsideQuestion) or answer not in YES_OR_NO:
        raise UnknownAnswerError(given)
    return ChairsideQuestion(name), YES_OR_NO[answer]


__all__ = ["OppositeAnswersError", "UnknownAnswerError", "chairside_answers"]
