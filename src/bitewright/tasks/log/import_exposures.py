"""Take exposures from a table of someone's own: all rows checked before the first is written."""

import hashlib
import json
import tempfile
from array import array
from collections import Counter
from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field
from pathlib import Path
from typing import IO, Any

from bitewright.errors import BitewrightError
from bitewright.files.csv_rows import rows_of_csv
from bitewright.files.disk import FileUnwritableError
from bitewright.files.json_documents import check_document
from bitewright.files.toml_files import read_toml
from bitewright.log.csv_mapping import MAPPING_FORMAT, RowReader, mapping_from
from bitewright.log.entry import Act, Entry, body_text, checked_key
from bitewright.log.exposure_state import state_from_text
from bitewright.log.fields import from_text
from bitewright.store.appending import Appended, append
from bitewright.store.columns import log_columns
from bitewright.store.opening import opened_store
from bitewright.tasks.log.store_place import now_utc, store_place, today_number

IMPORTED_FORMAT = "bitewright.import-count/1"
SCHEMAS = {MAPPING_FORMAT: "csv-mapping-1.json"}
MOST_LISTED = 100


@dataclass(frozen=True, slots=True, kw_only=True)
class BadRow:
    """A row that cannot be taken: its line in the file, the column where one is to blame, why."""

    line: int
    column: str | None
    reason: str

    def document(self) -> dict[str, Any]:
        """As data for machines."""
        return {"line": self.line, "column": self.column, "reason": self.reason}

    def __str__(self) -> str:
        """As a person reads it."""
        column = f", column '{self.column}'" if self.column else ""
        return f"line {self.line}{column}: {self.reason}"


@dataclass(slots=True, kw_only=True)
class BadRows:
    """Bad rows as they are found: all counted, the first hundred kept."""

    count: int = 0
    listed: list[BadRow] = field(default_factory=list)

    def add(self, line: int, error: BitewrightError, reader: RowReader | None) -> None:
        """One more."""
        self.count += 1
        if len(self.listed) < MOST_LISTED:
            name = getattr(error, "field", None)
            column = reader.column_of(name) if reader is not None and name is not None else None
            self.listed.append(BadRow(line=line, column=column, reason=str(error)))


class BadRowsError(BitewrightError):
    """Rows of a table cannot be taken, so none was."""

    def __init__(self, path: Path, bad: BadRows) -> None:
        self.path = path
        self.bad = bad
        rows = "1 row" if bad.count == 1 else f"{bad.count} rows"
        super().__init__(
            f"{rows} of {path} cannot be taken, so none was (first: {bad.listed[0]}): correct "
            "them, or give --skip-bad-rows to take the others."
        )


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

    def document(self) -> dict[str, Any]:
        """As data for machines."""
        return {
            "format": IMPORTED_FORMAT,
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
                raise BadRowsError(request.table, bad)
            spool.seek(0)
            with opened_store(location, make=True) as store:
                with store.writing() as connection:
                    result = append(connection, _entries(spool, request.by))
                    _count_refused(result, lines, bad)
                    if bad.count and not request.skip_bad_rows:
                        raise BadRowsError(request.table, bad)
                log_columns(store)
    except OSError as error:
        raise FileUnwritableError(Path(tempfile.gettempdir()), error.strerror or "") from error
    return ImportCount(
        rows=len(lines) + bad.count - len(result.refused),
        added=result.added,
        already_there=result.already_there,
        bad=bad,
        store=str(location),
    )


def _checked_rows(request: ImportRequest, spool: IO[str], bad: BadRows) -> "array[int]":
    """Write each good row to the spool; their line numbers."""
    document = read_toml(request.mapping)
    check_document(document, str(request.mapping), schemas=SCHEMAS)
    mapping = mapping_from(document)
    today, lines = today_number(), array("q")
    keys = _Keys()
    reader: RowReader | None = None
    rows = rows_of_csv(request.table, separator=mapping.separator, encoding=mapping.encoding)
    for line, cells in rows:
        if reader is None:
            reader = RowReader(mapping, cells)
            continue
        try:
            row = reader.mapped(cells)
            state = state_from_text(row.fields, today=today)
            body = body_text(state)
            key = checked_key(row.key) if row.key else keys.of(body)
        except BitewrightError as error:
            bad.add(line, error, reader)
            continue
        spool.write(f"{key}\t{body}\n")
        lines.append(line)
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


def _entries(spool: IO[str], by: str | None) -> Iterator[Entry]:
    now = now_utc()
    for line in spool:
        key, _, text = line.partition("\t")
        body: Mapping[str, Any] = json.loads(text)
        yield Entry(
            key=key,
            act=Act.EXPOSURE,
            about=None,
            written_at=now,
            written_by=by or body["operator"],
            why=None,
            body=body,
        )


def _count_refused(result: Appended, lines: "array[int]", bad: BadRows) -> None:
    for refused in result.refused:
        bad.add(lines[refused.place], refused.error, None)


__all__ = ["BadRow", "BadRows", "BadRowsError", "ImportCount", "ImportRequest", "import_exposures"]
