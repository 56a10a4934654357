"""`bitewright list`: views, criteria, equipment and rating schemes there are, with sources."""

from typing import Annotated

import typer
from rich.table import Table

from bitewright.cli import options
from bitewright.cli.options import Listing
from bitewright.cli.screen import console, print_json

EXAMPLE = "bitewright list receptors"


def add_to(app: typer.Typer) -> None:
    """Register the command."""
    app.command(name="list", epilog=f"Example:\n\n{EXAMPLE}")(list_known)


def list_known(
    what: Annotated[Listing, typer.Argument(help="What to list.")],
    equipment: options.EquipmentFiles = None,
    as_json: options.AsJson = False,
) -> None:
    """List what can be named in other commands, with where its numbers come from."""
    from bitewright.tasks.catalogue.list_catalogue import list_catalogue
    from bitewright.tasks.catalogue.named import equipment as known_equipment

    document = list_catalogue(what.value, known_equipment(equipment or ()))
    if as_json:
        print_json(document)
        return
    table = Table(box=None, pad_edge=False)
    rows = document["entries"]
    headings = [name for name in rows[0] if name != "source"]
    for heading in (*headings, "source"):
        table.add_column(heading, overflow="fold")
    for row in rows:
        table.add_row(*(str(row[name]) for name in headings), str(row["source"]))
    console().print(table)


__all__ = ["add_to", "list_known"]
