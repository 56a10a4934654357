"""A log's entries as a file: JSON Lines, CSV or Parquet, each read back without loss."""

import json
from collections.abc import Callable, Iterable, Iterator, Mapping
from dataclasses import dataclass
from io import TextIOWrapper
from itertools import islice
from pathlib import Path
from typing import IO, Any

from bitewright import __version__
from bitewright.errors import BitewrightError, ExtraMissingError
from bitewright.files.csv_rows import csv_line, rows_of_csv, safe_cell
from bitewright.files.disk import opened_to_read, whole_file
from bitewright.log import fields
from bitewright.log.csv_mapping import with_point
from bitewright.log.entry import ENTRY_FORMAT, FIRST_DIGEST, RecordedEntry
from bitewright.log.entry_row import ROW_NAMES, check_seal, entry_of, entry_of_parts, row_of

NUMBERS = fields.NUMBERS | {"number"}
PAGE = 10_000
PARQUET_KEY = b"bitewright"


class EntryFileError(BitewrightError):
    """A file of entries is of no form that is read here, or is not whole."""

    def __init__(self, path: Path, problem: str) -> None:
        self.path = path
        super().__init__(f"The file of entries {path} {problem}.")


@dataclass(frozen=True, slots=True, kw_only=True)
class EntryFileHead:
    """What is known of all entries of a file: how many, and the digest of the last."""

    entries: int
    digest: str

    def document(self) -> dict[str, Any]:
        """As the first line of JSON Lines, or Parquet's own note."""
        return {
            "format": ENTRY_FORMAT,
            "version": __version__,
            "entries": self.entries,
            "digest": self.digest,
        }


def entry_file_kinds() -> tuple[str, ...]:
    """Endings of the files that can be written and read."""
    return tuple(_WRITERS)


def write_entries(
    path: Path,
    entries: Iterable[RecordedEntry],
    head: EntryFileHead,
    *,
    decimal_comma: bool = False,
) -> None:
    """Write entries whole or not at all; the form goes by the file's ending.

    ``decimal_comma``: CSV with semicolons between columns and a comma in numbers, as spreadsheets
    of many languages expect it.

    Raises
    ------
    EntryFileError, FileUnwritableError
    """
    _known_kind(path)
    _WRITERS[path.suffix.lower()](path, entries, head, "," if decimal_comma else ".")


def read_entries(path: Path) -> Iterator[RecordedEntry]:
    """Entries of a file in order, each checked against its digest and the file against its head.

    Raises
    ------
    EntryFileError, EntryRowError, CsvUnreadableError, FileUnreadableError
    """
    _known_kind(path)
    yield from _checked(_READERS[path.suffix.lower()](path), path)


def read_entry_lines(file: IO[bytes], shown: Path) -> Iterator[RecordedEntry]:
    """As `read_entries`, of JSON Lines in an open file, which messages call by the path shown."""
    try:
        with TextIOWrapper(file, encoding="utf-8") as text:
            yield from _checked(_from_lines(shown, text), shown)
    except UnicodeDecodeError as error:
        raise EntryFileError(shown, "is not UTF-8") from error


def _checked(read: "Iterator[Made]", path: Path) -> Iterator[RecordedEntry]:
    digest, count, head = FIRST_DIGEST, 0, None
    for place, made in read:
        if isinstance(made, EntryFileHead):
            head = made
            continue
        check_seal(digest, made, place)
        digest, count = made.digest, count + 1
        yield made
    if head is not None and (head.entries, head.digest) != (count, digest):
        raise EntryFileError(
            path, f"holds {count} entries where {head.entries} were written: it is not whole"
        )


def _known_kind(path: Path) -> None:
    if path.suffix.lower() not in _WRITERS:
        raise EntryFileError(
            path, f"must end in {', '.join(_WRITERS)}, which says what form it has"
        )


Made = tuple[str, RecordedEntry | EntryFileHead]


def _write_lines(
    path: Path, entries: Iterable[RecordedEntry], head: EntryFileHead, _decimal: str
) -> None:
    with whole_file(path) as file:
        write_entry_lines(file, entries, head)


def write_entry_lines(
    file: IO[bytes], entries: Iterable[RecordedEntry], head: EntryFileHead
) -> None:
    """Write entries as JSON Lines to an open file."""
    file.write(_json_line(head.document()))
    for each in entries:
        file.write(_json_line(entry_document(each)))


def entry_document(recorded: RecordedEntry) -> dict[str, Any]:
    """An entry as JSON carries it."""
    entry = recorded.entry
    return {
        "number": recorded.number,
        "key": entry.key,
        "act": entry.act.value,
        "about": entry.about,
        "written_at": entry.written_at,
        "written_by": entry.written_by,
        "why": entry.why,
        "body": dict(entry.body),
        "digest": recorded.digest,
    }


def _json_line(document: Mapping[str, Any]) -> bytes:
    text = json.dumps(document, ensure_ascii=False, allow_nan=False, separators=(",", ":"))
    return f"{text}\n".encode()


def _read_lines(path: Path) -> Iterator[Made]:
    try:
        with opened_to_read(path) as raw, TextIOWrapper(raw, encoding="utf-8") as file:
            yield from _from_lines(path, file)
    except UnicodeDecodeError as error:
        raise EntryFileError(path, "is not UTF-8") from error


def _from_lines(path: Path, lines: Iterable[str]) -> Iterator[Made]:
    for count, line in enumerate(lines, start=1):
        yield _from_line(path, line, count)


def _from_line(path: Path, line: str, count: int) -> Made:
    try:
        document = json.loads(line)
    except (ValueError, RecursionError) as error:
        raise EntryFileError(path, f"breaks JSON's rules in line {count}") from error
    if not isinstance(document, dict):
        raise EntryFileError(path, f"has no object in line {count}")
    if count == 1:
        return "head", _head(path, document)
    place = f"Line {count} of {path}"
    return place, entry_of_parts(document, place)


def _head(path: Path, document: Mapping[str, Any]) -> EntryFileHead:
    if document.get("format") != ENTRY_FORMAT:
        raise EntryFileError(path, f"does not begin with the format {ENTRY_FORMAT}")
    try:
        return EntryFileHead(entries=int(document["entries"]), digest=str(document["digest"]))
    except (KeyError, TypeError, ValueError) as error:
        raise EntryFileError(path, "does not say how many entries it holds") from error


def _write_csv(
    path: Path, entries: Iterable[RecordedEntry], _: EntryFileHead, decimal: str
) -> None:
    separator = ";" if decimal == "," else ","
    with whole_file(path) as file:
        file.write(csv_line(("format", *ROW_NAMES), separator=separator).encode("utf-8-sig"))
        for each in entries:
            row = row_of(each)
            cells = [_cell(name, row[name], decimal=decimal) for name in ROW_NAMES]
            file.write(csv_line((ENTRY_FORMAT, *cells), separator=separator).encode())


def _cell(name: str, text: str, *, decimal: str) -> str:
    if name in NUMBERS:
        return text.replace(".", decimal)
    return safe_cell(text)


def _read_csv(path: Path) -> Iterator[Made]:
    heading: list[str] | None = None
    for line, cells in rows_of_csv(path, separator=None, encoding=None):
        if heading is None:
            heading = cells
            if heading != ["format", *ROW_NAMES]:
                raise EntryFileError(path, "has not the columns of an export; see log-format.md")
            continue
        place = f"Line {line} of {path}"
        if len(cells) != len(heading) or cells[0] != ENTRY_FORMAT:
            raise EntryFileError(path, f"has a line {line} that is no entry of {ENTRY_FORMAT}")
        row = dict(zip(heading, cells, strict=True))
        yield place, entry_of({name: _text(name, cell) for name, cell in row.items()}, place)
    if heading is None:
        raise EntryFileError(path, "is empty")


def _text(name: str, cell: str) -> str:
    return with_point(cell) if name in NUMBERS else cell


def _write_parquet(
    path: Path, entries: Iterable[RecordedEntry], head: EntryFileHead, _decimal: str
) -> None:
    pa = _pyarrow()
    kinds = {name: pa.float64() if name in NUMBERS else pa.string() for name in ROW_NAMES}
    kinds["number"] = pa.int64()
    note = {PARQUET_KEY: json.dumps(head.document()).encode()}
    schema = pa.schema(list(kinds.items()), metadata=note)
    source = iter(entries)
    with whole_file(path) as file, pa.parquet.ParquetWriter(file, schema) as writer:
        while page := [row_of(each) for each in islice(source, PAGE)]:
            columns = {name: [_value(name, row[name]) for row in page] for name in ROW_NAMES}
            writer.write_table(pa.table(columns, schema=schema))


def _pyarrow() -> Any:  # noqa: ANN401 - a library without types, and an extra
    try:
        import pyarrow.parquet  # noqa: PLC0415  slow to load, and seldom needed
    except ImportError as error:
        raise ExtraMissingError("Parquet files", ["pyarrow"], extra="parquet") from error
    return pyarrow


def _value(name: str, text: str) -> str | float | int | None:
    if not text:
        return None
    if name == "number":
        return int(text)
    return float(text) if name in NUMBERS else text


def _read_parquet(path: Path) -> Iterator[Made]:
    pa = _pyarrow()
    try:
        with opened_to_read(path) as raw, pa.parquet.ParquetFile(raw) as file:
            note = (file.schema_arrow.metadata or {}).get(PARQUET_KEY, b"{}")
            yield "head", _head(path, json.loads(note))
            count = 0
            for page in file.iter_batches(batch_size=PAGE):
                for row in page.to_pylist():
                    count += 1
                    place = f"Row {count} of {path}"
                    texts = {
                        name: "" if value is None else str(value) for name, value in row.items()
                    }
                    yield place, entry_of(texts, place)
    except (OSError, ValueError, TypeError, pa.ArrowException) as error:
        raise EntryFileError(path, "is no Parquet file of entries, or is not whole") from error


Writer = Callable[[Path, Iterable[RecordedEntry], EntryFileHead, str], None]
_WRITERS: Mapping[str, Writer] = {
    ".jsonl": _write_lines,
    ".csv": _write_csv,
    ".parquet": _write_parquet,
}
_READERS: Mapping[str, Callable[[Path], Iterator[Made]]] = {
    ".jsonl": _read_lines,
    ".csv": _read_csv,
    ".parquet": _read_parquet,
}


__all__ = [
    "EntryFileError",
    "EntryFileHead",
    "entry_document",
    "entry_file_kinds",
    "read_entries",
    "read_entry_lines",
    "write_entries",
    "write_entry_lines",
]
