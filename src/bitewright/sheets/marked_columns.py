"""Columns in which a mark, or its absence, says something of the row."""

from bitewright.sheets.cells import cell_text, plain
from bitewright.sheets.understanding import Understanding
from bitewright.sheets.vocabulary import words_of
from bitewright.sheets.word_meanings import decision_word, flag, is_doubtful

FILLED = 0.85
"""Share of rows from which a column is taken to be filled in for every film. Our choice."""
NO_WORDS = words_of("flags", "no")
SELDOM = 0.6
"""Share of rows up to which one mark alone may stand for yes. Our choice."""


class MarkedColumn:
    """A column of marks, or of yes and no.

    Parameters
    ----------
    sheet : Understanding
    heading : str
    """

    def __init__(self, sheet: Understanding, heading: str) -> None:
        cells = sheet.table.column(heading)
        words = {plain(cell_text(cell)) or cell_text(cell) for cell in cells}
        self.heading = heading
        self.is_filled = len(cells) >= FILLED * len(sheet.table.rows)
        few = len(cells) <= SELDOM * len(sheet.table.rows)
        self._any_mark = few and len(words) == 1 and not words & NO_WORDS

    def says(self, text: str) -> bool | None:
        """Whether a cell marks the row; None where it says neither yes nor no."""
        if not text:
            return None if self.is_filled else False
        if self._any_mark:
            return True
        said = None if is_doubtful(text) else flag(text)
        if said is None and not is_doubtful(text):
            decided = decision_word(text)
            said = None if decided is None else decided == "retaken"
        return said


def is_filled(sheet: Understanding, heading: str) -> bool:
    """Whether a column is filled in for nearly every film."""
    return len(sheet.table.column(heading)) >= FILLED * len(sheet.table.rows)


__all__ = ["FILLED", "MarkedColumn", "is_filled"]
