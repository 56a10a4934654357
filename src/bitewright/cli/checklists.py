"""`bitewright checklists`: what to look at for each fault, as a practice wants it."""

from enum import StrEnum
from pathlib import Path
from typing import Annotated

import typer

from bitewright.cli.audit_options import RecordOptions, request_of
from bitewright.cli.option_groups import grouped
from bitewright.cli.screen import caution, console

EXAMPLE = "bitewright checklists write ours.toml"
HERE_EXAMPLE = "bitewright checklists here --last 200 --out chair.pdf --paper a6"


class PaperAsked(StrEnum):
    """Paper that a card is printed on."""

    A4 = "a4"
    A5 = "a5"
    A6 = "a6"


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
    group.command(epilog=f"Example:\n\n{HERE_EXAMPLE}")(grouped(here))
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


def here(
    record: RecordOptions,
    *,
    last: Annotated[
        int | None, typer.Option(help="Only so many films, the newest. Left out: all of them.")
    ] = None,
    out: Annotated[
        Path | None, typer.Option(help="File to write the card to (.pdf or .html).")
    ] = None,
    paper: Annotated[PaperAsked, typer.Option(help="Paper that it is printed on.")] = PaperAsked.A5,
) -> None:
    """Show what to look at before an exposure, from this record's own most frequent faults.

    The faults noted on rejected films, the most frequent first, as in `bitewright audit report`.
    """
    from bitewright.cli.shown.chair_checklists import show
    from bitewright.tasks.audit.audit_request import filter_of
    from bitewright.tasks.audit.chair_checklists import (
        ChecklistPaper,
        chair_checklists,
        write_checklist_card,
    )
    from bitewright.words.written import written_to

    request = request_of(record)
    told = chair_checklists(request.source, filter_of(request), last=last)
    if out is None:
        show(told)
        console().print(caution())
        return
    write_checklist_card(told, out, ChecklistPaper(paper))
    console().print(written_to("Card", out), soft_wrap=True)


__all__ = ["add_to", "cards", "checklists", "drop", "here", "keep", "write"]
