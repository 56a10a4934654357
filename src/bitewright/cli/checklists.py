"""`bitewright checklists`: what to look at for each fault, as a practice wants it."""

from pathlib import Path
from typing import Annotated

import typer

from bitewright.cli.screen import console

EXAMPLE = "bitewright checklists write ours.toml"


def add_to(app: typer.Typer) -> None:
    """Register the commands."""
    group = typer.Typer(no_args_is_help=True, epilog=f"Example:\n\n{EXAMPLE}")
    group.callback()(checklists)
    for command, example in (
        (write, EXAMPLE),
        (keep, "bitewright checklists keep ours.toml"),
        (drop, "bitewright checklists drop"),
        (cards, "bitewright checklists cards cards.pdf --fault cone-cut --fault overlap"),
    ):
        group.command(epilog=f"Example:\n\n{example}")(command)
    app.add_typer(group, name="checklists", epilog=f"Example:\n\n{EXAMPLE}")


def checklists() -> None:
    """Change what to look at for each fault, or print it as cards.

    `bitewright list checklists` shows what holds: in the audit's report, on cards and in exercises.
    """


def write(out: Annotated[Path, typer.Argument(help="File to write (.toml).")]) -> None:
    """Write every checklist that holds as a file to change."""
    from bitewright.tasks.catalogue.own_checklists import write_checklists
    from bitewright.words.written import written_to

    write_checklists(out)
    console().print(written_to("Checklists", out), soft_wrap=True)


def keep(
    file: Annotated[Path, typer.Argument(help="Checklists as `write` writes them, changed.")],
) -> None:
    """Use a practice's own checklists from now on, in place of those kept before."""
    from bitewright.tasks.catalogue.own_checklists import keep_checklists
    from bitewright.words.checklists import checklists_kept

    console().print(checklists_kept(len(keep_checklists(file))))


def drop() -> None:
    """Go back to the checklists that come along."""
    from bitewright.tasks.catalogue.own_checklists import drop_checklists
    from bitewright.words.checklists import checklists_dropped

    console().print(checklists_dropped(had_any=drop_checklists()))


def cards(
    out: Annotated[Path, typer.Argument(help="File to write (.pdf).")],
    fault: Annotated[
        list[str] | None,
        typer.Option(help="A fault by name; may be given often. Left out: all of them."),
    ] = None,
) -> None:
    """Write checklists as cards with boxes to tick, to print and lay at the chair."""
    from bitewright.tasks.catalogue.own_checklists import write_checklist_cards
    from bitewright.words.chair_card import written_words

    count = write_checklist_cards(out, fault or [])
    console().print(written_words(str(out), count), soft_wrap=True)


__all__ = ["add_to", "cards", "checklists", "drop", "keep", "write"]
