"""The tables of a workbook that belong together, such as one sheet a month, as one."""

from collections.abc import Sequence
from dataclasses import dataclass, replace
from enum import StrEnum

from bitewright.sheets.cells import Cell, Sheet, Workbook, plain
from bitewright.sheets.column_facts import ColumnFacts
from bitewright.sheets.films_beside import films_apart
from bitewright.sheets.finding_tables import Table, find_table
from bitewright.sheets.guessing_columns import LEFT_ALONE, guessed_columns
from bitewright.sheets.parts_beside import parts_beside
from bitewright.sheets.table_body import LeftOut, Row

ALIKE = 0.6
"""Share of headings that two tables must have in common to be one. Our choice."""


class SheetLeftOut(StrEnum):
    """Why a sheet is not taken."""

    NO_TABLE = "no table"
    OTHER_TABLE = "another table"


@dataclass(frozen=True, slots=True, kw_only=True)
class Joined:
    """The tables of a workbook as one.

    Parameters
    ----------
    headings : tuple of str
    rows : tuple of Row
    sheets : tuple of str
        Tabs that were taken.
    sheets_left_out : tuple of (tab, SheetLeftOut)
    left_out : tuple of (tab, line, LeftOut, text)
    titles : tuple of str
        What stands above the tables, and the file's name.
    """

    headings: tuple[str, ...]
    rows: tuple[Row, ...]
    sheets: tuple[str, ...]
    sheets_left_out: tuple[tuple[str, SheetLeftOut], ...]
    left_out: tuple[tuple[str, int, LeftOut, str], ...]
    titles: tuple[str, ...]

    def column(self, heading: str) -> list[Cell]:
        """What stands under a heading, empty cells left out."""
        return [row.cells[heading] for row in self.rows if heading in row.cells]


def joined_tables(workbook: Workbook) -> Joined:
    """The tables that most rows have in common; no rows where there is no table at all."""
    found = [(part, _table(part)) for sheet in workbook.sheets for part in parts_beside(sheet)]
    most = _most_alike([table for _, table in found if table is not None and table.rows])
    if most is not None:
        found = [(sheet, table and reworded(table, most)) for sheet, table in found]
    tables = [table for _, table in found if table is not None and table.rows]
    taken = max(_groups(tables), key=_weight, default=[])
    names = {id(table) for table in taken}
    left = tuple(
        (
            sheet.name,
            SheetLeftOut.NO_TABLE if table is None or not table.rows else SheetLeftOut.OTHER_TABLE,
        )
        for sheet, table in found
        if id(table) not in names and (table is not None or sheet.rows)
    )
    headings = tuple(dict.fromkeys(name for table in taken for name in table.headings))
    known = {_same(name): name for name in reversed(headings)}
    return Joined(
        headings=tuple(dict.fromkeys(known[_same(name)] for name in headings)),
        rows=tuple(_renamed(row, known) for table in taken for row in table.rows),
        sheets=tuple(dict.fromkeys(table.sheet for table in taken)),
        sheets_left_out=left,
        left_out=tuple(
            (table.sheet, line, why, text) for table in taken for line, why, text in table.left_out
        ),
        titles=(*(title for table in taken for title in table.titles), workbook.name),
    )


def _groups(tables: Sequence[Table]) -> list[list[Table]]:
    """Tables with the same headings together."""
    groups: list[list[Table]] = []
    for table in tables:
        home = next((group for group in groups if _alike(group[0], table)), None)
        if home is None:
            groups.append([table])
        else:
            home.append(table)
    return groups


def _most_alike(tables: Sequence[Table]) -> Table | None:
    """The largest table of those most alike, where others are not."""
    groups = _groups(tables)
    if len(groups) < 2:
        return None
    most = max(groups, key=_weight)
    return max(most, key=lambda each: len(each.rows))


def _table(sheet: Sheet) -> Table | None:
    table = find_table(sheet)
    return None if table is None else films_apart(table)


def _renamed(row: Row, known: dict[str, str]) -> Row:
    if all(known[_same(name)] == name for name in row.cells):
        return row
    cells = {known[_same(name)]: cell for name, cell in row.cells.items()}
    return replace(row, cells=cells)


def _same(name: str) -> str:
    return plain(name) or name


def _alike(one: Table, other: Table) -> bool:
    names, others = set(map(_same, one.headings)), set(map(_same, other.headings))
    return len(names & others) >= ALIKE * min(len(names), len(others))


def _weight(group: Sequence[Table]) -> int:
    return sum(len(row.cells) for table in group for row in table.rows)


OF_FILMS = frozenset({"view", "side", "rating", "decision", "rejected"})
"""What a list of films has beside its days, one of them at least."""
FEWEST = 3
"""Things that both tables must hold. Our choice."""


def reworded(table: Table, most: Table) -> Table:
    """A table under the headings of another that holds the same; as it is where it does not."""
    if table is most or {*map(plain, table.headings)} == {*map(plain, most.headings)}:
        return table
    own, theirs = _held(table), _held(most)
    both = own.keys() & theirs.keys()
    if len(both) < FEWEST or not both & OF_FILMS or not ("day" in both or "day" not in theirs):
        return table
    known = {own[target]: theirs[target] for target in both}
    taken = set(known.values())
    names = {
        name: known.get(name) or (name if name not in taken else f"{name} (2)")
        for name in table.headings
    }
    rows = tuple(
        replace(row, cells={names.get(name, name): cell for name, cell in row.cells.items()})
        for row in table.rows
    )
    return replace(table, headings=tuple(names[name] for name in table.headings), rows=rows)


def _held(table: Table) -> dict[str, str]:
    """The heading of each thing that a table holds once."""
    facts = [ColumnFacts(name, _column(table, name), len(table.rows)) for name in table.headings]
    found: dict[str, list[str]] = {}
    for heading, target in guessed_columns(facts, {}).items():
        found.setdefault(target, []).append(heading)
    return {
        target: headings[0]
        for target, headings in found.items()
        if len(headings) == 1 and target not in LEFT_ALONE
    }


def _column(table: Table, heading: str) -> list[Cell]:
    return [row.cells[heading] for row in table.rows if heading in row.cells]


__all__ = ["Joined", "SheetLeftOut", "joined_tables", "reworded"]
