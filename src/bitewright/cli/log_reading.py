"""`bitewright log list` and `show`: exposures as they stand, and how they came to stand so."""

from enum import StrEnum
from typing import Annotated

import typer
from rich.table import Table

from bitewright.audit.counted_by import Dimension
from bitewright.cli import options
from bitewright.cli.log_options import Exposure, StoreOption, field_words, shown_fields
from bitewright.cli.tables import console, print_json
from bitewright.log.fields import KINDS
from bitewright.tasks.log.read_log import (
    ExposureHistory,
    ListRequest,
    LogList,
    list_log,
    show_exposure,
)
from bitewright.words.log import entry_words, listed_words
from bitewright.words.log_titles import field_title

COLUMNS = ("day", "case", "operator", "view", "kind", "faults", "decision")
WHOLE = frozenset({"day", "kind", "decision"})


class Decision(StrEnum):
    """What was decided, for a list."""

    ACCEPTED = "accepted"
    REJECTED = "rejected"
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
        _show_list(answer)


def show(exposure: Exposure, store: StoreOption = None, as_json: options.AsJson = False) -> None:
    """Show one exposure as it stands, and every entry about it with who wrote it, when and why."""
    answer = show_exposure(exposure, store)
    if as_json:
        print_json(answer.document())
    else:
        _show_history(answer)


def _show_list(answer: LogList) -> None:
    table = Table(box=None, pad_edge=False)
    table.add_column("number", justify="right")
    for heading in COLUMNS:
        table.add_column(heading, overflow="fold", no_wrap=heading in WHOLE)
    for each in answer.exposures:
        state = {name: value for name, value in each.state.items() if value != KINDS[0]}
        cells = [field_words(name, state[name], {}) if name in state else "" for name in COLUMNS]
        table.add_row(str(each.number), *cells)
    out = console()
    out.print(table, markup=False)
    said = listed_words(
        listed=len(answer.exposures),
        found=answer.found,
        rejected=answer.rejected,
        undecided=answer.undecided,
    )
    out.print(f"\n{said}")


def _show_history(answer: ExposureHistory) -> None:
    out = console()
    first = answer.entries[0]
    heading = f"[bold]Exposure {first.number}[/bold], key {first.entry.key}"
    out.print(heading)
    out.print(shown_fields(answer.state, answer.people))
    out.print("\n[bold]History[/bold]")
    for each in answer.entries:
        entry = each.entry
        by = field_words("operator", entry.written_by, answer.people) if entry.written_by else "?"
        said = entry_words(each.number, entry.written_at, entry.act, by=by, why=entry.why)
        out.print(said, markup=False)
        if entry.about is not None:
            for name, value in entry.body.items():
                words = field_words(name, value, answer.people)
                out.print(f"    {field_title(name)} -> {words}", markup=False)


__all__ = ["add_to"]
