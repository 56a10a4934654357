"""People and patients that are written once and hold for the rows below, until the next."""

from collections.abc import Mapping
from dataclasses import replace
from itertools import pairwise

from bitewright.sheets.cells import Cell, cell_text
from bitewright.sheets.joining_sheets import Joined

HELD = frozenset({"operator", "case"})
"""What is told of every film, so that an empty cell means that above."""
REPEATED = 0.2
"""Share of filled cells that repeat the one right above, beyond which it is not written once. Our
choice."""
ONCE = 0.7
"""Share of filled rows below which a column is written once for several rows. Our choice."""


def with_what_holds(table: Joined, columns: Mapping[str, str]) -> Joined:
    """A table in which such columns are filled down, tab by tab."""
    names = [
        name
        for name, held in columns.items()
        if held in HELD
        and 0 < len(table.column(name)) < ONCE * len(table.rows)
        and _begin_filled(table, name)
        and not _comes_again(table, name)
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


def _comes_again(table: Joined, name: str) -> bool:
    """Whether a cell often repeats the one right above, so that an empty one says something else."""
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


__all__ = ["with_what_holds"]
