"""For people: the rows of a table that cannot be taken into the log."""

from rich.table import Table

from bitewright.cli.screen import console
from bitewright.tasks.log.table_rows import BadRows
from bitewright.words.log import more_bad_rows


def show_bad(bad: BadRows) -> None:
    """Print where they stand and why."""
    table = Table(title="Bad rows", title_justify="left", box=None, pad_edge=False)
    for heading in ("line", "column", "why"):
        table.add_column(heading, overflow="fold")
    for row in bad.listed:
        table.add_row(str(row.line), row.column or "", row.reason)
    out = console(to_errors=True)
    out.print(table, markup=False)
    if bad.count > len(bad.listed):
        out.print(more_bad_rows(bad.count - len(bad.listed)))


__all__ = ["show_bad"]
