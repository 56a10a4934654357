"""Known words for decisions to be asked all the same: soft ones, and those at odds with rows."""

from collections import Counter

from bitewright.sheets.cells import cell_text, plain, word_of
from bitewright.sheets.remarks_told import REMARK_TOLD
from bitewright.sheets.row_views import written_view
from bitewright.sheets.understanding import Understanding
from bitewright.sheets.view_words import view_in
from bitewright.sheets.word_meanings import ACCEPTED, WITH_REMARK, decision_word

NEXT = 4
"""Rows further down in which the film made again may stand. Our choice."""
FEWEST_KEPT, FOLLOWED = 3, 0.7
"""Films of a word for kept ones, and share of them that were made again, from which it is asked."""
FEWEST_AGAIN, ALONE = 2, 0.2
"""Films of a word for those made again, and share of them with a second film, up to which it is
asked whether the word tells of both. Our choice."""


def words_at_odds(sheet: Understanding) -> frozenset[str]:
    """Plain words of the column of decisions to be asked though they are known.

    A word for kept films is in doubt where the same film comes once more below nearly each of
    them, one for films made again where it never does, and one for a film that was just good
    enough always: whether that is a remark, only a person can say.
    """
    heading, case = sheet.heading("decision"), sheet.heading("case")
    if heading is None:
        return frozenset()
    texts = [cell_text(row.cells.get(heading)) for row in sheet.table.rows]
    soft = {word_of(text) for text in texts if _is_soft(text)}
    if case is None:
        return frozenset(soft)
    films = [
        (row.sheet, word_of(cell_text(row.cells.get(case))), _film(written_view(sheet, row)))
        for row in sheet.table.rows
    ]
    there, followed = Counter[str](), Counter[str]()
    for at, (text, film) in enumerate(zip(texts, films, strict=True)):
        word = word_of(text)
        there[word] += 1
        followed[word] += film in films[at + 1 : at + 1 + NEXT] and all(film[1:])
    odd = {
        word
        for word, count in there.items()
        if word
        and (
            (
                decision_word(word) == ACCEPTED
                and count >= FEWEST_KEPT
                and followed[word] >= FOLLOWED * count
            )
            or (
                decision_word(word) == "retaken"
                and count >= FEWEST_AGAIN
                and followed[word] <= ALONE * count
            )
        )
    }
    return frozenset(soft | odd)


def _film(written: str) -> str:
    return view_in(written) or word_of(written)


def _is_soft(text: str) -> bool:
    return decision_word(plain(text)) == WITH_REMARK and REMARK_TOLD.search(plain(text)) is None


__all__ = ["words_at_odds"]
