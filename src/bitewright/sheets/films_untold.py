"""Films whose outcome no cell tells, where other rows of the sheet tell theirs."""

from bitewright.sheets.cells import cell_text, word_of
from bitewright.sheets.marked_columns import FILLED, MarkedColumn
from bitewright.sheets.row_views import written_view
from bitewright.sheets.table_body import Row
from bitewright.sheets.understanding import Understanding
from bitewright.sheets.view_words import view_in

NEAR = 3
"""Rows above a retake in which its first film may stand. Our choice."""
SOME = 1.0 - FILLED
"""Share of rows without an outcome, from which they are no slips. Our choice."""


def rows_untold(sheet: Understanding) -> frozenset[tuple[str, int]]:
    """Lines with nothing in any column of decisions, where they are too many to be slips.

    A list that changed hands may tell decisions on some tabs alone, or only of films that were not
    as they should be. Where rejected films are marked, a blank says that a film was kept, and a
    mark of one that was made again says what became of it.
    """
    decided = [*sheet.headings("decision"), *sheet.wide("decision:")]
    if not decided or sheet.has("rejected"):
        return frozenset()
    names = [*decided, *sheet.headings("retaken")]
    rows = sheet.table.rows
    blank = [row for row in rows if not any(name in row.cells for name in names)]
    if not SOME * len(rows) < len(blank) < len(rows):
        return frozenset()
    return frozenset((row.sheet, row.line) for row in blank)


def tabs_untold(sheet: Understanding) -> frozenset[str]:
    """Tabs on which no film's outcome is told."""
    decided = [*sheet.headings("decision"), *sheet.wide("decision:")]
    told = {row.sheet for row in sheet.table.rows if any(name in row.cells for name in decided)}
    return frozenset({name for name, _ in rows_untold(sheet)} - told)


def made_again(sheet: Understanding, retakes: MarkedColumn) -> frozenset[tuple[str, int]]:
    """Lines of films in whose place a row below, marked as a retake, was made."""
    case = sheet.heading("case")
    found = set()
    rows = sheet.table.rows
    films = [_film(sheet, row, case) for row in rows]
    for at, row in enumerate(rows):
        if not retakes.says(cell_text(row.cells.get(retakes.heading))):
            continue
        before = range(at - 1, max(-1, at - 1 - NEAR), -1)
        first = next((each for each in before if films[each] == films[at]), None)
        if first is not None:
            found.add((rows[first].sheet, rows[first].line))
    return frozenset(found)


def _film(sheet: Understanding, row: Row, case: str | None) -> tuple[str, str, str]:
    written = written_view(sheet, row)
    patient = word_of(cell_text(row.cells.get(case))) if case else ""
    return row.sheet, patient, view_in(written) or word_of(written)


__all__ = ["made_again", "rows_untold", "tabs_untold"]
