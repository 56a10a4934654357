"""Read the log: a list by filter, one exposure with its history, the columns audits take."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from typing import Any

import numpy as np

from bitewright.audit.counted_by import Dimension
from bitewright.audit.exposure_columns import DECISION_CODES
from bitewright.audit.logged_exposures import NOT_GIVEN, Filter
from bitewright.files.entry_files import entry_document
from bitewright.log.days import day_number
from bitewright.log.decisions import REJECTING
from bitewright.log.entry import RecordedEntry, standing
from bitewright.log.exposure_state import State
from bitewright.log.fields import FieldValueError, from_text
from bitewright.store.columns import LogColumns, log_columns
from bitewright.store.entries import (
    NoSuchEntryError,
    exposure_key,
    history,
    standing_exposures,
)
from bitewright.store.names import names
from bitewright.store.opening import NoStoreError, opened_store
from bitewright.tasks.log.store_place import store_place

LIST_FORMAT = "bitewright.log-list/1"
HISTORY_FORMAT = "bitewright.log-history/1"
NOT_KEPT, DECIDED = "not-kept", "decided"
CODES: Mapping[str, tuple[int, ...]] = {
    **{name: (code,) for name, code in DECISION_CODES.items()},
    "undecided": (NOT_GIVEN,),
    NOT_KEPT: REJECTING,
    DECIDED: tuple(DECISION_CODES.values()),
}
"""What stands for each choice of decisions in the columns."""


@dataclass(frozen=True, slots=True, kw_only=True)
class ListRequest:
    """Which exposures to list.

    Parameters
    ----------
    only : mapping of Dimension to labels
    first_day, last_day : str or None
        ISO dates, both included.
    decision : str or None
        One of the log's decisions, undecided, decided on at all, or not-kept: what audits count as
        rejected.
    retakes_only : bool
    fault, rating : str or None
        Only exposures with this fault, or of this scheme:grade.
    last : int
        At most this many, the last written.
    store : str or None
    """

    only: Mapping[Dimension, tuple[str, ...]]
    first_day: str | None = None
    last_day: str | None = None
    decision: str | None = None
    retakes_only: bool = False
    fault: str | None = None
    rating: str | None = None
    last: int = 20
    store: str | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class ListedExposure:
    """One exposure as it stands."""

    number: int
    key: str
    state: State


@dataclass(frozen=True, slots=True, kw_only=True)
class LogList:
    """Exposures of a list, how many there are in all, and the names their codes stand for.

    ``damaged``: first and last numbers of entries that are damaged and left out. ``labels``: what
    the whole log has of each dimension.
    """

    found: int
    rejected: int
    undecided: int
    exposures: tuple[ListedExposure, ...]
    people: Mapping[str, str]
    damaged: tuple[tuple[int, int], ...] = ()
    labels: Mapping[Dimension, Sequence[str]] = field(default_factory=dict)

    def document(self) -> dict[str, Any]:
        """As data for machines; names are left out."""
        return {
            "format": LIST_FORMAT,
            "found": self.found,
            "rejected": self.rejected,
            "undecided": self.undecided,
            "damaged": [{"first": first, "last": last} for first, last in self.damaged],
            "exposures": [
                {"number": each.number, "key": each.key, **each.state} for each in self.exposures
            ],
        }


@dataclass(frozen=True, slots=True, kw_only=True)
class ExposureHistory:
    """One exposure: all entries about it, and how it stands after them."""

    entries: tuple[RecordedEntry, ...]
    state: State
    people: Mapping[str, str]

    def document(self) -> dict[str, Any]:
        """As data for machines; names are left out."""
        return {
            "format": HISTORY_FORMAT,
            "number": self.entries[0].number,
            "key": self.entries[0].entry.key,
            "exposure": self.state,
            "history": [entry_document(each) for each in self.entries],
        }


def list_log(request: ListRequest) -> LogList:
    """The last exposures that a filter takes.

    Raises
    ------
    NoStoreError, UnknownLabelError, FieldValueError
    """
    with opened_store(store_place(request.store)) as store:
        columns = log_columns(store)
        chosen = chosen_rows(request, columns)
        numbers = columns.number[chosen][-request.last :].tolist()
        with store.reading() as connection:
            found, lately = standing_exposures(connection, numbers)
            people = names(connection)
    decision = columns.decision[chosen]
    return LogList(
        found=int(chosen.sum()),
        rejected=int(np.isin(decision, REJECTING).sum()),
        undecided=int((decision < 0).sum()),
        exposures=tuple(
            ListedExposure(number=number, key=key, state=state)
            for number, (key, state) in found.items()
        ),
        people=people,
        damaged=tuple(sorted({*columns.damaged, *((number, number) for number in lately)})),
        labels=columns.exposures.labels,
    )


def show_exposure(given: str, store: str | None) -> ExposureHistory:
    """One exposure by number or key.

    Raises
    ------
    NoStoreError, NoSuchEntryError
    """
    with opened_store(store_place(store)) as opened, opened.reading() as connection:
        entries = history(connection, exposure_key(connection, given))
        people = names(connection)
    state = standing(each.entry for each in entries)
    return ExposureHistory(entries=tuple(entries), state=state, people=people)


def number_in_log(given: str, store: str | None) -> int | None:
    """The number of the exposure of a key; None where the log has none, or there is no log."""
    try:
        return show_exposure(given, store).entries[0].number
    except (NoSuchEntryError, NoStoreError):
        return None


def chosen_rows(request: ListRequest, columns: LogColumns) -> np.ndarray[Any, np.dtype[np.bool_]]:
    """Which rows (N,) a request takes; raises `UnknownLabelError` and `FieldValueError`."""
    wanted = Filter(
        only=request.only,
        first_day=_day(request.first_day),
        last_day=_day(request.last_day),
    )
    chosen = columns.exposures.chosen(wanted)
    if request.decision is not None:
        if request.decision not in CODES:
            raise FieldValueError("decision", request.decision, f"one of {', '.join(CODES)}")
        chosen = chosen & np.isin(columns.decision, CODES[request.decision])
    if request.retakes_only:
        chosen = chosen & columns.exposures.retake
    if request.fault is not None:
        chosen = chosen & columns.exposures.with_fault(request.fault)
    if request.rating is not None:
        chosen = chosen & columns.exposures.with_rating(request.rating)
    return chosen


def _day(text: str | None) -> int | None:
    return None if text is None else day_number(str(from_text("day", text)))


__all__ = [
    "DECIDED",
    "NOT_KEPT",
    "ExposureHistory",
    "ListRequest",
    "ListedExposure",
    "LogList",
    "chosen_rows",
    "list_log",
    "show_exposure",
]
