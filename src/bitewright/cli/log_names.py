"""`bitewright log name`: names of people, kept apart from the record."""

from typing import Annotated

import typer
from rich.table import Table

from bitewright.cli import options
from bitewright.cli.log_options import StoreOption
from bitewright.cli.screen import console, print_json

Code = Annotated[str, typer.Argument(help="Code of an operator or supervisor.")]

name_app = typer.Typer(
    name="name",
    help="Names of operators and supervisors, kept apart from the record by their code.",
    no_args_is_help=True,
)


def add_to(app: typer.Typer) -> None:
    """Register the commands."""
    for name, command, example in (
        ("set", set_, "bitewright log name set S12 'Student Twelve'"),
        ("forget", forget, "bitewright log name forget S12"),
        ("list", list_people, "bitewright log name list"),
    ):
        name_app.command(name=name, epilog=f"Example:\n\n{example}")(command)
    app.add_typer(name_app)


def set_(
    code: Code,
    name: Annotated[str, typer.Argument(help="Name that commands show beside the code.")],
    store: StoreOption = None,
) -> None:
    """Keep a name under a code."""
    from bitewright.tasks.log.name_people import name_person
    from bitewright.words.people import name_kept

    name_person(code, name, store)
    console().print(name_kept(code), markup=False)


def forget(code: Code, store: StoreOption = None) -> None:
    """Delete a name for good. The record keeps the code, so every figure stays as it is.

    Status 1 if a file may still hold it because the store is in use; the answer names it.
    """
    from bitewright.tasks.log.name_people import forget_person
    from bitewright.words.people import name_deleted, name_still_held

    answer = forget_person(code, store)
    if answer.held:
        console().print(name_still_held(code, answer.held), markup=False, soft_wrap=True)
        raise typer.Exit(code=1)
    console().print(name_deleted(code, by_a_server=answer.by_a_server), markup=False)


def list_people(store: StoreOption = None, as_json: options.AsJson = False) -> None:
    """List the names kept."""
    from bitewright.tasks.log.name_people import damaged_people, list_names, names_document
    from bitewright.words.stores import name_damaged

    people, damaged = list_names(store), damaged_people(store)
    if as_json:
        print_json(names_document(people, damaged))
        return
    table = Table(box=None, pad_edge=False)
    table.add_column("code")
    table.add_column("name", overflow="fold")
    for code, name in people.items():
        table.add_row(code, name)
    out = console()
    out.print(table, markup=False)
    for code in damaged:
        out.print(f"x {name_damaged(code)}", style="red", markup=False)


__all__ = ["add_to"]
