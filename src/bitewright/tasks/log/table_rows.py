"""Rows of a CSV table as exposures, checked one by one: what an import and an audit read alike."""

from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any

from bitewright.audit.exposure_columns import ExposureColumns, exposures_of
from bitewright.audit.logged_exposures import LoggedExposures
from bitewright.errors import BitewrightError
from bitewright.files.csv_rows import rows_of_csv
from bitewright.files.json_documents import check_document
from bitewright.files.toml_files import read_toml
from bitewright.log.csv_mapping import (
    MAPPING_FORMAT,
    CsvMapping,
    RowReader,
    mapping_from,
    own_mapping,
)
from bitewright.log.exposure_state import AUDITED, State, audited_from_text
from bitewright.words.phrases import counted

SCHEMAS = {MAPPING_FORMAT: "csv-mapping-1.json"}
MOST_LISTED = 100
CHUNK = 20_000


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
        """One more. A reason that has its column beside it does not name the field again."""
        self.count += 1
        if len(self.listed) < MOST_LISTED:
            name = getattr(error, "field", None)
            column = reader.column_of(name) if reader is not None and name is not None else None
            reason = str(error) if column is None else getattr(error, "problem", str(error))
            self.listed.append(BadRow(line=line, column=column, reason=reason))


class BadRowsError(BitewrightError):
    """Rows of a table cannot be taken, so none was."""

    def __init__(self, path: Path, bad: BadRows, *, may_skip: bool = False) -> None:
        self.path = path
        self.bad = bad
        remedy = "correct them"
        if may_skip:
            remedy += ", or give --skip-bad-rows to take the others"
        rows = counted(bad.count, "row")
        super().__init__(
            f"{rows} of {path} cannot be taken, so none was (first: {bad.listed[0]}): {remedy}."
        )


@dataclass(frozen=True, slots=True, kw_only=True)
class TableRow:
    """A good row: its line in the file, its key where the table has one, its exposure."""

    line: int
    key: str | None
    state: State


def table_rows(
    path: Path,
    mapping: CsvMapping | None,
    checked: Callable[[Mapping[str, str]], State],
    bad: BadRows,
) -> Iterator[TableRow]:
    """The good rows of a table; the others are added to ``bad``.

    Parameters
    ----------
    path : Path
    mapping : CsvMapping or None
        None where the headings are the log's own names.
    checked : callable
        The exposure of a row's fields; raises what is wrong with them.
    bad : BadRows

    Raises
    ------
    CsvUnreadableError, MissingColumnError, UnknownColumnError, ColumnTwiceError
    """
    asked = (None, None) if mapping is None else (mapping.separator, mapping.encoding)
    rows = rows_of_csv(Path(path), separator=asked[0], encoding=asked[1])
    heading = next(rows, (1, []))[1]
    reader = RowReader(mapping or own_mapping(heading, required=AUDITED), heading)
    for line, cells in rows:
        try:
            row = reader.mapped(cells)
            state = checked(row.fields)
        except BitewrightError as error:
            bad.add(line, error, reader)
            continue
        yield TableRow(line=line, key=row.key, state=state)


def read_mapping(path: Path) -> CsvMapping:
    """The mapping of a file.

    Raises
    ------
    SchemaViolationError, UnknownFieldError
    """
    document = read_toml(path)
    check_document(document, str(path), schemas=SCHEMAS)
    return mapping_from(document)


def read_exposures(path: Path) -> LoggedExposures:
    """The exposures of a CSV table whose headings are the log's own names, for an audit.

    Raises
    ------
    BadRowsError
        If a row is bad: then nothing is taken.
    CsvUnreadableError, MissingColumnError, UnknownColumnError, ColumnTwiceError
    """
    bad, columns = BadRows(), ExposureColumns()
    for count, row in enumerate(table_rows(path, None, audited_from_text, bad), start=1):
        columns.add(row.state)
        if count % CHUNK == 0:
            columns.pack()
    if bad.count:
        raise BadRowsError(path, bad)
    return exposures_of(*columns.finished({}))


__all__ = [
    "BadRow",
    "BadRows",
    "BadRowsError",
    "TableRow",
    "read_exposures",
    "read_mapping",
    "table_rows",
]
