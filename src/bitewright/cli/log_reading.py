"""`bitewright log list` and `show`: exposures as they stand, and how they came to stand so."""

from enum import StrEnum
from typing import Annotated

import typer

from bitewright.audit.counted_by import Dimension
from bitewright.cli import options
from bitewright.cli.log_options import Exposure, StoreOption
from bitewright.cli.screen import print_json


class Decision(StrEnum):
    """What was decided, for a list."""

    ACCEPTED = "accepted"
    ACCEPTED_WITH_A_REMARK = "accepted-with-a-remark"
    REJECTED = "rejected"
    RETAKEN = "retaken"
    UNDECIDED = "undecided"


def add_to(app: typer.Typer) -> None:
    """Register the commands."""
    app.command(name="list", epilog="Example:\n\nbitewright log list --operator S12 --last 5")(
        list_exposures
    )
    app.command(name="show", epilog="Example:\n\nbitewright log show 12")(show)


def list_exposures(
    operator: Annotated[list[str] | None, typer.Option(help="Only this operator.")] = None,
    supervisor: Annotated[list[str] | None, typer.Option(help="Only this supervisor.")] = None,
    case: Annotated[list[str] | None, typer.Option(help="Only this case.")] = None,
    room: Annotated[list[str] | None, typer.Option(help="Only this room.")] = None,
    receptor: Annotated[list[str] | None, typer.Option(help="Only this receptor.")] = None,
    view: Annotated[list[str] | None, typer.Option(help="Only this view.")] = None,
    level: Annotated[list[str] | None, typer.Option(help="Only this level of training.")] = None,
    first: Annotated[
        str | None, typer.Option("--from", help="First day, such as 2026-01-31.")
    ] = None,
    until: Annotated[str | None, typer.Option("--to", help="Last day, included.")] = None,
    decision: Annotated[Decision | None, typer.Option(help="Only those decided so.")] = None,
    retakes: Annotated[bool, typer.Option("--retakes", help="Only retakes.")] = False,
    last: Annotated[int, typer.Option(min=1, max=10_000, help="At most this many.")] = 20,
    store: StoreOption = None,
    as_json: options.AsJson = False,
) -> None:
    """List the exposures written last, as they stand after corrections.

    Only what is not an ordinary exposure has a kind.
    """
    from bitewright.cli.shown.log_reading import show_list
    from bitewright.tasks.log.read_log import ListRequest, list_log

    asked = {
        Dimension.OPERATOR: operator,
        Dimension.SUPERVISOR: supervisor,
        Dimension.CASE: case,
        Dimension.ROOM: room,
        Dimension.RECEPTOR: receptor,
        Dimension.VIEW: view,
        Dimension.LEVEL: level,
    }
    answer = list_log(
        ListRequest(
            only={dimension: tuple(labels) for dimension, labels in asked.items() if labels},
            first_day=first,
            last_day=until,
            decision=decision.value if decision else None,
            retakes_only=retakes,
            last=last,
            store=store,
        )
    )
    if as_json:
        print_json(answer.document())
    else:
        show_list(answer)


def show(exposure: Exposure, store: StoreOption = None, as_json: options.AsJson = False) -> None:
    """Show one exposure as it stands, and every entry about it with who wrote it, when and why."""
    from bitewright.cli.shown.log_reading import show_history
    from bitewright.tasks.log.read_log import show_exposure

    answer = show_exposure(exposure, store)
    if as_json:
        print_json(answer.document())
    else:
        show_history(answer)


__all__ = ["add_to"]
