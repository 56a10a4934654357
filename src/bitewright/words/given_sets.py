"""What a page says of a set beside its exercises: how far it is made, what became of answers."""

from collections.abc import Sequence

from bitewright.words.movements import with_unit
from bitewright.words.phrases import listed

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


def said_words(
    choices: Sequence[str],
    *,
    chosen: int | None = None,
    order: Sequence[int] | None = None,
    movement: tuple[float, float] | None = None,
) -> str:
    """What somebody answered, by the numbers of a handout; nothing where nothing was.

    ``movement``: of the tube and of the receptor, to the front. [deg, mm]
    """
    if chosen is not None:
        return f"{chosen + 1}, {choices[chosen]}"
    if order is not None:
        return ", ".join(str(k + 1) for k in order)
    if movement is None:
        return ""
    parts = (("tube", movement[0], "deg"), ("receptor", movement[1], "mm"))
    told = [
        f"{what} {with_unit(abs(far), unit)} to the {'front' if far > 0.0 else 'back'}"
        for what, far, unit in parts
        if far
    ]
    return listed(told) or "nothing moved"


__all__ = ["FIRST_STANDS", "being_made_words", "kept_answer_words", "said_words"]
