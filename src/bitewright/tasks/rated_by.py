"""By what a film is rated: the question it is to answer, and the scheme its grade is of."""

from dataclasses import dataclass, field

from bitewright.quality.criteria import Question
from bitewright.quality.rating_schemes import USUAL_SCHEME, RatingScheme, rating_scheme


@dataclass(frozen=True, slots=True, kw_only=True)
class RatedBy:
    """The usual question and scheme, where nobody says another."""

    question: Question = Question.ENAMEL
    scheme: RatingScheme = field(default_factory=lambda: rating_scheme(USUAL_SCHEME))


__all__ = ["RatedBy"]
