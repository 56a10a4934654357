"""What in a film may say whose it is, told before the film is kept."""

from collections.abc import Sequence

from bitewright.words.phrases import listed


def names_patient(elements: Sequence[str]) -> str:
    """That a file names its patient in its own fields."""
    return f"its file fills in the patient's {listed(list(elements))}"


def may_hold_text(lines: int, place: str) -> str:
    """That the picture may have text drawn into it, and where to look."""
    if lines == 1:
        return f"what looks like a line of text is drawn into its picture, {place}"
    return f"what looks like {lines} lines of text is drawn into its picture, the first {place}"


def place_in_picture(across: float, down: float) -> str:
    """A place by its shares of the picture's width and height."""
    row = ("at the top", "in the middle", "at the bottom")[min(int(3 * down), 2)]
    column = (" on the left", "", " on the right")[min(int(3 * across), 2)]
    return row + column


def not_looked_at(why: str) -> str:
    """That a file could not be looked at."""
    return f"it could not be looked at ({why.rstrip('.')})"


def warning(name: str, signs: Sequence[str]) -> str:
    """The warning, with everything that may say whose a film is."""
    return f"The film {name} may say whose it is: {'; '.join(signs)}"


__all__ = ["may_hold_text", "names_patient", "not_looked_at", "place_in_picture", "warning"]
