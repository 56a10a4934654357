"""Remarks that mark a film as the second one, told by where they stand."""

from collections import Counter
from collections.abc import Mapping

from bitewright.sheets.cells import cell_text, plain, word_of
from bitewright.sheets.retakes_in_doubt import is_bad_film
from bitewright.sheets.row_views import written_view
from bitewright.sheets.second_told import is_surely_second
from bitewright.sheets.understanding import Understanding
from bitewright.sheets.view_words import view_in
from bitewright.sheets.vocabulary import longest_held, meanings, words_of
from bitewright.sheets.word_meanings import BETWEEN

REMARKS = frozenset({"note", "private", "beside", "faults", "reason"})
"""What columns may be taken for in which a remark stands."""
NAMING = frozenset({"faults", "reason"})
"""Those of them whose words may follow such a film by chance, as a fault does that comes again."""
FEWEST, FOLLOW = 2, 0.8
"""Times that a remark stands there, and share of them that must follow a film of the same patient
and view that was not kept, from which it marks second films. Our choice."""


class SecondFilms:
    """The remarks of a sheet that mark second films.

    A word that stands, each time, right below a film of the same patient and the same view that
    was not kept marks the film made in its place, in whatever language it is.
    """

    def __init__(self, sheet: Understanding) -> None:
        self._headings = [
            name for name in sheet.table.headings if sheet.columns.get(name, "beside") in REMARKS
        ]
        free = [name for name in self._headings if sheet.columns.get(name) not in NAMING]
        self._marks = _marks(sheet, free)

    def marks(self, texts: Mapping[str, str], *, is_kept: bool) -> bool:
        """Whether a remark of a row says so; a repeat of a film that was kept is none to come."""
        second = words_of("attempts", "second")
        for name in self._headings:
            text = texts.get(name, "")
            if not text:
                continue
            if (name, word_of(text)) in self._marks or longest_held(plain(text), second):
                return True
            if any(map(is_surely_second, (text, *BETWEEN.split(text)))):
                return True
            if is_kept and len(text) > 2 and says_again(text):
                return True
        return False


def says_again(remark: str) -> bool:
    """Whether a part of a remark is a word for a film made again: "RE-TAKE" is one too."""
    known = meanings("kinds")
    pieces = [plain(piece) for piece in BETWEEN.split(remark)]
    return any(
        "retake" in {known.get(piece), known.get(piece.replace(" ", ""))} for piece in pieces
    )


def _marks(sheet: Understanding, headings: list[str]) -> frozenset[tuple[str, str]]:
    """Headings and words that mark second films by where they stand."""
    case = sheet.heading("case")
    there, following = Counter[tuple[str, str]](), Counter[tuple[str, str]]()
    last: dict[tuple[str, str, str], bool] = {}
    for row in sheet.table.rows if case is not None else ():
        texts = {name: cell_text(cell) for name, cell in row.cells.items()}
        written = written_view(sheet, row)
        film = (row.sheet, word_of(texts.get(case or "", "")), view_in(written) or word_of(written))
        follows = bool(film[1]) and last.get(film, False)
        for name in headings:
            word = word_of(texts.get(name, ""))
            if word:
                there[name, word] += 1
                following[name, word] += follows
        last[film] = is_bad_film(sheet, texts)
    return frozenset(
        mark
        for mark, count in there.items()
        if count >= FEWEST and following[mark] >= FOLLOW * count
    )


__all__ = ["SecondFilms", "says_again"]
