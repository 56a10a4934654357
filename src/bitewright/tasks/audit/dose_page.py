"""What the page of the dose side shows of the exposures it was asked for."""

from collections.abc import Mapping
from dataclasses import dataclass

from bitewright.files.csv_tables import csv_bytes
from bitewright.store.opening import NoStoreError
from bitewright.tasks.audit.audit_dose import DoseAnswer, dose_of
from bitewright.tasks.audit.audit_page import filter_labels
from bitewright.tasks.audit.audit_request import AuditRequest, check_any, store_source
from bitewright.tasks.audit.page_request import PageRequest
from bitewright.tasks.log.logged_exposures import StoreRecord
from bitewright.words.audit_page import nothing_yet
from bitewright.words.dose import HEADINGS


@dataclass(frozen=True, slots=True, kw_only=True)
class DosePage:
    """The table, what is said beside it, and what can be filtered by."""

    headings: tuple[str, ...]
    rows: tuple[tuple[str, ...], ...]
    said: tuple[str, ...]
    labels: Mapping[str, list[tuple[str, str]]]


def dose_page(request: PageRequest) -> DosePage:
    """Settings, retakes and dose of the exposures asked for; errors as `audit_page`."""
    record = StoreRecord(None)
    try:
        log = record()
    except NoStoreError:
        return DosePage(headings=HEADINGS, rows=(), said=(nothing_yet(),), labels={})
    taken = log.taken(request.wanted)
    labels = filter_labels(log)
    if not len(taken):
        return DosePage(headings=HEADINGS, rows=(), said=(nothing_yet(),), labels=labels)
    told = dose_of(taken, AuditRequest(source=record))
    return DosePage(headings=HEADINGS, rows=told.cells(), said=told.sentences(), labels=labels)


def dose_csv(request: PageRequest, *, comma: bool = False) -> bytes:
    """The table as CSV.

    Raises
    ------
    NothingLoggedError, NothingDecidedError; errors as `dose_page`
    """
    told = _told(request)
    return csv_bytes(HEADINGS, told.cells(), comma=comma)


def _told(request: PageRequest) -> DoseAnswer:
    source = store_source(None)
    taken = source().taken(request.wanted)
    check_any(len(taken), 0)
    return dose_of(taken, AuditRequest(source=source))


__all__ = ["DosePage", "dose_csv", "dose_page"]
