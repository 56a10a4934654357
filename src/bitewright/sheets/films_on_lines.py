"""Rows whose cells hold a line for each film: each line becomes a row of its own."""

from dataclasses import replace

from bitewright.sheets.cells import Cell
from bitewright.sheets.joining_sheets import Joined
from bitewright.sheets.table_body import Row

FEWEST_ROWS, FEWEST_CELLS = 3, 2
"""Rows whose cells are written so, and cells of a row with as many lines, from which the lines
belong together. Our choice."""


def with_lines_apart(table: Joined) -> Joined:
    """A table in which each line of such a row is a row; cells of one line hold for all of them."""
    counts = [_lines_in(row) for row in table.rows]
    if sum(count > 1 for count in counts) < FEWEST_ROWS:
        return table
    rows: list[Row] = []
    for row, count in zip(table.rows, counts, strict=True):
        rows += [_line(row, at, count) for at in range(count)]
    return replace(table, rows=tuple(rows))


def _lines_in(row: Row) -> int:
    """How many lines the cells of a row share; one where they are not written so."""
    counts = [len(_lines(cell)) for cell in row.cells.values()]
    many = [count for count in counts if count > 1]
    alike = len(many) >= FEWEST_CELLS and len(set(many)) == 1
    return many[0] if alike else 1


def _lines(cell: Cell) -> list[str]:
    return cell.strip().split("\n") if isinstance(cell, str) else [""]


def _line(row: Row, at: int, count: int) -> Row:
    """One line of a row; a line with nothing on it is an empty cell."""
    cells: dict[str, Cell] = {}
    for name, cell in row.cells.items():
        lines = _lines(cell)
        if count == 1 or len(lines) != count:
            cells[name] = cell
        elif lines[at].strip():
            cells[name] = lines[at].strip()
    return replace(row, cells=cells)


__all__ = ["with_lines_apart"]
