"""Options that the audit commands share, worded once."""

from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

from bitewright.audit.counted_by import Dimension, Event, Period
from bitewright.cli.log_options import StoreOption
from bitewright.errors import BitewrightError

if TYPE_CHECKING:
    from bitewright.tasks.audit.audit_request import AuditRequest, Source


class TwoRecordsError(BitewrightError):
    """A store and a CSV file were both named."""

    def __init__(self) -> None:
        super().__init__("An audit reads one record: give --store or --exposures, not both.")


@dataclass(frozen=True, slots=True, kw_only=True)
class RecordOptions:
    """Which record is read, and which exposures of it are taken."""

    store: StoreOption = None
    exposures: Annotated[
        Path | None,
        typer.Option(
            help="Exposures as CSV instead of the store, one row each; columns in "
            "docs/audit-methods.md."
        ),
    ] = None
    filters: Annotated[
        list[str] | None,
        typer.Option(
            "--filter",
            help="Only some exposures: NAME=LABEL[,LABEL...], NAME being operator, supervisor, "
            "room, receptor, holder, view, level, reason or case; several must all hold.",
        ),
    ] = None
    since: Annotated[str | None, typer.Option(help="First day taken, YYYY-MM-DD.")] = None
    until: Annotated[str | None, typer.Option(help="Last day taken, YYYY-MM-DD.")] = None

    def source(self) -> "Source":
        """Where the exposures come from; the usual store if none is named."""
        from bitewright.tasks.audit.audit_request import csv_source, store_source

        if self.store is not None and self.exposures is not None:
            raise TwoRecordsError
        return store_source(self.store) if self.exposures is None else csv_source(self.exposures)


@dataclass(frozen=True, slots=True, kw_only=True)
class CountOptions:
    """What is counted, and in which stretches of time."""

    period: Annotated[
        Period | None,
        typer.Option(
            help="Stretches of time of the chart and the table; left out, the shortest of month, "
            "quarter, half-year and year in which none has too few exposures."
        ),
    ] = None
    event: Annotated[Event, typer.Option(help="What is counted: rejects or retakes.")] = (
        Event.REJECT
    )


@dataclass(frozen=True, slots=True, kw_only=True)
class JudgeOptions:
    """What the record is judged by."""

    change: Annotated[
        list[str] | None,
        typer.Option(help="A change to judge: YYYY-MM-DD=WHAT; may be given often."),
    ] = None
    scheme: Annotated[
        str,
        typer.Option(
            help="Rating scheme; see `bitewright list schemes`. Or your own, a .toml file."
        ),
    ] = "uk-2020"
    film: Annotated[
        bool, typer.Option("--film", help="Targets for film, not digital receptors.")
    ] = False
    target: Annotated[
        list[str] | None, typer.Option(help="A target of your own: GRADE=SHARE, such as A=0.9.")
    ] = None
    season: Annotated[
        list[str] | None,
        typer.Option(
            help="Months that come back every year, to allow for: FIRST-LAST=NAME, such as "
            "7-8=summer; may be given often."
        ),
    ] = None
    learning: Annotated[
        bool,
        typer.Option(
            "--learning",
            help="Allow for people learning, each from their first exposure in the record on.",
        ),
    ] = False
    began: Annotated[
        list[str] | None,
        typer.Option(
            help="Somebody who began earlier, allowing for learning: OPERATOR=YYYY-MM-DD; may be "
            "given often."
        ),
    ] = None


By = Annotated[
    list[Dimension] | None,
    typer.Option(help="Show rates by this; given twice, by every pair."),
]
DecimalComma = Annotated[
    bool,
    typer.Option("--decimal-comma", help="Write CSV with semicolons and decimal commas."),
]
Seed = Annotated[int, typer.Option(min=0, help="Seed of the random numbers.")]
USUAL_COUNT = CountOptions()
USUAL_JUDGE = JudgeOptions()


def request_of(
    record: RecordOptions,
    *,
    by: list[Dimension] | None = None,
    count: CountOptions = USUAL_COUNT,
    judge: JudgeOptions = USUAL_JUDGE,
    seed: int = 0,
) -> "AuditRequest":
    """A request for an audit as the options put it."""
    from bitewright.tasks.audit.audit_request import AuditRequest

    return AuditRequest(
        source=record.source(),
        filters=tuple(record.filters or ()),
        since=record.since,
        until=record.until,
        by=tuple(by or ()),
        period=count.period,
        event=count.event,
        changes=tuple(judge.change or ()),
        scheme=judge.scheme,
        film=judge.film,
        targets=tuple(judge.target or ()),
        seasons=tuple(judge.season or ()),
        learning=judge.learning,
        began=tuple(judge.began or ()),
        seed=seed,
    )


__all__ = [
    "By",
    "CountOptions",
    "DecimalComma",
    "JudgeOptions",
    "RecordOptions",
    "Seed",
    "request_of",
]
