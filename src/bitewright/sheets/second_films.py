"""Views that say in brackets that their film was made again: "bitewing left (2nd)"."""

import re

from bitewright.sheets.cells import plain
from bitewright.sheets.view_words import is_place, view_in
from bitewright.sheets.vocabulary import meanings, words_of

BRACKETS = re.compile(r"\s*[(\[]([^()\[\]]{1,25})[)\]]")
LETTERS = frozenset({"r", "w"})
"""Letters in brackets that say so where a side stands before them: retake, Wiederholung. Common
practice, no source."""
SHORT = frozenset({"2nd", "2", "ii", "bis", "2a", "2e", "2eme", "2 a", "2 o", "2o", "x2"})
"""Short for a second film, in brackets. Common practice, no source."""


def says_second(text: str) -> bool:
    """Whether a text of a view says in brackets that the film was made again."""
    return any(_is_second(found, text) for found in BRACKETS.finditer(text))


def without_second(text: str) -> str:
    """The text without what says so."""
    if "(" not in text and "[" not in text:
        return text
    return BRACKETS.sub(lambda found: "" if _is_second(found, text) else found[0], text).strip()


def _is_second(found: re.Match[str], text: str) -> bool:
    word, before = plain(found[1]), text[: found.start()]
    if word in LETTERS:
        return is_place(before) or (view_in(before) or "").startswith(("right-", "left-"))
    is_kind = len(word) > 1 and meanings("kinds").get(word) == "retake"
    return is_kind or word in SHORT or word in words_of("attempts", "second")


__all__ = ["says_second", "without_second"]
