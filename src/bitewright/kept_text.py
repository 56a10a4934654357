"""What can be kept of what somebody gave: text that every program can show, numbers of a size.

A text with half a character, a NUL or a control character breaks one program or another long after
it was taken in, so it is refused where it comes in.
"""

import math
from collections.abc import Iterator, Mapping
from typing import Any

from bitewright.errors import BitewrightError, plainly, quoted

LINE_ENDS = frozenset("\t\n\r")
"""Control characters that a text of several lines has."""

MOST_WHOLE = 2**63 - 1
"""The largest whole number that a database and every other program can hold."""

DEEPEST = 40
MOST_PARTS = 200_000
"""No document holds more, nor is any nested deeper. Our choice, far beyond every format."""

REPLACEMENT = "\ufffd"
"""The character that stands for one that cannot be shown (Unicode, U+FFFD)."""

Place = tuple[str | int, ...]


class TextNotKeptError(BitewrightError):
    """A text holds a character that cannot be kept."""

    status_code = 422

    def __init__(self, what: str, given: str, problem: str) -> None:
        self.given = given
        super().__init__(f"The {what} {quoted(given)} {problem}.")


def problem_of_text(text: str, *, lines: bool = True) -> str | None:
    """What keeps a text from being kept; None if nothing does.

    Parameters
    ----------
    text : str
    lines : bool
        Whether it may have several lines, and tabs.
    """
    if text.isprintable():
        return None
    for each in text:
        if each in LINE_ENDS:
            if not lines:
                return "has more than one line or a tab: write it on one line"
        elif "\ud800" <= each <= "\udfff":
            return "holds half a character, such as a cut emoji: write it anew"
        elif each < " " or "\x7f" <= each <= "\x9f":
            return f"holds the control character {each!r}: leave it out"
    return None


def check_text(what: str, given: str, *, lines: bool = True) -> None:
    """Refuse a text that cannot be kept.

    Raises
    ------
    TextNotKeptError
    """
    problem = problem_of_text(given, lines=lines)
    if problem is not None:
        raise TextNotKeptError(what, given, problem)


def not_kept(content: object, *, finite: bool = False) -> tuple[Place, str] | None:
    """Where parsed content holds something that cannot be kept, and what; None if nowhere.

    A text or name that `check_text` refuses, a whole number beyond 64 bits, or more than any
    document of ours holds; and if ``finite``, a number that is none.
    """
    for count, (place, each) in enumerate(_parts(content)):
        if len(place) > DEEPEST:
            return place[:1], f"it is nested more than {DEEPEST} deep: give one that is not"
        if count > MOST_PARTS:
            return (), f"it holds more than {MOST_PARTS} values: give less"
        problem = _problem(each)
        if problem is not None:
            return place, problem
        if finite and isinstance(each, float) and not math.isfinite(each):
            return place, f"{each} is no number: give one"
    return None


def with_signs_for_what_is_not_kept(content: Any) -> Any:  # noqa: ANN401  parsed content
    """The same content, the sign U+FFFD in place of each character that cannot be kept."""
    if isinstance(content, str):
        if problem_of_text(content) is None:
            return content
        return "".join(REPLACEMENT if problem_of_text(each) else each for each in content)
    if isinstance(content, Mapping):
        kept = with_signs_for_what_is_not_kept
        return {kept(name): kept(value) for name, value in content.items()}
    if isinstance(content, list):
        return [with_signs_for_what_is_not_kept(each) for each in content]
    return content


def place_words(place: Place) -> str:
    """A place in a document as sentences name it: "marks / 15.mesial"."""
    return " / ".join(plainly(str(part)) for part in place) or "the top"


def _parts(content: object) -> Iterator[tuple[Place, object]]:
    """Every name, and every value that holds no others, with its place."""
    waiting: list[tuple[Place, object]] = [((), content)]
    while waiting:
        place, part = waiting.pop()
        if isinstance(part, Mapping):
            yield from (((*place, name), name) for name in part)
            waiting += [((*place, name), value) for name, value in part.items()]
        elif isinstance(part, list | tuple):
            waiting += [((*place, index), value) for index, value in enumerate(part)]
        else:
            yield place, part


def _problem(given: object) -> str | None:
    if isinstance(given, str):
        problem = problem_of_text(given)
        return None if problem is None else f"{quoted(given)} {problem}"
    if isinstance(given, int) and not -MOST_WHOLE <= given <= MOST_WHOLE:
        return "a whole number has too many digits: give one of at most 18"
    return None


__all__ = [
    "TextNotKeptError",
    "check_text",
    "not_kept",
    "place_words",
    "problem_of_text",
    "with_signs_for_what_is_not_kept",
]
