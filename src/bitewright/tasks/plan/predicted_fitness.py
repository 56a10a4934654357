"""Whether what is predicted answers its question, in a sentence."""

from collections.abc import Sequence

from bitewright.quality.findings import (
    Finding,
    needed_not_shown,
    not_shown,
    unreadable_contacts,
)
from bitewright.quality.predicted import Prediction
from bitewright.quality.questions import AnyQuestion
from bitewright.words.ratings import fitness_words


def predicted_fitness(
    predicted: Prediction, question: AnyQuestion, findings: Sequence[Finding]
) -> str:
    """Whether one exposure answers its question, and what it does not show of the ideal."""
    shown = predicted.measurements
    unreadable, not_needed = unreadable_contacts(shown, predicted.rating, question)
    return fitness_words(
        question,
        findings,
        not_shown(shown),
        unreadable,
        not_needed,
        needed_missing=needed_not_shown(shown, question),
    )


__all__ = ["predicted_fitness"]
