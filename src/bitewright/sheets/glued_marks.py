"""Marks that a legend explains, a grade and faults in one: "2O", "3CM", "3C/1" with its retake."""

import re
from collections.abc import Mapping
from dataclasses import replace

from bitewright.sheets.cells import Cell, Workbook, cell_text, plain
from bitewright.sheets.joining_sheets import Joined
from bitewright.sheets.takes import AGAIN
from bitewright.sheets.vocabulary import meanings

MOSTLY = 0.85
"""Share of the cells of a column that must be such marks or grades alone. Our choice."""
FEWEST = 2
"""Cells with faults behind a grade, from which they are no slips. Our choice."""
MARK = re.compile(r"(\d{1,2}|[^\W\d_])\s?([^\W\d_]{0,4})")
STROKE, LEAST = "/", 3
EXPLAINED = re.compile(r"(?<!\w)\w{1,6}\s*/\s*\w{1,6}\s*(?:=|:|\u2013|->|\u2192)\s*(.{3,80})")


def says_stroke_is_retake(workbook: Workbook) -> bool:
    """Whether a line explains a stroke between two marks as a film and its retake."""
    kinds = meanings("kinds")
    for sheet in workbook.sheets:
        for row in sheet.rows:
            texts = [text for cell in row if (text := cell_text(cell))]
            found = EXPLAINED.search(texts[0]) if len(texts) == 1 else None
            if found is not None:
                word = plain(found[1])
                is_again = any(
                    len(each) >= LEAST and kinds.get(each) == "retake" for each in word.split()
                )
                if is_again or AGAIN.search(word):
                    return True
    return False


def with_marks_apart(
    table: Joined,
    graded: Mapping[str, float],
    faults: Mapping[str, str],
    *,
    stroke_is_retake: bool,
) -> Joined:
    """A table in which such marks are written as "2 (O)" and "3 (C) \u2192 1".

    ``graded``, ``faults``: what the sheet explains, by plain code; without both, nothing changes.
    """
    if len(graded) < FEWEST or not faults:
        return table
    told = {
        name: marks
        for name in table.headings
        if (marks := _marks(table, name, graded, faults, stroke_is_retake=stroke_is_retake))
    }
    if not told:
        return table
    rows = []
    for row in table.rows:
        cells: dict[str, Cell] = dict(row.cells)
        for name, marks in told.items():
            text = cell_text(cells.get(name))
            if text in marks:
                cells[name] = marks[text]
        rows.append(replace(row, cells=cells))
    return replace(table, rows=tuple(rows))


def _marks(
    table: Joined,
    name: str,
    graded: Mapping[str, float],
    faults: Mapping[str, str],
    *,
    stroke_is_retake: bool,
) -> dict[str, str]:
    """Each mark of a column with its parts told apart; none where it holds something else."""
    texts = [cell_text(cell) for cell in table.column(name)]
    told: dict[str, str] = {}
    for text in set(texts):
        pieces = text.split(STROKE) if stroke_is_retake else [text]
        parts = [_apart(piece.strip(), graded, faults) for piece in pieces]
        if len(parts) <= 2 and None not in parts:
            told[text] = " \u2192 ".join(part for part in parts if part)
    glued = sum(told.get(text, text) != text for text in texts)
    are_marks = sum(text in told for text in texts) >= MOSTLY * len(texts)
    return told if glued >= FEWEST and are_marks else {}


def _apart(text: str, graded: Mapping[str, float], faults: Mapping[str, str]) -> str | None:
    """A grade with its faults behind it in brackets; None where it is none."""
    found = MARK.fullmatch(text)
    if found is None or plain(found[1]) not in graded:
        return None
    grade, codes = found[1], found[2]
    if not codes:
        return grade
    if plain(codes) in faults:
        return f"{grade} ({codes})"
    if all(plain(code) in faults for code in codes):
        return f"{grade} ({', '.join(codes)})"
    return None


__all__ = ["says_stroke_is_retake", "with_marks_apart"]
