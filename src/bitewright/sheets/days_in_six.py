"""Days written as six figures, such as 250113: year, month and day, or day, month and year."""

import re
from collections.abc import Sequence
from dataclasses import replace

from bitewright.log.days import day_number
from bitewright.sheets.cells import Cell, CellDay, cell_text
from bitewright.sheets.joining_sheets import Joined
from bitewright.sheets.vocabulary import EXACT, heading_scores

SIX = re.compile(r"(\d\d)(\d\d)(\d\d)(?:\.0)?")
MOSTLY, FEWEST = 0.7, 4
"""Share of cells, and different ones, from which six figures are a column's way to write days."""
VALID = 0.9
"""Share of them that must be days, with a slip or two. Our choice."""
MOST_DAYS = 1200
"""From the first to the last day of a list; days of birth lie further apart. Our choice."""


def with_six_figures_read(table: Joined, today: int) -> Joined:
    """A table in which such columns hold days; those that are no day stay as they are.

    Year first or day first is told by the whole column: read the wrong way, its days lie over
    decades.
    """
    forms = {
        name: form
        for name in table.headings
        if (form := _form(name, table.column(name), today)) is not None
    }
    if not forms:
        return table
    rows = tuple(
        replace(
            row,
            cells={
                name: (_day(cell, forms[name]) or cell) if name in forms else cell
                for name, cell in row.cells.items()
            },
        )
        for row in table.rows
    )
    return replace(table, rows=rows)


def _form(heading: str, cells: Sequence[Cell], today: int) -> tuple[int, int, int] | None:
    """Where year, month and day stand; None where six figures are something else."""
    known = heading_scores(heading)
    if max((fit for name, fit in known.items() if name != "day"), default=0.0) >= EXACT:
        return None
    six = [cell for cell in cells if _six(cell) is not None]
    if len({*map(cell_text, six)}) < FEWEST or len(six) < MOSTLY * len(cells):
        return None
    spans: dict[tuple[int, int, int], int] = {}
    for form in ((0, 1, 2), (2, 1, 0), (2, 0, 1)):
        days = [_number(day) for cell in six if (day := _day(cell, form)) is not None]
        past = sorted(day for day in days if day <= today)
        if len(past) >= VALID * len(six):
            spans[form] = past[-1] - past[0]
    best = min(spans, key=lambda form: spans[form], default=None)
    return best if best is not None and spans[best] <= MOST_DAYS else None


def _six(cell: Cell) -> re.Match[str] | None:
    return SIX.fullmatch(cell_text(cell))


def _day(cell: Cell, form: tuple[int, int, int]) -> CellDay | None:
    found = _six(cell)
    if found is None:
        return None
    year, month, day = (int(found[at + 1]) for at in form)
    made = CellDay(2000 + year, month, day)
    return made if 1 <= month <= 12 and 1 <= day <= 31 and _number(made) else None


def _number(day: CellDay) -> int:
    """Days since 1970-01-01; nought where there is no such day."""
    try:
        return day_number(f"{day.year:04d}-{day.month:02d}-{day.day:02d}")
    except ValueError:
        return 0


__all__ = ["with_six_figures_read"]
