"""Take exposures from a table of someone's own: all rows checked before the first is written."""

import hashlib
import tempfile
from array import array
from collections import Counter
from collections.abc import Mapping
from dataclasses import dataclass
from pathlib import Path
from typing import IO, Any
from uuid import uuid4

from bitewright.files.disk import FileUnwritableError
from bitewright.log.entry import KeyNotAllowedError, body_text, checked_key
from bitewright.log.exposure_state import State, state_from_text
from bitewright.log.fields import from_text
from bitewright.log.imports import ImportName
from bitewright.store.appending import Appended, append
from bitewright.store.columns import log_columns
from bitewright.store.opening import opened_store
from bitewright.tasks.log.spooled_exposures import spool_exposure, spooled_entries
from bitewright.tasks.log.store_place import store_place, today_number
from bitewright.tasks.log.table_rows import BadRows, BadRowsError, read_mapping, table_rows

IMPORTED_FORMAT = "bitewright.import-count/1"
MANY = 50_000
"""Rows from which an import goes into SQLite's file at once. Our choice."""


@dataclass(frozen=True, slots=True, kw_only=True)
class ImportRequest:
    """A table to take exposures from."""

    table: Path
    mapping: Path
    skip_bad_rows: bool = False
    by: str | None = None
    store: str | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class ImportCount:
    """What became of the rows."""

    rows: int
    added: int
    already_there: int
    bad: BadRows
    store: str
    id: str | None = None

    def document(self) -> dict[str, Any]:
        """As data for machines."""
        return {
            "format": IMPORTED_FORMAT,
            "import": self.id,
            "rows": self.rows,
            "added": self.added,
            "already_there": self.already_there,
            "left_out": self.bad.count,
            "bad_rows": [row.document() for row in self.bad.listed],
            "store": self.store,
        }


def import_exposures(request: ImportRequest) -> ImportCount:
    """Take all rows or none; with `skip_bad_rows`, all that are good.

    Rows taken before are known again and not doubled: by their key, or where the table has none by
    their content.

    Raises
    ------
    BadRowsError
        If a row is bad and bad rows should not be skipped.
    """
    location = store_place(request.store)
    if request.by is not None:
        from_text("operator", request.by)
    bad = BadRows()
    try:
        with tempfile.TemporaryFile("w+", encoding="utf-8") as spool:
            lines = _checked_rows(request, spool, bad)
            if bad.count and not request.skip_bad_rows:
                raise BadRowsError(request.table, bad, may_skip=True)
            with opened_store(location, make=True) as store:
                name = ImportName(id=uuid4().hex[:8], sheet=Path(request.table).stem)
                with store.writing(many=len(lines) > MANY) as connection:
                    result = append(connection, spooled_entries(spool, request.by, name))
                    _count_refused(result, lines, bad)
                    if bad.count and not request.skip_bad_rows:
                        raise BadRowsError(request.table, bad, may_skip=True)
                    store.check_room()
                store.settle()
                log_columns(store)
    except OSError as error:
        raise FileUnwritableError(Path(tempfile.gettempdir()), error.strerror or "") from error
    return ImportCount(
        rows=len(lines) + bad.count - len(result.refused),
        added=result.added,
        already_there=result.already_there,
        bad=bad,
        store=str(location),
        id=name.id if result.added else None,
    )


def _checked_rows(request: ImportRequest, spool: IO[str], bad: BadRows) -> "array[int]":
    """Write every good row's key and fields to the spool; their line numbers."""
    today, lines = today_number(), array("q")
    keys = _Keys()

    def checked(fields: Mapping[str, str]) -> State:
        return state_from_text(fields, today=today)

    for row in table_rows(request.table, read_mapping(request.mapping), checked, bad):
        body = body_text(row.state)
        try:
            key = checked_key(row.key) if row.key else keys.of(body)
        except KeyNotAllowedError as error:
            bad.add(row.line, error, None)
            continue
        spool_exposure(spool, key, body)
        lines.append(row.line)
    return lines


class _Keys:
    """A key for each content: the same for the same rows of the same table, read again."""

    def __init__(self) -> None:
        self._seen: set[int] = set()
        self._times: Counter[int] = Counter()

    def of(self, body: str) -> str:
        """The key of the next row with this content; equal rows are told apart by their order."""
        digest = hashlib.sha256(body.encode("utf-8")).digest()
        short = int.from_bytes(digest[:8], "big")
        if short in self._seen:
            self._times[short] += 1
        self._seen.add(short)
        return f"row-{digest[:16].hex()}-{self._times[short] + 1}"


def _count_refused(result: Appended, lines: "array[int]", bad: BadRows) -> None:
    for refused in result.refused:
        bad.add(lines[refused.place], refused.error, None)


__all__ = ["ImportCount", "ImportRequest", "import_exposures"]
