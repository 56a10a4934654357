"""The meaning of a word that is mistyped, cut short or has another ending."""

from collections.abc import Mapping
from functools import lru_cache

LEFT_WHOLE = 3
"""Letters at one end of a word that a slip leaves as they are. Our choice."""
LEAST, LONG = 5, 8
"""Letters from which a word may have one slip, and two. Our choice."""
LEAST_BEGUN = 4
"""Letters that a word cut short must have. Our choice."""


class CloseWords:
    """Words by their beginnings and endings, of which a slip leaves one.

    Parameters
    ----------
    known : mapping of plain word to meaning
    """

    def __init__(self, known: Mapping[str, str]) -> None:
        self._begun: dict[str, list[tuple[str, str]]] = {}
        self._ended: dict[str, list[tuple[str, str]]] = {}
        self._found: dict[str, str | None] = {}
        for word, meaning in known.items():
            self._begun.setdefault(word[:LEFT_WHOLE], []).append((word, meaning))
            self._ended.setdefault(word[-LEFT_WHOLE:], []).append((word, meaning))

    def meaning(self, text: str) -> str | None:
        """The one meaning of all known words close to a plain text; None where none or several.

        A slip of one letter goes before two, and both before a word cut short.
        """
        if len(text) < LEFT_WHOLE or any(map(str.isdigit, text)):
            return None
        if text not in self._found:
            self._found[text] = self._meaning(text)
        return self._found[text]

    def _meaning(self, text: str) -> str | None:
        begun = self._begun.get(text[:LEFT_WHOLE], [])
        ended = [
            (word, meaning)
            for word, meaning in self._ended.get(text[-LEFT_WHOLE:], [])
            if word[0] == text[0] or len(word) != len(text) or word[:2] == text[1::-1]
        ]  # another first letter makes another word: "kissing" is no slip of "missing"
        near = [*begun, *ended]
        for most, least in ((1, LEAST_BEGUN), (2, LONG)):
            if len(text) >= least:
                found = {meaning for word, meaning in near if slips(text, word, most) <= most}
                if found:
                    return found.pop() if len(found) == 1 else None
        cut = [
            (word, meaning)
            for word, meaning in begun
            if (len(text) >= LEAST_BEGUN and word.startswith(text))
            or (len(word) >= LEAST and text.startswith(word))
        ]  # "godk" is "godkand" before it is a phrase that begins so
        alike = {meaning for word, meaning in cut if word.count(" ") == text.count(" ")}
        found = alike or {meaning for _, meaning in cut}
        return found.pop() if len(found) == 1 else None


@lru_cache(maxsize=200_000)
def slips(one: str, other: str, most: int) -> int:
    """Letters left out, put in, changed or swapped with the next; above ``most``: more than that.

    Two words of four letters have none.
    """
    if one == other:
        return 0
    if (
        min(len(one), len(other)) < LEAST_BEGUN
        or max(len(one), len(other)) < LEAST
        or abs(len(one) - len(other)) > most
    ):
        return most + 1
    before: list[int] = []
    last = list(range(len(other) + 1))
    for at, letter in enumerate(one, 1):
        now = [at]
        for place, wanted in enumerate(other, 1):
            cost = min(last[place] + 1, now[-1] + 1, last[place - 1] + (letter != wanted))
            if at > 1 and place > 1 and letter == other[place - 2] and one[at - 2] == wanted:
                cost = min(cost, before[place - 2] + 1)
            now.append(cost)
        if min(now) > most:
            return most + 1
        before, last = last, now
    return last[-1]


__all__ = ["CloseWords", "slips"]
