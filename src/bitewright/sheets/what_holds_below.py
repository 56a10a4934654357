"""What is written once and holds for the rows below: people, patients, lines above rows."""

from collections.abc import Collection, Mapping
from dataclasses import replace
from itertools import pairwise

from bitewright.sheets.cells import Cell, cell_text, word_of
from bitewright.sheets.joining_sheets import Joined
from bitewright.sheets.said_above import ABOVE, MAYBE_OPERATOR
from bitewright.sheets.table_body import Row
from bitewright.sheets.view_words import view_in

HELD = frozenset({"operator", "case"})
"""What is told of every film, so that an empty cell means that above."""
REPEATED = 0.2
"""Share of filled cells that repeat the one right above, beyond which it is not written once. Our
choice."""
SELDOM = 0.05
"""Share of rows with a blank, beyond which it is no slip. Our choice."""
NEARLY_ALL = 0.95
"""Share of blanks that must go with a blank day, for both to be written once. Our choice."""
ONCE = 0.7
"""Share of filled rows below which a column is written once for several rows. Our choice."""


def with_what_holds(table: Joined, columns: Mapping[str, str]) -> Joined:
    """A table in which such columns are filled down, tab by tab."""
    names = [
        name
        for name, held in columns.items()
        if held in HELD
        and 0 < len(table.column(name)) < len(table.rows)
        and _begin_filled(table, name)
        and (_goes_with_days(table, columns, name) or _is_written_once(table, name))
    ]
    if not names:
        return table
    last: dict[tuple[str, str], Cell] = {}
    rows = []
    for row in table.rows:
        cells = dict(row.cells)
        for name in names:
            if cell_text(cells.get(name)):
                last[row.sheet, name] = cells[name]
            elif (row.sheet, name) in last:
                cells[name] = last[row.sheet, name]
        rows.append(replace(row, cells=cells))
    return replace(table, rows=tuple(rows))


def _is_written_once(table: Joined, name: str) -> bool:
    return len(table.column(name)) < ONCE * len(table.rows) and not _comes_again(table, name)


def _goes_with_days(table: Joined, columns: Mapping[str, str], name: str) -> bool:
    """Whether a column is blank only where the day is, which is written once for several rows."""
    day = next((each for each, held in columns.items() if held == "day"), None)
    if day is None or len(table.column(day)) >= ONCE * len(table.rows):
        return False
    blank = [row for row in table.rows if name not in row.cells]
    together = sum(day not in row.cells for row in blank)
    return together >= NEARLY_ALL * len(blank) and len(blank) > SELDOM * len(table.rows)


def _comes_again(table: Joined, name: str) -> bool:
    """Whether a cell often repeats the one right above, so that an empty one is no ditto."""
    pairs = [
        cell_text(above.cells[name]) == cell_text(row.cells[name])
        for above, row in pairwise(table.rows)
        if above.sheet == row.sheet and name in above.cells and name in row.cells
    ]
    return sum(pairs) > REPEATED * len(table.column(name))


def _begin_filled(table: Joined, name: str) -> bool:
    """Whether the first row of every tab is filled."""
    first = {row.sheet: row for row in reversed(table.rows)}
    return all(name in row.cells for row in first.values())


FEW_FILLED, MOST_SAID = 0.6, 0.9
"""Share of rows below which a column, and from which lines above, tell who exposed. Our choice."""
NAMED_ENOUGH = 0.5
"""Share of cells that name their view by themselves, from which a view above adds nothing, and of
rows under lines that may be names, from which they are names. Our choice."""


def with_lines_above(
    table: Joined,
    columns: Mapping[str, str],
    left_out: Mapping[str, str],
    view_codes: Collection[str] = (),
) -> tuple[Joined, dict[str, str]]:
    """A table with a column for what only lines above its rows tell, and what each column holds.

    ``left_out``: what a person said of columns; an empty text leaves one out. ``view_codes``: words
    that a legend or a person explains as views.
    """
    said = {target for row in table.rows for target in row.above}
    wanted = {
        target: heading
        for target, heading in ABOVE.items()
        if (target in said or (target == "operator" and _may_name(table)))
        and _is_missing(table, columns, target, view_codes)
        and left_out.get(heading) != ""
    }
    if not wanted:
        return table, dict(columns)
    headings = tuple(wanted.values())
    rows = tuple(_filled(row, wanted) for row in table.rows)
    return (
        replace(table, headings=(*table.headings, *headings), rows=rows),
        {
            **{
                name: held
                for name, held in columns.items()
                if held not in {"operator", "supervisor"} or held not in wanted
            },
            **{heading: target for target, heading in wanted.items()},
        },
    )


def _may_name(table: Joined) -> bool:
    """Whether lines that may be names stand over half of the rows, as those of people do."""
    named = sum(MAYBE_OPERATOR in row.above for row in table.rows)
    return named >= NAMED_ENOUGH * len(table.rows) > 0


def _is_missing(
    table: Joined, columns: Mapping[str, str], target: str, view_codes: Collection[str]
) -> bool:
    if target == "decision":  # a colour tells what was decided only where nothing else does
        return not {"decision", "rejected", "rating", "retake", "retaken"} & set(
            columns.values()
        ) and not any(held.startswith(("grade:", "decision:")) for held in columns.values())
    if target not in columns.values():
        return True
    if target in {"operator", "supervisor"}:  # a line over all rows goes before a column of few
        column = next(name for name, held in columns.items() if held == target)
        said = sum(target in row.above for row in table.rows)
        few, most = FEW_FILLED * len(table.rows), MOST_SAID * len(table.rows)
        return len(table.column(column)) < few and said > most
    if target != "view":
        return False
    texts = [
        cell_text(cell)
        for name, held in columns.items()
        if held == "view"
        for cell in table.column(name)
    ]
    named = sum(view_in(text) is not None or word_of(text) in view_codes for text in texts)
    return named < NAMED_ENOUGH * len(texts)


def _filled(row: Row, wanted: Mapping[str, str]) -> Row:
    found: dict[str, Cell] = {}
    for target, heading in wanted.items():
        cell = row.above.get(target)
        if cell is None and target == "operator":
            cell = row.above.get(MAYBE_OPERATOR)
        if cell is not None:
            found[heading] = cell
    return replace(row, cells={**row.cells, **found}) if found else row


__all__ = ["with_lines_above", "with_what_holds"]
