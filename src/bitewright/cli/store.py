"""`bitewright store`: check, back up, restore, export and import."""

from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

from bitewright.cli import options
from bitewright.cli.log_options import StoreOption
from bitewright.cli.screen import console, print_json

if TYPE_CHECKING:
    from bitewright.tasks.log.keep_store import Moved

store_app = typer.Typer(
    name="store",
    help="Look after the log's store: check, back up, restore, rescue, export, import.",
    no_args_is_help=True,
)
EntryFile = Annotated[
    Path, typer.Argument(help="File; its ending says the form: .jsonl, .csv, .parquet.")
]


def add_to(app: typer.Typer) -> None:
    """Register the commands."""
    for name, command, example in (
        ("check", check, "bitewright store check"),
        ("backup", backup, "bitewright store backup log-2026-01.zip"),
        ("restore", restore, "bitewright store restore log-2026-01.zip --store new.sqlite"),
        ("rescue", rescue, "bitewright store rescue sound.sqlite --store damaged.sqlite"),
        ("export", export, "bitewright store export entries.csv --decimal-comma"),
        ("import", import_entries, "bitewright store import entries.jsonl --store other.sqlite"),
    ):
        store_app.command(name=name, epilog=f"Example:\n\n{example}")(command)
    app.add_typer(store_app)


def check(
    rebuild: Annotated[
        bool, typer.Option("--rebuild", help="Make the columns for audits afresh, too.")
    ] = False,
    store: StoreOption = None,
    as_json: options.AsJson = False,
) -> None:
    """Read every entry and film and compare them with their seals; status 1 if anything is wrong.

    Names every damaged entry, and how much can be saved. Write the last digest down elsewhere: as
    long as the store gives it for that number of entries, nothing before was changed.
    """
    from bitewright.tasks.log.keep_store import look_over_store
    from bitewright.words.stores import ALL_WELL, COLUMNS_REMADE, held_words, savable

    found, document = look_over_store(store, rebuild=rebuild)
    if as_json:
        print_json(document)
    else:
        out = console()
        out.print(f"Store {document['store']}", markup=False)
        out.print(held_words(entries=found.entries, exposures=found.exposures, files=found.films))
        out.print(f"Digest {found.digest}", soft_wrap=True)
        for problem in found.problems:
            out.print(f"x {problem}", style="red", markup=False)
        if found.problems and found.sound < found.entries:
            said = savable(found.sound, found.entries, unproven=found.unproven)
            out.print(said, markup=False)
        if document["remade"]:
            out.print(COLUMNS_REMADE)
        if not found.problems:
            out.print(ALL_WELL)
    if found.problems:
        raise typer.Exit(code=1)


def backup(
    file: Annotated[Path, typer.Argument(help="File to write (.zip).")],
    without_names: Annotated[
        bool, typer.Option("--without-names", help="Leave people's names out.")
    ] = False,
    store: StoreOption = None,
    as_json: options.AsJson = False,
) -> None:
    """Write entries, films and names into one file. The same file restores into either database."""
    from bitewright.tasks.log.back_up_store import back_up_store

    _show(back_up_store(file, store, without_names=without_names), "backed up to", as_json)


def restore(
    file: Annotated[Path, typer.Argument(help="Backup to read.")],
    store: StoreOption = None,
    as_json: options.AsJson = False,
) -> None:
    """Restore a backup into an empty store, with every seal checked."""
    from bitewright.tasks.log.back_up_store import restore_store

    _show(restore_store(file, store), "restored from", as_json)


def rescue(
    into: Annotated[str, typer.Argument(help="New store: a file, or an empty database.")],
    unproven: Annotated[
        bool,
        typer.Option("--unproven", help="Also what can be read, though nothing proves it."),
    ] = False,
    store: StoreOption = None,
    as_json: options.AsJson = False,
) -> None:
    """Take what is sound in a damaged store into a new one; the damaged one stays as it is."""
    from bitewright.tasks.log.rescue_store import rescue_store
    from bitewright.words.stores import rescued

    moved, saved = rescue_store(into, store, unproven=unproven)
    if as_json:
        print_json(moved.document())
        return
    out = console()
    out.print(rescued(saved.entries, saved.left_out, films=saved.films), markup=False)
    out.print(f"Digest {moved.digest}", soft_wrap=True)
    out.print(f"Store: {moved.store}", style="dim", markup=False)


def export(
    file: EntryFile,
    decimal_comma: Annotated[
        bool,
        typer.Option(
            "--decimal-comma", help="CSV with semicolons and a comma in numbers, for spreadsheets."
        ),
    ] = False,
    store: StoreOption = None,
    as_json: options.AsJson = False,
) -> None:
    """Write all entries to a file. Names of people stay in the store."""
    from bitewright.tasks.log.keep_store import export_store

    _show(export_store(file, store, decimal_comma=decimal_comma), "exported to", as_json)


def import_entries(
    file: EntryFile, store: StoreOption = None, as_json: options.AsJson = False
) -> None:
    """Take in the entries of an export, all or none. Those already there are not doubled."""
    from bitewright.tasks.log.keep_store import import_store

    _show(import_store(file, store), "imported from", as_json)


def _show(moved: "Moved", did: str, as_json: bool) -> None:
    if as_json:
        print_json(moved.document())
        return
    from bitewright.words.stores import moved_words

    out = console()
    new = moved.added if "from" in did else None
    said = moved_words(did, moved.file, entries=moved.entries, new=new, files=moved.films)
    out.print(said, markup=False)
    out.print(f"Digest {moved.digest}", soft_wrap=True)
    out.print(f"Store: {moved.store}", style="dim", markup=False)


__all__ = ["add_to"]
