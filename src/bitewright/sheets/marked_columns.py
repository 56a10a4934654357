"""Columns in which a mark, or its absence, says something of the row."""

from collections.abc import Mapping
from types import MappingProxyType

from bitewright.sheets.cells import cell_text, plain, word_of
from bitewright.sheets.second_told import is_second, is_surely_second
from bitewright.sheets.understanding import Understanding
from bitewright.sheets.vocabulary import meanings, words_of
from bitewright.sheets.word_meanings import (
    decision_word,
    denied_decision,
    flag,
    is_doubtful,
    try_of,
)

FILLED = 0.85
"""Share of rows from which a column is taken to be filled in for every film. Our choice."""
NO_WORDS = words_of("flags", "no")
KEPT = ("accepted", "accepted-with-a-remark")
MARKS = ("rejected", "retaken", "retake-accepted")
SELDOM = 0.6
"""Share of rows up to which one mark alone may stand for yes. Our choice."""


class MarkedColumn:
    """A column of marks, or of yes and no.

    Parameters
    ----------
    sheet : Understanding
    heading : str
    marking : tuple of str
        Decisions that mark the row, where the column holds decisions in words.
    words : mapping of word to meaning
        What a person said of words.
    """

    def __init__(
        self,
        sheet: Understanding,
        heading: str,
        marking: tuple[str, ...] = ("retaken",),
        *,
        words: Mapping[str, str] = MappingProxyType({}),
    ) -> None:
        cells = sheet.table.column(heading)
        held = {word_of(cell_text(cell)) for cell in cells}
        self._said = words
        self.heading = heading
        self._marking = marking
        self.is_filled = len(cells) >= FILLED * len(sheet.table.rows)
        tries = {try_of(cell_text(cell)) for cell in cells}
        self._are_tries = {"first", "second"} <= tries
        few = len(cells) <= SELDOM * len(sheet.table.rows)
        self._seconds = frozenset(
            text for cell in cells if is_second(text := cell_text(cell)) and try_of(text) is None
        )
        others = [text for cell in cells if (text := cell_text(cell)) not in self._seconds]
        rest = {word_of(text) for text in others}
        is_mark = few and len(rest) == 1 and not rest & NO_WORDS
        beside = is_mark and any(map(is_surely_second, self._seconds))
        if not beside and not any(
            flag(text) or decision_word(text) == "retaken" for text in others
        ):
            self._seconds = frozenset()  # a word is then a mark, whatever it says
        self._any_mark = beside or (few and len(held) == 1 and not held & NO_WORDS)

    def is_second(self, text: str) -> bool:
        """Whether a cell says that its film is the second one, where others say of the first."""
        return text in self._seconds

    def says(self, text: str) -> bool | None:
        """Whether a cell marks the row; None where it says neither yes nor no."""
        if not text:
            return None if self.is_filled else False
        if text in self._seconds:
            return False
        said_so = self._said.get(word_of(text))
        if said_so is not None:
            return said_so in MARKS if said_so in {*MARKS, *KEPT} else None
        if self._any_mark:
            return True
        if self._are_tries:
            told = try_of(text)
            return None if told is None else told == "second"
        known = meanings("decisions").get(plain(text))
        said = None if known is not None or is_doubtful(text) else flag(text)
        return self._by_decision(text, known) if said is None else said

    def _by_decision(self, text: str, known: str | None) -> bool | None:
        if is_doubtful(text):
            return None
        denied = denied_decision(text)
        if denied is not None:
            return False if denied in self._marking else None
        decided = known or decision_word(text)
        if decided in self._marking:
            return True
        return False if decided in KEPT else None


def is_filled(sheet: Understanding, heading: str) -> bool:
    """Whether a column is filled in for nearly every film."""
    return len(sheet.table.column(heading)) >= FILLED * len(sheet.table.rows)


__all__ = ["FILLED", "MarkedColumn", "is_filled"]
