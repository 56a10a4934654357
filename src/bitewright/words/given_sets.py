"""What a page says of a set beside its exercises: how far it is made, what became of answers."""

FIRST_STANDS = "You had answered this exercise before, perhaps in another tab: that answer stands."


def kept_answer_words(code: str | None) -> str:
    """Whether an answer is kept for good, and under which code."""
    if code is None:
        return "No code was given with this answer, so it is kept under none."
    return f"This answer is kept under {code}."


def being_made_words(ready: int, count: int, doing: str) -> str:
    """How far a set is while an exercise is waited for."""
    step = f" ({doing})" if doing else ""
    return f"This exercise is being made{step}. Ready so far: {ready} of {count}."


__all__ = ["FIRST_STANDS", "being_made_words", "kept_answer_words"]
