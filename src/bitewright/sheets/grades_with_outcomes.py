"""A cell with a grade and what became of the film: "fair, kept", "poor -> again", "rpt: good"."""

import re
from collections.abc import Mapping
from dataclasses import replace

from bitewright.sheets.cells import Cell, cell_text, plain
from bitewright.sheets.grade_words import BEST, MIDDLE, WORST
from bitewright.sheets.joining_sheets import Joined
from bitewright.sheets.second_told import is_second
from bitewright.sheets.vocabulary import EXACT, heading_scores
from bitewright.sheets.word_meanings import decision_word

PIECES = re.compile(r"\s*(?:[,;:]|->|\u2192|=>|\s[-\u2013]\s)\s*")
OUTCOME, KIND = "Outcome", "Kind"
"""Headings given to what stands beside the grade."""
NEARLY_ALL, SEVERAL, FEWEST = 0.85, 0.15, 3
"""Share of cells that are grades, with an outcome or without, and share and number of those with
one, from which the two are taken apart. Our choice."""
GRADES = (BEST | MIDDLE | WORST) - {"ok", "okay"}


def with_outcomes_apart(table: Joined) -> Joined:
    """A table in which such a column is two, or three where second films are told in it too."""
    if {OUTCOME, KIND} & set(table.headings):
        return table
    for name in table.headings:
        known = heading_scores(name)
        if max(known.get("rating", 0.0), known.get("decision", 0.0)) < EXACT:
            continue
        texts = [text for cell in table.column(name) if (text := cell_text(cell))]
        read = [_parts(text) for text in texts]
        told = [each for each in read if each]
        both = [each for each in told if len(each) > 1]
        if len(told) >= NEARLY_ALL * len(texts) and len(both) >= max(FEWEST, SEVERAL * len(texts)):
            rows = tuple(replace(row, cells=_apart(row.cells, name)) for row in table.rows)
            there = [each for each in (OUTCOME, KIND) if any(each in row.cells for row in rows)]
            return replace(table, headings=(*table.headings, *there), rows=rows)
    return table


def _parts(text: str) -> dict[str, str]:
    """The grade and what stands with it; none where the cell is something else."""
    found: dict[str, str] = {}
    for piece in PIECES.split(text):
        if plain(piece) in GRADES:
            part = "grade"
        elif is_second(piece) and not found:  # before its grade: behind one it is still to come
            part = KIND
        elif decision_word(piece) is not None:
            part = OUTCOME
        else:
            return {}
        if part in found and part != OUTCOME:
            return {}
        both = f"{found[OUTCOME]} / {piece}" if part in found else piece  # a fault of its row
        found[part] = "retake" if part == KIND else both
    return found if "grade" in found else {}


def _apart(cells: Mapping[str, Cell], name: str) -> dict[str, Cell]:
    found = _parts(cell_text(cells.get(name)))
    if len(found) < 2:
        return dict(cells)
    others = {each: text for each, text in found.items() if each != "grade"}
    return {**cells, name: found["grade"], **others}


__all__ = ["with_outcomes_apart"]
