"""Whether a sheet counts films instead of listing them."""

import re
from collections.abc import Mapping

from bitewright.sheets.cells import cell_text, plain
from bitewright.sheets.dates import parts_of
from bitewright.sheets.grades import grade_meanings
from bitewright.sheets.joining_sheets import Joined
from bitewright.sheets.roles_asked import lists_patients
from bitewright.sheets.vocabulary import fault_words, longest_held, meanings
from bitewright.sheets.word_meanings import decision_word, number_in

STROKES = re.compile(r"(?:[|lI/1\\\u2160-\u2162]{1,5}\s?){1,40}")
MOST = 0.6


def is_tally(table: Joined, columns: Mapping[str, str] | None = None) -> bool:
    """Whether most columns hold counts, or strokes, of what stands over them or beside them.

    ``columns``: what is known of them. A sheet of one row a film has at most one mark in a cell.
    """
    if not table.rows:
        return False
    held = set((columns or {}).values())
    counted = [name for name in table.headings if _counts(table, name)]
    known = [name for name in counted if _is_counted_thing(name)]
    has_days = "day" in held or _has_days(table)
    if has_days and held & {"view", "rating", "decision", "faults"}:
        return False
    if lists_patients(columns or {}) and "view" in held and held & {"rating", "decision"}:
        return False  # each row is the film of a patient
    if has_days:
        return len(known) >= 2
    figures = sum(len(table.column(name)) for name in counted)
    cells = sum(len(row.cells) for row in table.rows)
    return len(counted) >= 1 and figures >= 0.4 * cells


def _has_days(table: Joined) -> bool:
    for name in table.headings:
        cells = table.column(name)
        days = sum(parts_of(cell) is not None for cell in cells)
        if days >= MOST * max(1, len(cells)) and len(cells) >= MOST * len(table.rows):
            return True
    return False


def _counts(table: Joined, name: str) -> bool:
    """Whether a column holds whole numbers, some above one, or strokes of a tally."""
    texts = [cell_text(cell) for cell in table.column(name)]
    if not texts:
        return False
    strokes = sum(
        STROKES.fullmatch(text) is not None and len(text) > 1 and not text.isdigit()
        for text in texts
    )
    if strokes >= 0.3 * len(texts):
        return True
    numbers = [found[0] for text in texts if (found := number_in(text.rstrip("%"))) is not None]
    whole = [number for number in numbers if number == int(number)]
    return len(whole) >= 0.7 * len(texts) and any(number > 1 for number in whole)


def _is_counted_thing(name: str) -> bool:
    """Whether a heading is something that films are counted by: a fault, a grade, a decision."""
    text = plain(name)
    grade = grade_meanings([text])
    return (
        longest_held(text, fault_words()) is not None
        or decision_word(text) is not None
        or (grade is not None and len(text) <= 20 and not text.isdigit())
        or any(word in meanings("films") for word in text.split())
        or longest_held(
            text, ("total", "films", "retakes", "aufnahmen", "bilder", "cliches", "placas")
        )
        is not None
    )


__all__ = ["is_tally"]
