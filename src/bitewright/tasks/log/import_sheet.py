"""Take the exposures of a sheet into the log as one import, and take imports back."""

import tempfile
from collections import Counter
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from typing import IO, Any
from uuid import uuid4

from bitewright.audit.counted_by import Dimension
from bitewright.audit.logged_exposures import NOT_GIVEN
from bitewright.errors import BitewrightError, quoted
from bitewright.log.days import day_number
from bitewright.log.entry import Entry, body_text
from bitewright.log.fields import from_text
from bitewright.log.imports import ImportName
from bitewright.sheets.pseudonyms import Pseudonyms
from bitewright.sheets.understanding import Understanding
from bitewright.store.appending import KeyTakenError, Refused, append
from bitewright.store.columns import LogColumns, log_columns
from bitewright.store.imports import ImportRecord, TakenBack, imports, imports_of_keys, take_back
from bitewright.store.names import names, set_names
from bitewright.store.opening import NoStoreError, Store, opened_store
from bitewright.tasks.log.import_exposures import MANY
from bitewright.tasks.log.spooled_exposures import spool_exposure, spooled_entries
from bitewright.tasks.log.store_place import store_place
from bitewright.tasks.log.understand_sheet import (
    Preview,
    Proposal,
    QuestionsOpenError,
    checked_rows,
    proposal_of,
)
from bitewright.words.phrases import counted

SHEET_IMPORTED_FORMAT = "bitewright.sheet-import/1"
IMPORTS_FORMAT = "bitewright.log-imports/1"
LIKE_BEFORE = 0.5
"""Share of rows on the same day, of the same view, operator and case as those of an import before,
from which a sheet is asked about. Our choice."""
REPLACE, ADD = "replace", "add"


class SheetFaultsError(BitewrightError):
    """Rows of a sheet have faults, so none was taken."""

    def __init__(self, name: str, preview: Preview) -> None:
        self.preview = preview
        first = preview.problems[0]
        where = f"{first.sheet} " if first.sheet else ""
        super().__init__(
            f"{preview.bad} of {preview.bad + preview.good} rows of {quoted(name)} have faults, so "
            f"none was taken (first: {where}line {first.line}: {first.why}): mend them in the "
            "sheet, or leave those rows out (--skip-bad-rows, on the page the box below)."
        )


class BroughtAgainError(BitewrightError):
    """A sheet brings films that an import brought before."""

    def __init__(self, record: ImportRecord, rows: int) -> None:
        self.record = record
        self.rows = rows
        looks = "looks like" if rows == 1 else "look like"
        super().__init__(
            f"{counted(rows, 'row')} of this sheet {looks} films that import {record.id} brought "
            f"(of {quoted(record.sheet)}, {counted(record.exposures, 'exposure')}): give --again "
            "replace to take that import back and bring this sheet in its place, or --again add to "
            "add the rows that are new."
        )


class AgainError(BitewrightError):
    """What should become of films brought before is not said as it can be."""

    def __init__(self, given: str) -> None:
        super().__init__(f"--again {quoted(given)} is not known: give {REPLACE} or {ADD}.")


@dataclass(frozen=True, slots=True, kw_only=True)
class ImportOptions:
    """How a sheet is taken.

    Parameters
    ----------
    skip_bad_rows : bool
    again : str or None
        "replace" or "add", where films of it were brought before.
    by : str or None
        Who writes it; each operator where None.
    store : str or None
    """

    skip_bad_rows: bool = False
    again: str | None = None
    by: str | None = None
    store: str | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class SheetImport:
    """What became of a sheet."""

    id: str | None
    added: int
    already_there: int
    replaced: str | None
    preview: Preview
    store: str

    def document(self) -> dict[str, Any]:
        """As data for machines."""
        return {
            "format": SHEET_IMPORTED_FORMAT,
            "import": self.id,
            "added": self.added,
            "already_there": self.already_there,
            "replaced": self.replaced,
            "undecided": self.preview.undecided,
            "left_out": self.preview.bad,
            "not_intraoral": self.preview.outside,
            "problems": [problem.document() for problem in self.preview.problems],
            "store": self.store,
        }


def proposed(sheet: Understanding, store: str | None) -> Proposal:
    """What would be taken of a sheet; nothing is written."""
    return proposal_of(sheet, known_names(store))


def known_names(store: str | None) -> Mapping[str, str]:
    """Names kept in the store, by code; none where there is no store yet."""
    try:
        with opened_store(store_place(store)) as opened, opened.reading() as connection:
            return names(connection)
    except NoStoreError:
        return {}


def import_sheet(sheet: Understanding, options: ImportOptions) -> SheetImport:
    """Take all good rows of a sheet as one import; all or none.

    Raises
    ------
    QuestionsOpenError
        If a question is not answered.
    SheetFaultsError
        If a row has a fault and bad rows are not to be left out.
    BroughtAgainError
        If films of it were brought before and nobody said what to do.
    """
    if options.again not in {None, REPLACE, ADD}:
        raise AgainError(options.again or "")
    if options.by is not None:
        from_text("operator", options.by)
    proposal = proposed(sheet, options.store)
    if proposal.open:
        raise QuestionsOpenError(sheet.name, proposal.open)
    if proposal.preview.bad and not options.skip_bad_rows:
        raise SheetFaultsError(sheet.name, proposal.preview)
    location = store_place(options.store)
    with (
        tempfile.TemporaryFile("w+", encoding="utf-8") as spool,
        opened_store(location, make=True) as store,
    ):
        with store.reading() as connection:
            people = Pseudonyms(names(connection))
        rows = _spooled(sheet, people, spool)
        before = _brought_before(store, rows)
        if before is not None and before.is_question and options.again is None:
            raise BroughtAgainError(before.record, before.rows)
        answer = _written(store, sheet, options, rows, people, before)
        store.settle()
        log_columns(store)
    return SheetImport(**answer, preview=proposal.preview, store=str(location))


class _Rows:
    """Rows that were checked, on the disk, with what they are known by."""

    def __init__(self, spool: IO[str]) -> None:
        self._spool = spool
        self.keys: list[str] = []
        self.films: list[tuple[object, ...]] = []

    def add(self, key: str, state: Mapping[str, Any]) -> None:
        """One more."""
        spool_exposure(self._spool, key, body_text(state))
        self.keys.append(key)
        self.films.append(_film(state))

    def entries(self, name: ImportName, by: str | None) -> Iterator[Entry]:
        """All of them as entries."""
        return spooled_entries(self._spool, by, name)


def _film(state: Mapping[str, Any]) -> tuple[object, ...]:
    """What a film is taken to be the same by, whatever was made of the rest of its row."""
    return (day_number(state["day"]), state["view"], state["operator"], state.get("case"))


def _spooled(sheet: Understanding, people: Pseudonyms, spool: IO[str]) -> _Rows:
    rows = _Rows(spool)
    for row in checked_rows(sheet, people):
        if row.state is not None:
            rows.add(row.key, row.state)
    return rows


@dataclass(frozen=True, slots=True, kw_only=True)
class _Before:
    """The import that most rows look like, how many do, and whether that is a question.

    The same sheet once more, or a longer one, is none: its rows are known.
    """

    record: ImportRecord
    rows: int
    is_question: bool


def _brought_before(store: Store, rows: _Rows) -> _Before | None:
    """What brought these films before; None where they are new."""
    with store.reading() as connection:
        known = imports(connection)
        if not known:
            return None
        same = imports_of_keys(connection, rows.keys)
    by_id = {record.id: record for record in known}
    all_known = sum(same.values()) == len(rows.keys)
    films = same if all_known else _likeness(log_columns(store), known, rows)
    counted = Counter({name: max(same[name], films[name]) for name in by_id})
    name, count = counted.most_common(1)[0]
    smaller = max(1, min(len(rows.keys), by_id[name].exposures))
    if count < LIKE_BEFORE * smaller:
        return None
    is_longer = same[name] == by_id[name].exposures
    return _Before(record=by_id[name], rows=count, is_question=not (all_known or is_longer))


def _likeness(columns: LogColumns, known: list[ImportRecord], rows: _Rows) -> Counter[str]:
    """How many rows are as a film of each import."""
    log = columns.exposures
    wanted = Counter(rows.films)
    counted: Counter[str] = Counter()
    spots = {each: (log.code(each), log.names(each)) for each in _LIKE}
    for record in known:
        left = wanted.copy()
        chosen = (columns.number >= record.first) & (columns.number <= record.last)
        for row in chosen.nonzero()[0].tolist():
            labels = []
            for codes, names_of in spots.values():
                code = int(codes[row])
                labels.append(None if code == NOT_GIVEN else names_of[code])
            film = (int(log.day[row]), *labels)
            if left[film] > 0:
                left[film] -= 1
                counted[record.id] += 1
    return counted


_LIKE = (Dimension.VIEW, Dimension.OPERATOR, Dimension.CASE)


def _written(
    store: Store,
    sheet: Understanding,
    options: ImportOptions,
    rows: _Rows,
    people: Pseudonyms,
    before: _Before | None,
) -> dict[str, Any]:
    name = ImportName(id=uuid4().hex[:8], sheet=sheet.name)
    replaced = None
    with store.writing(many=len(rows.keys) > MANY) as connection:
        if before is not None and options.again == REPLACE:
            take_back(connection, before.record.id)
            replaced = before.record.id
        result = append(connection, rows.entries(name, options.by))
        _check_refused(result.refused, before, options)
        if result.added:
            set_names(connection, people.made)
        store.check_room()
    return {
        "id": name.id if result.added else None,
        "added": result.added,
        "already_there": result.already_there + len(result.refused),
        "replaced": replaced,
    }


def _check_refused(
    refused: tuple[Refused, ...], before: _Before | None, options: ImportOptions
) -> None:
    """A row that is known with another meaning is asked about; all else is an error.

    Raises
    ------
    BroughtAgainError
    """
    for each in refused:
        if not isinstance(each.error, KeyTakenError):
            raise each.error
    if refused and before is not None and options.again != ADD:
        raise BroughtAgainError(before.record, len(refused))


def list_imports(store: str | None) -> list[ImportRecord]:
    """All imports, oldest first."""
    with opened_store(store_place(store)) as opened, opened.reading() as connection:
        return imports(connection)


def imports_document(found: list[ImportRecord]) -> dict[str, Any]:
    """As data for machines."""
    return {
        "format": IMPORTS_FORMAT,
        "imports": [
            {
                "import": each.id,
                "sheet": each.sheet,
                "exposures": each.exposures,
                "first": each.first,
                "last": each.last,
                "written_at": each.written_at,
            }
            for each in found
        ],
    }


def undo_import(given: str, store: str | None) -> TakenBack:
    """Take an import back, without a trace of its entries.

    Raises
    ------
    NoSuchImportError, StillSpokenOfError, DamagedEntryError
    """
    with opened_store(store_place(store)) as opened:
        many = any(each.id == given and each.exposures > MANY for each in _known(opened))
        with opened.writing(many=many) as connection:
            answer = take_back(connection, given)
        opened.settle()
        log_columns(opened)
    return answer


def _known(opened: Store) -> list[ImportRecord]:
    with opened.reading() as connection:
        return imports(connection)


__all__ = [
    "ADD",
    "IMPORTS_FORMAT",
    "REPLACE",
    "SHEET_IMPORTED_FORMAT",
    "BroughtAgainError",
    "ImportOptions",
    "ImportRecord",
    "SheetFaultsError",
    "SheetImport",
    "import_sheet",
    "imports_document",
    "known_names",
    "list_imports",
    "proposed",
    "undo_import",
]
