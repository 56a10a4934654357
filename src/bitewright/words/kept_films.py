"""What is wrong with a film on the light box that is shown all the same."""

NOT_AS_WRITTEN = (
    "What is kept of this film is not as it was written: look over its marks and decision before "
    "you rely on them."
)


def marks_not_read(why: str) -> str:
    """That kept marks say nothing, and what to do."""
    return f"The marks kept of this film cannot be used, so it is shown without them. {why}"


def record_damaged(parts: list[str]) -> str:
    """That parts of what is kept of a film are damaged, and what to do."""
    return (
        f"What the light box's file holds as this film's {' and '.join(parts)} is damaged and not "
        "shown: take the film off and bring it in anew."
    )


CHARACTERS_REPLACED = (
    "A text kept of this film holds characters that cannot be shown; a sign stands for each."
)

__all__ = ["CHARACTERS_REPLACED", "NOT_AS_WRITTEN", "marks_not_read", "record_damaged"]
