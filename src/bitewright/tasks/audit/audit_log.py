"""Audit a record: choose exposures, work out every view, say what was found."""

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import Any

import numpy as np

from bitewright.audit.counted_by import Dimension, Event, Period
from bitewright.audit.groupings import Grouping, by_dimension, by_period, crossed
from bitewright.audit.logged_exposures import Filter, LoggedExposures
from bitewright.audit.rates import RateTable, rates_by
from bitewright.audit.whole_audit import (
    Audit,
    AuditSettings,
    NothingLoggedError,
    whole_audit,
)
from bitewright.errors import BitewrightError
from bitewright.log.days import day_number
from bitewright.log.fields import FieldValueError, from_text
from bitewright.tasks.audit.audit_documents import audit_document
from bitewright.tasks.audit.audit_schemes import audit_scheme
from bitewright.tasks.log.read_log import logged_exposures
from bitewright.tasks.log.table_rows import read_exposures
from bitewright.words.answer import Answer
from bitewright.words.audit_answers import audit_answers

Source = Callable[[], LoggedExposures]


class AuditWordError(BitewrightError):
    """A filter, a change, a date or a target is not written as it must be."""

    def __init__(self, option: str, given: str, form: str) -> None:
        self.option = option
        self.given = given
        super().__init__(f"{option} '{given[:60]}' is not understood: write it as {form}.")


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
    seed : int
        Of the simulated reference for drift and changes.
    """

    source: Source
    filters: Sequence[str] = ()
    since: str | None = None
    until: str | None = None
    by: tuple[Dimension, ...] = ()
    period: Period = Period.MONTH
    event: Event = Event.REJECT
    changes: Sequence[str] = ()
    scheme: str = "uk-2020"
    film: bool = False
    targets: Sequence[str] = ()
    seed: int = 0


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class AuditAnswer:
    """An audit with its answers and the table asked for."""

    request: AuditRequest
    told: Audit
    answers: tuple[Answer, ...]
    table: RateTable

    def document(self) -> dict[str, Any]:
        """As data for machines."""
        return audit_document(self.told, self.answers, self.table, seed=self.request.seed)


def audit_log(request: AuditRequest) -> AuditAnswer:
    """Every view of the exposures asked for.

    Raises
    ------
    AuditWordError, UnknownLabelError, UnknownSchemeError, NoSuchGradeError, NothingLoggedError
    """
    settings, wanted = settings_of(request), filter_of(request)
    log = request.source().taken(wanted)
    if not len(log):
        raise NothingLoggedError
    told = whole_audit(log, settings, np.random.default_rng(request.seed))
    return AuditAnswer(
        request=request,
        told=told,
        answers=audit_answers(told),
        table=rates_by(log, grouping_of(log, request), request.event),
    )


def rate_table(request: AuditRequest) -> RateTable:
    """Only the table of rates asked for; errors as `audit_log`."""
    log = request.source().taken(filter_of(request))
    if not len(log):
        raise NothingLoggedError
    return rates_by(log, grouping_of(log, request), request.event)


def grouping_of(log: LoggedExposures, request: AuditRequest) -> Grouping:
    """What the rates are told apart by."""
    if not request.by:
        return by_period(log, request.period)
    grouping = by_dimension(log, request.by[0])
    for dimension in request.by[1:]:
        grouping = crossed(grouping, by_dimension(log, dimension))
    return grouping


def settings_of(request: AuditRequest) -> AuditSettings:
    """What the audit is asked; raises `AuditWordError` and `UnknownSchemeError`."""
    return AuditSettings(
        event=request.event,
        period=request.period,
        changes=tuple(_change(text) for text in request.changes),
        scheme=audit_scheme(request.scheme),
        film=request.film,
        own_targets=dict(_target(text) for text in request.targets),
    )


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
    return lambda: logged_exposures(store)


def csv_source(path: Path) -> Source:
    """Exposures of a CSV file."""
    return lambda: read_exposures(path)


def _change(text: str) -> tuple[str, int]:
    day, _, name = text.partition("=")
    if not name.strip():
        raise AuditWordError("The change", text, "YYYY-MM-DD=WHAT, such as 2025-04-01=sensors")
    return name.strip(), day_of(day, "The change's day")


def _target(text: str) -> tuple[str, float]:
    grade, _, share = text.partition("=")
    form = "GRADE=SHARE with a share from 0 to 1, such as A=0.9"
    try:
        value = float(share)
    except ValueError as error:
        raise AuditWordError("The target", text, form) from error
    if not 0.0 <= value <= 1.0:
        raise AuditWordError("The target", text, form)
    return grade.strip(), value


__all__ = [
    "AuditAnswer",
    "AuditRequest",
    "AuditWordError",
    "Source",
    "audit_log",
    "csv_source",
    "day_of",
    "filter_of",
    "rate_table",
    "settings_of",
    "store_source",
]
