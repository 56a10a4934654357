"""Rows whose mark tells of two films: each film a row of its own."""

import re
from collections.abc import Mapping
from dataclasses import replace

from bitewright.sheets.cells import Cell, cell_text, plain
from bitewright.sheets.joining_sheets import Joined
from bitewright.sheets.table_body import Row
from bitewright.sheets.takes import fault_behind, grades_taken, takes_in
from bitewright.sheets.vocabulary import OVER, longest_held, words_of
from bitewright.sheets.word_meanings import flag, number_in

SELDOM = 0.6
"""Share of films up to which there was a second try. Our choice."""
MOST_TRIES = 6
"""Exposures of one view, beyond which a number counts something else. Our choice."""
MOSTLY = 0.8
"""Share of the marks of a second try that must be marks of the first one too. Our choice."""
AGAIN_MARKED = frozenset({"retake", "retaken", "is_retake"})
UNTOLD = frozenset({"rating", "decision", "beside", "private", *AGAIN_MARKED})
"""What a column of marks of a second try may be taken for; one that says yes is another thing."""
IN_BRACKETS = re.compile(r"\(([^()]{2,40})\)")
AGAIN = "Made again"
"""Heading given to what tells that a film was made again."""
WHY = "Fault"
"""Heading given to a fault that stands with a mark."""
KIND = "Kind"
"""Heading given to what tells a second film from a first one."""


def each_take(
    table: Joined, columns: Mapping[str, str], legend: Mapping[str, tuple[str, ...]]
) -> tuple[Joined, dict[str, str]]:
    """A table in which each of two films told in one mark has a row, and what columns hold."""
    heading = next((name for name, held in columns.items() if held == "decision"), None)
    graded = next((name for name, held in columns.items() if held == "rating"), None)
    counted = next((name for name, held in columns.items() if held == "tries"), None)
    if counted is not None:
        return _each_try(table, columns, graded or heading or "", counted)
    second = _second_try(table, columns, graded or heading)
    if second is not None:
        return _two_tries(table, columns, graded or heading or "", second)
    if graded is not None and any(
        grades_taken(cell_text(cell), legend) for cell in table.column(graded)
    ):
        return _two_grades(table, columns, graded, legend)
    if heading is None or not any(
        takes_in(cell_text(cell), legend) for cell in table.column(heading)
    ):
        return table, dict(columns)
    kept = _of_first(columns)
    rows: list[Row] = []
    for row in table.rows:
        takes = takes_in(cell_text(row.cells.get(heading)), legend)
        for at, decision in enumerate(takes):
            cells: dict[str, Cell] = {**row.cells, heading: decision.replace("-", " ")}
            text = cell_text(row.cells[heading])
            fault = fault_behind(text, legend)[1] or _in_brackets(text)
            if fault and not at:
                cells[WHY] = fault
            if at:
                cells = {name: cell for name, cell in cells.items() if name not in kept}
                cells[KIND] = "retake"
            rows.append(replace(row, cells=cells))
        if not takes:
            rows.append(row)
    return _with_kind(table, columns, rows)


def _in_brackets(text: str) -> str:
    found = IN_BRACKETS.search(text)
    return "" if found is None else found[1]


def _each_try(
    table: Joined, columns: Mapping[str, str], told: str, counted: str
) -> tuple[Joined, dict[str, str]]:
    """A row for each exposure counted: the last came out as told, those before were made again."""
    kept = _of_first(columns)
    rows: list[Row] = []
    is_decided = columns.get(told) == "decision"
    for row in table.rows:
        found = number_in(cell_text(row.cells.get(counted)))
        tries = int(found[0]) if found is not None else 1
        if not 1 < tries <= MOST_TRIES:
            rows.append(row)
            continue
        lost = {**row.cells, AGAIN: "yes"}
        if is_decided:
            lost[told] = "retaken"
        else:
            lost.pop(told, None)
        last = {name: cell for name, cell in row.cells.items() if name not in kept}
        rows += [replace(row, cells=lost)] * (tries - 1)
        rows.append(replace(row, cells={**last, KIND: "retake"}))
    if not is_decided and not {"retaken", "retake"} & set(columns.values()):
        table = replace(table, headings=(*table.headings, AGAIN))
        columns = {**columns, AGAIN: "retaken"}
    return _with_kind(table, columns, rows)


def _second_try(table: Joined, columns: Mapping[str, str], first: str | None) -> str | None:
    """The column of a second try beside that of the first, with the same words; None where none."""
    if first is None:
        return None
    tried = table.column(first)
    known = {plain(cell_text(cell)) for cell in tried}
    for name in table.headings:
        if columns.get(name, "beside") not in UNTOLD or name == first:
            continue
        texts = [plain(cell_text(cell)) for cell in table.column(name)]
        is_marked = columns.get(name) in AGAIN_MARKED
        is_graded = columns.get(first) == "rating" and all(texts) and not any(map(flag, texts))
        if is_marked and not is_graded:
            continue  # marks of yes, which say that there was a second one and no more
        if len(texts) > SELDOM * len(tried):
            continue  # nearly each film has both: they are two readings of one
        is_second = (
            is_marked or longest_held(plain(name), words_of("attempts", "second")) is not None
        )
        if is_second and texts and sum(each in known for each in texts) >= MOSTLY * len(texts):
            return name
    return None


def _two_tries(
    table: Joined, columns: Mapping[str, str], first: str, second: str
) -> tuple[Joined, dict[str, str]]:
    """A row for each try that has a mark, what went wrong being the first one's."""
    of_second = _of_second(columns, second)
    kept = _of_first(columns) - of_second
    is_marked = columns.get(second) in AGAIN_MARKED and columns.get(first) == "rating"
    rows: list[Row] = []
    for row in table.rows:
        theirs = {name: cell for name, cell in row.cells.items() if name in of_second}
        cells = {
            name: cell for name, cell in row.cells.items() if name != second and name not in theirs
        }
        is_again = bool(cell_text(row.cells.get(second)))
        told = {AGAIN: "yes"} if is_again and is_marked else {}
        rows.append(replace(row, cells={**cells, **told}))
        if is_again:
            again = {name: cell for name, cell in cells.items() if name not in kept}
            again |= {first: row.cells[second], KIND: "retake"}
            rows.append(replace(row, cells={**again, **theirs}))
    left = {name: held for name, held in columns.items() if name != second}
    if is_marked:
        table = replace(table, headings=(*table.headings, AGAIN))
        left = {**left, AGAIN: "retaken"}
    return _with_kind(table, left, rows)


def _two_grades(
    table: Joined, columns: Mapping[str, str], graded: str, legend: Mapping[str, tuple[str, ...]]
) -> tuple[Joined, dict[str, str]]:
    """The same where a grade is followed by that of the film made after it: "3 rpt 1"."""
    kept = _of_first(columns)
    rows: list[Row] = []
    for row in table.rows:
        two = grades_taken(cell_text(row.cells.get(graded)), legend)
        if not two:
            rows.append(row)
            continue
        rows.append(replace(row, cells={**row.cells, graded: two[0], AGAIN: "yes"}))
        cells = {name: cell for name, cell in row.cells.items() if name not in kept}
        rows.append(replace(row, cells={**cells, graded: two[1], KIND: "retake"}))
    if AGAIN not in columns and "retaken" not in columns.values():
        table = replace(table, headings=(*table.headings, AGAIN))
        columns = {**columns, AGAIN: "retaken"}
    return _with_kind(table, columns, rows)


def _of_first(columns: Mapping[str, str]) -> set[str]:
    """Columns that tell of the first film alone."""
    return {name for name, held in columns.items() if held in {"faults", "note", "fault_size"}}


def _of_second(columns: Mapping[str, str], second: str) -> set[str]:
    """Columns of what was wrong that stand under the same head as the outcome of the second try."""
    upper, over, _ = second.rpartition(OVER)
    if not over:
        return set()
    return {name for name in _of_first(columns) if name.rpartition(OVER)[0] == upper}


def _with_kind(
    table: Joined, columns: Mapping[str, str], rows: list[Row]
) -> tuple[Joined, dict[str, str]]:
    made = {KIND: "kind", WHY: "faults"}
    there = {name: held for name, held in made.items() if any(name in row.cells for row in rows)}
    headings, held = (*table.headings, *there), {**columns, **there}
    return replace(table, headings=tuple(dict.fromkeys(headings)), rows=tuple(rows)), held


__all__ = ["each_take"]
