"""Exercises with films of one's own, in words."""

from collections.abc import Sequence

from bitewright.log.checklists import Checklist
from bitewright.log.faults import fault_kinds
from bitewright.words.phrases import capital, listed

OWN_QUESTION = "What is wrong with this film? It is a real one."
CONSENT_NOTE = (
    "A real film is shown only with consent. It goes into a set when you choose it there, and into "
    "none otherwise."
)


NONE_KEPT = "No film of your own is kept as an exercise."


def own_choice(fault: str) -> str:
    """A fault of the log as a choice."""
    of = fault_kinds()[fault]
    return f"{of.title}: {of.says}"


def own_explanation(
    faults: Sequence[str], says: str, read_by: str, looks: Checklist
) -> tuple[str, ...]:
    """What the teacher read, what they say of it, and what to look at; a sentence each."""
    titles = listed([fault_kinds()[each].title for each in faults])
    told = [f"{capital(titles)}, by the reading of {read_by}, which nothing here has measured."]
    if says:
        told.append(says)
    told.append(f"Before another exposure look at: {'; '.join(looks.looks)} ({looks.source}).")
    return tuple(told)


def kept_exercise_words(name: str) -> str:
    """That an exercise was kept."""
    return (
        f"Kept as {name}. It is in no set until you choose it: `teach set --own {name}`, or under "
        '"Films of your own" where a set is chosen on the page Teach.'
    )


def dropped_words(name: str) -> str:
    """That an exercise was dropped."""
    return (
        f"{name} is dropped, with its film. Sets and audit reports made before hold it still: take "
        "these back too."
    )


def own_film_alt(name: str) -> str:
    """What the picture of a kept film is, for who cannot see it."""
    return f"The film of {name}"


__all__ = [
    "CONSENT_NOTE",
    "NONE_KEPT",
    "OWN_QUESTION",
    "dropped_words",
    "kept_exercise_words",
    "own_choice",
    "own_explanation",
    "own_film_alt",
]
