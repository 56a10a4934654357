"""By what a film is rated: the question it is to answer, and the scheme its grade is of."""

from dataclasses import dataclass, field

from bitewright.errors import BitewrightError, quoted
from bitewright.nearest_name import meant
from bitewright.quality.criteria import Question, overlap_limits
from bitewright.quality.questions import (
    OF_NAMED_SURFACES,
    AnyQuestion,
    question_about,
    questions,
)
from bitewright.quality.rating_schemes import (
    USUAL_SCHEME,
    RatingScheme,
    rating_scheme,
    rating_schemes,
)
from bitewright.words.rating_choices import question_says, scheme_says


class UnknownQuestionError(BitewrightError):
    """A question was named that no image is taken for."""

    def __init__(self, given: str) -> None:
        self.given = given
        super().__init__(
            f"The question {quoted(given)} is not known: give one of {', '.join(Question)}."
            f"{meant(given, Question)}"
        )


@dataclass(frozen=True, slots=True, kw_only=True)
class RatedBy:
    """The usual question and scheme, where nobody says another."""

    question: AnyQuestion = Question.ENAMEL
    scheme: RatingScheme = field(default_factory=lambda: rating_scheme(USUAL_SCHEME))


@dataclass(frozen=True, slots=True, kw_only=True)
class RatingChoice:
    """A question or a scheme as a page offers it; ``says`` is what it means."""

    name: str
    title: str
    says: str


def rated_by_name(question: str = Question.ENAMEL, scheme: str = USUAL_SCHEME) -> RatedBy:
    """Question and scheme by name.

    Raises
    ------
    UnknownQuestionError, UnknownSchemeError
    NamedSurfacesError
        If the question is about surfaces that are to be named.
    """
    if question not in list(Question):
        raise UnknownQuestionError(question)
    return RatedBy(question=question_about(Question(question)), scheme=rating_scheme(scheme))


def question_choices() -> tuple[RatingChoice, ...]:
    """The questions there are, but for those about surfaces to be named."""
    return tuple(
        RatingChoice(
            name=each.value,
            title=questions()[each].title,
            says=question_says(each, overlap_limits()),
        )
        for each in Question
        if each not in OF_NAMED_SURFACES
    )


def scheme_choices() -> tuple[RatingChoice, ...]:
    """The rating schemes there are."""
    return tuple(
        RatingChoice(name=each.name, title=each.title, says=scheme_says(each))
        for each in rating_schemes().values()
    )


__all__ = [
    "RatedBy",
    "RatingChoice",
    "UnknownQuestionError",
    "question_choices",
    "rated_by_name",
    "scheme_choices",
]
