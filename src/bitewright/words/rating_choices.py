"""What a film can be rated for and by: each question and scheme, explained where it is chosen."""

import math

from bitewright.quality.criteria import OverlapLimits, Question
from bitewright.quality.questions import questions
from bitewright.quality.rating_schemes import RatingScheme


def question_says(question: Question, limits: OverlapLimits) -> str:
    """What an image for a question must show: what it needs and which overlap it can bear."""
    asked = questions()[question]
    needs = f"For {asked.title} it needs {asked.says}."
    if math.isinf(asked.unreadable_share):
        return (
            f"{needs} No overlap is too wide: up to {limits.open_mm:g} mm a contact is open, "
            "beyond that it is overlapped but readable."
        )
    return (
        f"{needs} A contact is open up to {limits.open_mm:g} mm of overlap, and unreadable beyond "
        f"{asked.unreadable_share:.0%} of the thinner enamel there."
    )


def scheme_says(scheme: RatingScheme) -> str:
    """What a scheme's grades mean, and whose it is."""
    return f"{scheme.in_full}. {scheme.source}."


__all__ = ["question_says", "scheme_says"]
