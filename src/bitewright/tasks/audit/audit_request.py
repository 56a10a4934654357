"""What to audit, in the words of the command line, and which exposures that takes."""

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from pathlib import Path

from bitewright.audit.counted_by import Dimension, Event, Period
from bitewright.audit.groupings import Grouping, by_dimension, by_period, crossed
from bitewright.audit.logged_exposures import Filter, LoggedExposures, NothingLoggedError
from bitewright.audit.period_by_size import period_by_size
from bitewright.errors import BitewrightError, quoted
from bitewright.log.days import day_number
from bitewright.log.fields import FieldValueError, from_text
from bitewright.tasks.log.logged_exposures import StoreRecord

Source = Callable[[], LoggedExposures]


class AuditWordError(BitewrightError):
    """A filter, a change, a date or a target is not written as it must be."""

    def __init__(self, option: str, given: str, form: str) -> None:
        self.option = option
        self.given = given
        super().__init__(f"{option} {quoted(given)} is not understood: write it as {form}.")


class NothingDecidedError(BitewrightError):
    """None of the exposures to audit was decided on."""

    def __init__(self, undecided: int) -> None:
        self.undecided = undecided
        super().__init__(
            f"Nobody has decided yet on any of the {undecided} exposures that this takes, so "
            "there is nothing to audit: decide with `bitewright log decide-many`."
        )


@dataclass(frozen=True, slots=True, kw_only=True)
class AuditRequest:
    """What to audit, in the words of the command line.

    Parameters
    ----------
    source : callable
        Gives the exposures: a store's or a CSV file's.
    filters : sequence of str
        Such as "view=right-molar,left-molar"; all must hold.
    since, until : str or None
        First and last day, YYYY-MM-DD.
    by : tuple of Dimension
        What the rates are told apart by; of two, every pair.
    changes : sequence of str
        Such as "2025-04-01=new receptors".
    targets : sequence of str
        Targets of one's own, such as "A=0.9".
    period : Period, optional
        Stretches of time; by the record's size if left out.
    seasons : sequence of str
        Months that come back every year, such as "7-8=summer", to allow for.
    learning : bool
        Whether to allow for people learning, each from their first exposure in the record on.
    began : sequence of str
        Who began earlier, such as "student-01=2024-09-15".
    seed : int
        Of the simulated reference for drift and changes.
    """

    source: Source
    filters: Sequence[str] = ()
    since: str | None = None
    until: str | None = None
    by: tuple[Dimension, ...] = ()
    period: Period | None = None
    event: Event = Event.REJECT
    changes: Sequence[str] = ()
    scheme: str = "uk-2020"
    film: bool = False
    targets: Sequence[str] = ()
    seasons: Sequence[str] = ()
    learning: bool = False
    began: Sequence[str] = ()
    seed: int = 0


def filter_of(request: AuditRequest) -> Filter:
    """Which exposures are taken; raises `AuditWordError`."""
    only: dict[Dimension, tuple[str, ...]] = {}
    for text in request.filters:
        name, _, labels = text.partition("=")
        known = [each for each in Dimension if each.value == name.strip()]
        chosen = tuple(label.strip() for label in labels.split(",") if label.strip())
        if not known or not chosen:
            form = f"NAME=LABEL[,LABEL...], NAME one of {', '.join(each for each in Dimension)}"
            raise AuditWordError("The filter", text, form)
        if known[0] in only:
            form = f"one filter for {known[0].value}, its labels joined by commas"
            raise AuditWordError("The filter", text, form)
        only[known[0]] = chosen
    first = None if request.since is None else day_of(request.since, "The first day")
    last = None if request.until is None else day_of(request.until, "The last day")
    if first is not None and last is not None and first > last:
        form = f"a day on or after {request.since}"
        raise AuditWordError("The last day", str(request.until), form)
    return Filter(only=only, first_day=first, last_day=last)


def day_of(text: str, option: str) -> int:
    """Days since 1970-01-01 of a date YYYY-MM-DD."""
    try:
        return day_number(str(from_text("day", text.strip())))
    except FieldValueError as error:
        raise AuditWordError(option, text, "YYYY-MM-DD") from error


def store_source(store: str | None) -> Source:
    """Exposures of a store that were decided on; the usual store if None."""
    return StoreRecord(store)


def undecided_in(request: AuditRequest, wanted: Filter) -> int:
    """How many exposures asked for nobody has decided on; a CSV table has none of those."""
    return request.source.undecided(wanted) if isinstance(request.source, StoreRecord) else 0


def check_any(count: int, undecided: int) -> None:
    """Refuse an audit of nothing.

    Raises
    ------
    NothingDecidedError, NothingLoggedError
    """
    if not count:
        raise NothingDecidedError(undecided) if undecided else NothingLoggedError


def csv_source(path: Path) -> Source:
    """Exposures of a CSV file."""
    from bitewright.tasks.log.table_rows import (  # noqa: PLC0415  not for a store's exposures
        read_exposures,
    )

    return lambda: read_exposures(path)


def grouping_of(log: LoggedExposures, request: AuditRequest) -> Grouping:
    """What the rates are told apart by."""
    if not request.by:
        return by_period(log, request.period or period_by_size(log))
    grouping = by_dimension(log, request.by[0])
    for dimension in request.by[1:]:
        grouping = crossed(grouping, by_dimension(log, dimension))
    return grouping


__all__ = [
    "AuditRequest",
    "AuditWordError",
    "Source",
    "check_any",
    "csv_source",
    "day_of",
    "filter_of",
    "grouping_of",
    "store_source",
    "undecided_in",
]
