"""A table of films whose headings are worded otherwise than those of another one."""

from dataclasses import replace

from bitewright.sheets.cells import Cell, plain
from bitewright.sheets.column_facts import ColumnFacts
from bitewright.sheets.finding_tables import Table
from bitewright.sheets.guessing_columns import LEFT_ALONE, guessed_columns

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


__all__ = ["reworded"]
