"""`bitewright teach own`: exercises with films of one's own."""

from pathlib import Path
from typing import Annotated

import typer
from rich.table import Table

from bitewright.cli import options
from bitewright.cli.screen import console, print_json

KEEP_EXAMPLE = (
    "bitewright teach own keep film-7 film.png --fault overlap --consent-by T1 "
    "--consent-on 2026-01-31 --no-names-seen"
)
DROP_EXAMPLE = "bitewright teach own drop film-7"
Name = Annotated[str, typer.Argument(help="Name of the exercise: small letters, digits, hyphens.")]


def add_to(group: typer.Typer) -> None:
    """Register the group below `teach`."""
    own = typer.Typer(
        name="own",
        help="Exercises with films of your own, consent noted; in a set only when chosen.",
        no_args_is_help=True,
    )
    own.command(name="keep", epilog=f"Example:\n\n{KEEP_EXAMPLE}")(keep_command)
    own.command(name="list", epilog="Example:\n\nbitewright teach own list")(list_command)
    own.command(name="drop", epilog=f"Example:\n\n{DROP_EXAMPLE}")(drop_command)
    group.add_typer(own)


def keep_command(
    name: Name,
    image: Annotated[Path, typer.Argument(help="Film: PNG, TIFF, JPEG or DICOM.")],
    *,
    fault: Annotated[
        list[str],
        typer.Option(help="What is wrong with it by your reading, as logged; again for more."),
    ],
    consent_by: Annotated[str, typer.Option(help="Code of who noted the consent to show it.")],
    consent_on: Annotated[str, typer.Option(help="Day on which that was noted, YYYY-MM-DD.")],
    no_names_seen: Annotated[
        bool,
        typer.Option(
            "--no-names-seen", help="You looked for names and numbers drawn into it and saw none."
        ),
    ] = False,
    says: Annotated[
        str, typer.Option(help="What you say of it, told after the answer; a sentence or two.")
    ] = "",
) -> None:
    """Keep a real film as an exercise: what is wrong with it? Your reading is what is right."""
    from datetime import date

    from bitewright.tasks.assess.decoded_film import read_film
    from bitewright.tasks.teach.noted_consent import NotedConsent
    from bitewright.tasks.teach.own_exercises import keep_own_film
    from bitewright.words.own_exercises import kept_exercise_words

    noted = NotedConsent(
        fault=fault[0], consent_by=consent_by, consent_on=consent_on, no_names_seen=no_names_seen
    )
    today = date.today()  # noqa: DTZ011 - the reader's day
    kept = keep_own_film(name, read_film(image), noted, also=fault[1:], says=says, today=today)
    console().print(kept_exercise_words(kept.name), soft_wrap=True)


def list_command(*, as_json: options.AsJson = False) -> None:
    """List what is kept: name, what you read in it, who noted consent and when."""
    from bitewright.tasks.teach.own_exercises import own_exercises
    from bitewright.words.own_exercises import NONE_KEPT

    kept = own_exercises().values()
    if as_json:
        told = [
            {
                "name": each.name,
                "faults": list(each.faults),
                "read_by": each.read_by,
                "consent_on": each.consent_on,
                "says": each.says,
            }
            for each in kept
        ]
        print_json({"own_exercises": told})
        return
    if not kept:
        console().print(NONE_KEPT)
        return
    table = Table(box=None, pad_edge=False)
    for heading in ("name", "read as", "by", "consent noted"):
        table.add_column(heading, overflow="fold")
    for each in kept:
        table.add_row(each.name, ", ".join(each.faults), each.read_by, each.consent_on)
    console().print(table)


def drop_command(name: Name) -> None:
    """Drop an exercise with its film, such as where consent was taken back."""
    from bitewright.tasks.teach.own_exercises import drop_own_exercise
    from bitewright.words.own_exercises import dropped_words

    drop_own_exercise(name)
    console().print(dropped_words(name), soft_wrap=True)


__all__ = ["add_to"]
