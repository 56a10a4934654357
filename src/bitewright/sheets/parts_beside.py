"""Tables that stand side by side on one sheet, an empty column between them."""

from collections.abc import Sequence
from dataclasses import replace

from bitewright.sheets.cells import Cell, Sheet, cell_text, plain
from bitewright.sheets.dates import month_and_year
from bitewright.sheets.finding_tables import find_table
from bitewright.sheets.said_above import day_within
from bitewright.sheets.vocabulary import EXACT, heading_scores

FEWEST = 3
"""Rows and columns that each of several tables must have. Our choice."""
LOOKED_AT = 200
"""Rows in which an empty column is looked for. Our choice."""


def parts_beside(sheet: Sheet) -> list[Sheet]:
    """The parts of a sheet that are tables of their own, each with its days; else all of it."""
    again = _headings_again(sheet.rows[:LOOKED_AT])
    if again:
        return [_part(sheet, first, last) for first, last in again]
    runs = _filled_columns(sheet.rows[:LOOKED_AT])
    if len(runs) < 2:
        return [sheet]
    parts = [_part(sheet, first, last) for first, last in runs]
    return parts if all(map(_is_table, parts)) else [sheet]


def _headings_again(rows: Sequence[Sequence[Cell]]) -> list[tuple[int, int]]:
    """Where one row holds the same words twice or more and no other, of each time; else none."""
    for row in rows:
        texts = [plain(cell_text(cell)) for cell in row]
        while texts and not texts[-1]:
            texts.pop()
        first = next((at for at, text in enumerate(texts) if text), 0)
        for period in range(FEWEST, (len(texts) - first) // 2 + 2):
            starts = range(first, len(texts), period)
            blocks = [tuple(filter(None, texts[at : at + period])) for at in starts]
            words = set(blocks[0])
            is_apart = all(not texts[at + period - 1] for at in starts if at + period <= len(texts))
            differ = is_apart or len(words) == len(blocks[0])
            is_same = len(blocks) > 1 and len(set(blocks)) == 1 and differ
            if (
                is_same
                and not _stand_outside(rows, first, len(texts))
                and len(words) >= FEWEST
                and (is_apart or not any(map(str.isdigit, blocks[0][0])))
            ):
                return [(at, at + period - 1) for at in starts]
    return []


def _stand_outside(rows: Sequence[Sequence[Cell]], first: int, end: int) -> bool:
    """Whether more than a title stands beside some columns."""
    beside = sum(any(cell_text(cell) for cell in (*row[:first], *row[end:])) for row in rows)
    return beside > FEWEST


def _filled_columns(rows: Sequence[Sequence[Cell]]) -> list[tuple[int, int]]:
    """First and last column of each run of columns in which something stands under the titles."""
    counts: dict[int, int] = {}
    for row in rows:
        for at, cell in enumerate(row):
            if cell_text(cell):
                counts[at] = counts.get(at, 0) + 1
    runs: list[tuple[int, int]] = []
    for at in sorted(counts):
        if runs and at == runs[-1][1] + 1:
            runs[-1] = (runs[-1][0], at)
        else:
            runs.append((at, at))
    return runs


def _part(sheet: Sheet, first: int, last: int) -> Sheet:
    merged = tuple(
        span._replace(
            first_column=span.first_column - first, last_column=min(span.last_column, last) - first
        )
        for span in sheet.merged
        if first <= span.first_column <= last
    )
    rows = [_said_of_all(row) or row[first : last + 1] for row in sheet.rows]
    return replace(sheet, rows=rows, merged=merged)


def _said_of_all(row: Sequence[Cell]) -> Sequence[Cell]:
    """A line with nothing but a month or a day, which holds for all tables below it."""
    texts = [text for cell in row if (text := cell_text(cell))]
    alone = len(texts) == 1 and (month_and_year(texts[0])[0] or day_within(texts[0]))
    return [cell for cell in row if cell_text(cell)] if alone else ()


def _is_table(part: Sheet) -> bool:
    table = find_table(part)
    if table is None or len(table.rows) < FEWEST or len(table.headings) < FEWEST:
        return False
    return any(heading_scores(name).get("day", 0.0) >= EXACT for name in table.headings)


__all__ = ["parts_beside"]
