"""`bitewright log import`, `imports`, `undo-import`: sheets in, each as one thing, and out."""

from enum import StrEnum
from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

from bitewright.cli import options
from bitewright.cli.log_options import StoreOption
from bitewright.cli.screen import console, print_json
from bitewright.errors import BitewrightError

if TYPE_CHECKING:
    from bitewright.sheets.understanding import Understanding
    from bitewright.tasks.log.import_sheet import ImportOptions


class Again(StrEnum):
    """What becomes of films that were brought before."""

    REPLACE = "replace"
    ADD = "add"


class AloneError(BitewrightError):
    """Options do not go together."""

    def __init__(self) -> None:
        super().__init__(
            "A mapping of the format bitewright.csv-mapping/1 says everything itself: leave "
            "--suggest, --answer, --dry-run, --again and --out away with it."
        )


def add_to(app: typer.Typer) -> None:
    """Register the commands."""
    for name, command, example in (
        ("import", import_command, "bitewright log import sheet.xlsx --suggest"),
        ("imports", imports_command, "bitewright log imports"),
        ("undo-import", undo_command, "bitewright log undo-import 5c1e09af"),
    ):
        app.command(name=name, epilog=f"Example:\n\n{example}")(command)


def import_command(
    sheet: Annotated[Path, typer.Argument(help="Sheet of exposures: XLSX, ODS, XLS or CSV.")],
    mapping: Annotated[
        Path | None,
        typer.Option(help="What its columns and words mean (TOML), as kept by --out or written."),
    ] = None,
    suggest: Annotated[
        bool,
        typer.Option("--suggest", help="Propose what it all means and write nothing to the log."),
    ] = False,
    answer: Annotated[
        list[str] | None,
        typer.Option(
            help="KEY=VALUE: the answer to a question, column.HEADING=FIELD, or "
            "FIELD.WORD=MEANING. May be given several times."
        ),
    ] = None,
    dry_run: Annotated[
        bool, typer.Option("--dry-run", help="Check every row and write nothing to the log.")
    ] = False,
    skip_bad_rows: Annotated[
        bool, typer.Option("--skip-bad-rows", help="Take the good rows and leave the bad ones out.")
    ] = False,
    again: Annotated[
        Again | None,
        typer.Option(help="If this sheet was taken in before: replace that import, or add to it."),
    ] = None,
    out: Annotated[
        Path | None,
        typer.Option(
            help="Where to keep the mapping for next month; with --suggest NAME.mapping.toml."
        ),
    ] = None,
    by: Annotated[
        str | None, typer.Option(help="Who writes this; each operator if left out.")
    ] = None,
    store: StoreOption = None,
    as_json: options.AsJson = False,
) -> None:
    """Take exposures from a sheet: all rows, or none if one is bad. Rows taken before are known."""
    from bitewright.tasks.log.import_sheet import ImportOptions
    from bitewright.tasks.log.sheet_mapping import is_sheet_mapping, write_sheet_mapping
    from bitewright.tasks.log.understand_sheet import SheetRequest, understand_sheet
    from bitewright.words.sheets import mapping_written

    if mapping is not None and not is_sheet_mapping(mapping):
        if suggest or answer or dry_run or again or out:
            raise AloneError
        _import_by_columns(sheet, mapping, skip_bad_rows, by, store, as_json=as_json)
        return
    request = SheetRequest(sheet=sheet, mapping=mapping, answers=tuple(answer or ()))
    understood = understand_sheet(request)
    if suggest or dry_run:
        _propose(understood, store, as_json=as_json)
    else:
        options_of = ImportOptions(
            skip_bad_rows=skip_bad_rows, again=again.value if again else None, by=by, store=store
        )
        _take(understood, options_of, as_json=as_json)
    if out is None and suggest:
        out = Path(f"{sheet.stem}.mapping.toml")
    if out is not None:
        write_sheet_mapping(understood, out)
        if not as_json:
            console().print(mapping_written(out), markup=False)


def _propose(sheet: "Understanding", store: str | None, *, as_json: bool) -> None:
    from bitewright.cli.shown.sheets import show_proposal
    from bitewright.tasks.log.import_sheet import proposed

    proposal = proposed(sheet, store)
    if as_json:
        print_json(proposal.document())
    else:
        show_proposal(proposal)


def _take(sheet: "Understanding", given: "ImportOptions", *, as_json: bool) -> None:
    from bitewright.cli.shown.sheets import show_imported, show_preview, show_questions
    from bitewright.tasks.log.import_sheet import SheetFaultsError, import_sheet
    from bitewright.tasks.log.understand_sheet import QuestionsOpenError

    try:
        answer = import_sheet(sheet, given)
    except SheetFaultsError as error:
        show_preview(error.preview)
        raise
    except QuestionsOpenError as error:
        show_questions(error.questions)
        raise
    if as_json:
        print_json(answer.document())
    else:
        show_imported(answer)


def _import_by_columns(
    table: Path,
    mapping: Path,
    skip_bad_rows: bool,
    by: str | None,
    store: str | None,
    *,
    as_json: bool,
) -> None:
    from bitewright.cli.shown.bad_rows import show_bad
    from bitewright.tasks.log.import_exposures import ImportRequest, import_exposures
    from bitewright.tasks.log.table_rows import BadRowsError
    from bitewright.words.log import imported_words
    from bitewright.words.sheets import imported_as

    request = ImportRequest(
        table=table, mapping=mapping, skip_bad_rows=skip_bad_rows, by=by, store=store
    )
    try:
        answer = import_exposures(request)
    except BadRowsError as error:
        if error.bad.count > 1:
            show_bad(error.bad)
        raise
    if as_json:
        print_json(answer.document())
        return
    out = console()
    out.print(
        imported_words(
            added=answer.added,
            already_there=answer.already_there,
            bad=answer.bad.count,
            rows=answer.rows,
        )
    )
    if answer.bad.count:
        show_bad(answer.bad)
    if answer.id is not None:
        out.print(imported_as(answer.id), markup=False)
    out.print(f"Store: {answer.store}", style="dim", markup=False)


def imports_command(store: StoreOption = None, as_json: options.AsJson = False) -> None:
    """List the imports in the log, oldest first."""
    from bitewright.cli.shown.sheets import show_imports
    from bitewright.tasks.log.import_sheet import imports_document, list_imports

    found = list_imports(store)
    if as_json:
        print_json(imports_document(found))
    else:
        show_imports(found)


def undo_command(
    identifier: Annotated[
        str, typer.Argument(metavar="IMPORT", help="Its eight letters and digits, as listed.")
    ],
    store: StoreOption = None,
) -> None:
    """Take an import back: its exposures, what was written about them since, and names it made.

    What came after it stays and is sealed anew: a digest written down since then no longer fits.
    """
    from bitewright.tasks.log.import_sheet import undo_import
    from bitewright.words.sheets import taken_back_words

    answer = undo_import(identifier, store)
    said = taken_back_words(exposures=answer.exposures, later=answer.later, names=answer.names)
    console().print(said, markup=False)


__all__ = ["add_to"]
