"""What a film can be rated for and by: each question and scheme, explained where it is chosen."""

import math
from collections.abc import Mapping

from bitewright.quality.criteria import OverlapLimits, Question
from bitewright.quality.rating_schemes import RatingScheme

QUESTION_TITLES: Mapping[Question, str] = {
    Question.ENAMEL: "caries in enamel",
    Question.DENTINE: "caries in dentine",
    Question.BONE: "bone level",
}


def question_says(question: Question, limits: OverlapLimits) -> str:
    """What an image for a question must show: which overlap it can bear."""
    share = limits.unreadable_share(question)
    if math.isinf(share):
        return (
            f"To see the bone's level no overlap is too wide: up to {limits.open_mm:g} mm a "
            "contact is open, beyond that it counts as a slight overlap."
        )
    return (
        f"To see {QUESTION_TITLES[question]} a contact is open up to {limits.open_mm:g} mm of "
        f"overlap, and unreadable beyond {share:.0%} of the thinner enamel there."
    )


def scheme_says(scheme: RatingScheme) -> str:
    """What a scheme's grades mean, and whose it is."""
    return f"{scheme.in_full}. {scheme.source}."


__all__ = ["QUESTION_TITLES", "question_says", "scheme_says"]
