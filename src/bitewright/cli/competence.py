"""`bitewright competence`: attempts at exercises, and what they tell of a student or a class."""

from pathlib import Path
from typing import Annotated

import typer

from bitewright.cli import options
from bitewright.cli.log_options import StoreOption
from bitewright.cli.screen import console, print_json
from bitewright.competence.school_bar import BAR, bar_of_text

Student = Annotated[str, typer.Argument(help="Code of the student, such as S12.")]
Bar = Annotated[
    str,
    typer.Option(
        help="Mean score that the school asks for: 0.05 to 0.95, or the same as a percentage, such "
        "as 80%."
    ),
]

competence_app = typer.Typer(
    name="competence",
    help="Keep attempts at exercises, and tell what a student or a class can do, and how surely.",
    no_args_is_help=True,
)


def add_to(app: typer.Typer) -> None:
    """Register the commands."""
    for name, command, example in (
        ("add", add_file, "bitewright competence add attempts.jsonl"),
        ("of", of, "bitewright competence of S12"),
        ("class", of_class, "bitewright competence class --bar 0.85"),
        ("due", due, "bitewright competence due S12"),
        ("delete", delete, "bitewright competence delete S12 --by S12"),
    ):
        competence_app.command(name=name, epilog=f"Example:\n\n{example}")(command)
    app.add_typer(competence_app)


def add_file(
    file: Annotated[
        Path,
        typer.Argument(
            help="Attempts, one a line: .jsonl or .csv with student, item, skill, topic, score, "
            "answered_at and, if known, sure, seconds."
        ),
    ],
    store: StoreOption = None,
    as_json: options.AsJson = False,
) -> None:
    """Keep the attempts of a file, all or none. Those kept already are not doubled."""
    from bitewright.tasks.competence.keep_record import add_attempts
    from bitewright.words.competence import attempts_kept_words

    kept = add_attempts(file, store)
    if as_json:
        print_json(kept.document())
        return
    out = console()
    out.print(attempts_kept_words(kept.added, kept.already_there, kept.students))
    out.print(f"Store: {kept.store}", style="dim", markup=False)


def of(
    student: Student,
    bar: Bar = f"{BAR:g}",
    store: StoreOption = None,
    as_json: options.AsJson = False,
) -> None:
    """Tell what a student can do, by skill: can do it, not yet, or cannot be told yet."""
    from bitewright.cli.shown.competence import show_student
    from bitewright.tasks.competence.tell_student import tell_student

    sheet = tell_student(student, store, bar=bar_of_text(bar))
    if as_json:
        print_json(sheet.document())
    else:
        show_student(sheet, console())


def of_class(
    bar: Bar = f"{BAR:g}", store: StoreOption = None, as_json: options.AsJson = False
) -> None:
    """Tell how a class stands, what it is sure of and wrong about, and which exercises are poor."""
    from bitewright.cli.shown.competence import show_class
    from bitewright.tasks.competence.tell_class import tell_class

    sheet = tell_class(store, bar=bar_of_text(bar))
    if as_json:
        print_json(sheet.document())
    else:
        show_class(sheet, console())


def due(
    student: Student,
    on: Annotated[str | None, typer.Option(help="Day, such as 2026-02-01; else today.")] = None,
    store: StoreOption = None,
    as_json: options.AsJson = False,
) -> None:
    """List topics the student missed, with the day on which each comes again."""
    from bitewright.cli.shown.competence import show_practice
    from bitewright.tasks.competence.practice_due import practice_due

    practice = practice_due(student, store, on=on)
    if as_json:
        print_json(practice.document())
    else:
        show_practice(practice, console())


def delete(
    student: Student,
    by: Annotated[str, typer.Option(help="Who deletes it, by code; noted with the day.")],
    store: StoreOption = None,
    as_json: options.AsJson = False,
) -> None:
    """Delete everything a student ever answered; that it was done is noted, with who did it.

    Status 1 if a file may still hold it because the store is in use; the answer names it.
    """
    from bitewright.tasks.competence.keep_record import delete_record
    from bitewright.words.competence import record_deleted_words, record_held_words

    gone = delete_record(student, by, store)
    if as_json:
        print_json(gone.document())
    elif gone.held:
        said = record_held_words(gone.student, gone.held)
        console().print(said, markup=False, soft_wrap=True)
    else:
        said = record_deleted_words(gone.student, gone.attempts, by_a_server=gone.by_a_server)
        console().print(said, markup=False)
    if gone.held:
        raise typer.Exit(code=1)


__all__ = ["add_to"]
