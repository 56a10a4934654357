"""Options that the audit commands share, worded once."""

from pathlib import Path
from typing import Annotated

import typer

from bitewright.audit.groupings import Period
from bitewright.audit.logged_exposures import Dimension
from bitewright.audit.rates import Event
from bitewright.errors import BitewrightError
from bitewright.tasks.audit.audit_log import AuditRequest, Source, csv_source, store_source


class TwoRecordsError(BitewrightError):
    """A store and a CSV file were both named."""

    def __init__(self) -> None:
        super().__init__("An audit reads one record: give --store or --exposures, not both.")


Exposures = Annotated[
    Path | None,
    typer.Option(
        help="Exposures as CSV instead of the store, one row each; columns in "
        "docs/audit-methods.md."
    ),
]
Filters = Annotated[
    list[str] | None,
    typer.Option(
        "--filter",
        help="Only some exposures: NAME=LABEL[,LABEL...], NAME being operator, supervisor, room, "
        "receptor, holder, view, level, reason or case; several must all hold.",
    ),
]
Since = Annotated[str | None, typer.Option(help="First day taken, YYYY-MM-DD.")]
Until = Annotated[str | None, typer.Option(help="Last day taken, YYYY-MM-DD.")]
By = Annotated[
    list[Dimension] | None,
    typer.Option(help="What the table tells rates apart by; twice for every pair."),
]
InPeriods = Annotated[
    Period, typer.Option("--period", help="Stretches of time of the chart and the table.")
]
Counted = Annotated[Event, typer.Option("--event", help="What is counted: rejects or retakes.")]
Changes = Annotated[
    list[str] | None,
    typer.Option("--change", help="A change to judge: YYYY-MM-DD=WHAT; may be given often."),
]
AuditScheme = Annotated[
    str,
    typer.Option(
        "--scheme", help="Rating scheme; see `bitewright list schemes`. Or your own, a .toml file."
    ),
]
Film = Annotated[bool, typer.Option("--film", help="Targets for film, not digital receptors.")]
OwnTargets = Annotated[
    list[str] | None,
    typer.Option("--target", help="A target of your own: GRADE=SHARE, such as A=0.9."),
]
DecimalComma = Annotated[
    bool,
    typer.Option("--decimal-comma", help="Write CSV with semicolons and decimal commas."),
]
Seed = Annotated[int, typer.Option(min=0, help="Seed of the random numbers.")]


def source_of(store: str | None, exposures: Path | None) -> Source:
    """Where the exposures come from, as the options name it; the usual store if neither does."""
    if store is not None and exposures is not None:
        raise TwoRecordsError
    return store_source(store) if exposures is None else csv_source(exposures)


def request_of(
    store: str | None,
    exposures: Path | None,
    filters: list[str] | None,
    since: str | None,
    until: str | None,
    **rest: object,
) -> AuditRequest:
    """A request for an audit as the options put it."""
    return AuditRequest(
        source=source_of(store, exposures),
        filters=tuple(filters or ()),
        since=since,
        until=until,
        **rest,  # type: ignore[arg-type]  # names and types of AuditRequest's own fields
    )


__all__ = [
    "AuditScheme",
    "By",
    "Changes",
    "Counted",
    "DecimalComma",
    "Exposures",
    "Film",
    "Filters",
    "InPeriods",
    "OwnTargets",
    "Seed",
    "Since",
    "Until",
    "request_of",
    "source_of",
]
