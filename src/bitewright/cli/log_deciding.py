"""`bitewright log decide-many`: one decision on all exposures that are still open."""

from typing import Annotated

import typer

from bitewright.audit.counted_by import Dimension
from bitewright.cli import options
from bitewright.cli.log_options import By, StoreOption
from bitewright.cli.screen import console, print_json


def add_to(app: typer.Typer) -> None:
    """Register the command."""
    example = "bitewright log decide-many accepted --rating uk-2020:A --by T1 --dry-run"
    app.command(name="decide-many", epilog=f"Example:\n\n{example}")(decide_many_command)


def decide_many_command(
    decision: Annotated[
        str, typer.Argument(help="accepted, accepted-with-a-remark, rejected or retaken.")
    ],
    by: By,
    rating: Annotated[
        str | None, typer.Option(help="Only those of this grade, such as uk-2020:A.")
    ] = None,
    of_import: Annotated[
        str | None, typer.Option("--import", help="Only those of this import; see `log imports`.")
    ] = None,
    operator: Annotated[list[str] | None, typer.Option(help="Only this operator.")] = None,
    view: Annotated[list[str] | None, typer.Option(help="Only this view.")] = None,
    first: Annotated[
        str | None, typer.Option("--from", help="First day, such as 2026-01-31.")
    ] = None,
    until: Annotated[str | None, typer.Option("--to", help="Last day, included.")] = None,
    why: Annotated[str | None, typer.Option(help="Reason, in a line.")] = None,
    dry_run: Annotated[
        bool, typer.Option("--dry-run", help="Count them and write nothing.")
    ] = False,
    store: StoreOption = None,
    as_json: options.AsJson = False,
) -> None:
    """Write down one decision on every undecided exposure of some: what a person said of them."""
    from bitewright.tasks.log.decide_many import DecideRequest, decide_many
    from bitewright.tasks.log.read_log import ListRequest
    from bitewright.words.sheets import decided_words

    asked = {Dimension.OPERATOR: operator, Dimension.VIEW: view}
    answer = decide_many(
        DecideRequest(
            chosen=ListRequest(
                only={dimension: tuple(labels) for dimension, labels in asked.items() if labels},
                first_day=first,
                last_day=until,
                store=store,
            ),
            decision=decision,
            by=by,
            why=why,
            rating=rating,
            of_import=of_import,
            dry_run=dry_run,
        )
    )
    if as_json:
        print_json(answer.document())
    else:
        said = decided_words(answer.count, answer.decision, written=answer.written)
        console().print(said, markup=False)


__all__ = ["add_to"]
