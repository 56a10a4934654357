"""Spreadsheets from disk: XLSX, ODS, XLS and tables of text, bounded in what they may unpack to."""

import csv
import hashlib
import io
import re
import zipfile
import zlib
from collections.abc import Sequence
from datetime import date, datetime, time, timedelta
from pathlib import Path
from typing import IO, Any

from bitewright.errors import BitewrightError, ExtraMissingError
from bitewright.files.cell_colours import row_colours
from bitewright.files.csv_rows import MARKS, plain_cell
from bitewright.files.disk import read_file
from bitewright.sheets.cells import Cell, CellDay, MergedCells, Sheet, Workbook

MOST_BYTES = 100 << 20
MOST_UNPACKED = 500 << 20
MOST_CELLS = 12_000_000
"""What a sheet may hold, empty cells between its corners counted. Our choice."""
SEPARATORS = (";", ",", "\t", "|")
SAMPLE = 200
ZIP, OLE = b"PK\x03\x04", b"\xd0\xcf\x11\xe0"
PLACE = re.compile(rb'<(?:\w+:)?c [^>]*?\br="([A-Z]{1,3})(\d{1,7})"')
CHUNK = 1 << 20
ACCENTED = re.compile(
    r"(?<=[^\W\d_])[ßà-öø-ÿœąćęłńśźżčďěňřšťůžőű]|[ßà-öø-ÿœąćęłńśźżčďěňřšťůžőű](?=[^\W\d_])"
)
"""Letters of Western and Central European words beside other letters."""
ODD = re.compile(
    r"(?<=[a-z])[^\x00-\x7fßà-öø-ÿœąćęłńśźżčďěňřšťůžőű\u2019\u2013\u2014](?=[a-z])|\ufffd"
)
"""What stands within no word."""


class WorkbookUnreadableError(BitewrightError):
    """A file is no spreadsheet that can be read."""

    def __init__(self, path: Path, problem: str) -> None:
        self.path = path
        super().__init__(f"The spreadsheet {path} cannot be read, because {problem}.")


def read_workbook(path: Path) -> Workbook:
    """All sheets of a file.

    Raises
    ------
    FileUnreadableError, WorkbookUnreadableError
    """
    return workbook_from_bytes(read_file(path, most_bytes=MOST_BYTES), path)


def workbook_from_bytes(content: bytes, path: Path) -> Workbook:
    """All sheets of a file's content; errors as `read_workbook`, which call it by its path."""
    if content.startswith(ZIP):
        _check_unpacked(content, path)
        sheets = _sheets_of_workbook(content, path)
    elif content.startswith(OLE):
        sheets = _sheets_of_workbook(content, path)
    else:
        sheets = (_sheet_of_text(content, path),)
    digest = hashlib.sha256(content).hexdigest()
    return Workbook(name=path.stem, digest=digest, sheets=sheets)


def _check_unpacked(content: bytes, path: Path) -> None:
    """Refuse what unpacks to too much, or has cells too far apart, before a reader makes room."""
    unpacked = 0
    try:
        with zipfile.ZipFile(io.BytesIO(content)) as archive:
            for part in archive.infolist():
                with archive.open(part) as file:
                    unpacked = _part_checked(file, part.filename, unpacked, path)
    except (zipfile.BadZipFile, zipfile.LargeZipFile, EOFError, NotImplementedError) as error:
        raise WorkbookUnreadableError(path, "it is damaged: save it anew") from error
    except zlib.error as error:
        raise WorkbookUnreadableError(path, "it is damaged: save it anew") from error
    except (RuntimeError, ValueError, OSError) as error:
        raise WorkbookUnreadableError(path, "it is locked with a password or damaged") from error


def _part_checked(file: IO[bytes], name: str, unpacked: int, path: Path) -> int:
    """Bytes unpacked after a part of a workbook.

    Raises
    ------
    WorkbookUnreadableError
        If they are too many, or the part is a sheet that reaches too far.
    """
    corner, tail = (0, 0), b""
    is_sheet = "sheet" in name and name.endswith(".xml")
    while chunk := file.read(CHUNK):
        unpacked += len(chunk)
        if unpacked > MOST_UNPACKED:
            size = f"{MOST_UNPACKED >> 20} MiB"
            problem = f"it unpacks to more than {size}: save the sheet alone, or as CSV"
            raise WorkbookUnreadableError(path, problem)
        if is_sheet:
            corner = _furthest(tail + chunk, corner)
            tail = chunk[-200:]
    if corner[0] * corner[1] > MOST_CELLS:
        problem = (
            f"a sheet reaches over {corner[1]} columns and {corner[0]} rows: delete what stands "
            "far off the table, or save it as CSV"
        )
        raise WorkbookUnreadableError(path, problem)
    return unpacked


def _furthest(chunk: bytes, corner: tuple[int, int]) -> tuple[int, int]:
    """Row and column of the corner of the cells named in a piece of a sheet."""
    rows, columns = corner
    for letters, digits in PLACE.findall(chunk):
        rows = max(rows, int(digits))
        column = 0
        for letter in letters:
            column = column * 26 + letter - 64
        columns = max(columns, column)
    return rows, columns


def _sheets_of_workbook(content: bytes, path: Path) -> tuple[Sheet, ...]:
    try:
        from python_calamine import (  # noqa: PLC0415  only where a workbook is read
            CalamineError,
            SheetTypeEnum,
            SheetVisibleEnum,
            load_workbook,
        )
    except ImportError as error:
        raise ExtraMissingError("Workbooks", ["python-calamine"], extra="sheets") from error

    try:
        book = load_workbook(io.BytesIO(content))
        colours = row_colours(content) if content.startswith(ZIP) else {}
        sheets = []
        for about in book.sheets_metadata:
            if (
                about.typ is not SheetTypeEnum.WorkSheet
                or about.visible is not SheetVisibleEnum.Visible
            ):
                continue
            sheet = book.get_sheet_by_name(about.name)
            if sheet.total_height * sheet.total_width > MOST_CELLS:
                raise WorkbookUnreadableError(path, f"its sheet {about.name} is too large")
            rows = [
                [_cell(value) for value in row] for row in sheet.to_python(skip_empty_area=False)
            ]
            sheets.append(
                Sheet(
                    name=about.name,
                    rows=rows,
                    lines=range(1, len(rows) + 1),
                    merged=_spans(sheet.merged_cell_ranges),
                    colours=colours.get(about.name, {}),
                )
            )
    except CalamineError as error:
        raise WorkbookUnreadableError(
            path,
            "it is no spreadsheet, is locked with a password, or is damaged: save it as XLSX, "
            "ODS or CSV",
        ) from error
    return tuple(sheets)


def _spans(merged: Sequence[Any] | None) -> tuple[MergedCells, ...]:
    return tuple(MergedCells(first[0], first[1], last[0], last[1]) for first, last in merged or ())


def _cell(value: Any) -> Cell:  # noqa: ANN401, PLR0911 - what the library gives, one a kind
    if value is None or value == "":
        return None
    if isinstance(value, (str, bool)):
        return value
    if isinstance(value, (int, float)):
        return float(value)
    if isinstance(value, datetime | date):
        return CellDay(value.year, value.month, value.day)
    if isinstance(value, time):
        return value.isoformat("minutes")
    if isinstance(value, timedelta):
        return float(value.total_seconds())
    return str(value)


def _sheet_of_text(content: bytes, path: Path) -> Sheet:
    text = _decoded(content)
    if "\x00" in text[:4096]:
        raise WorkbookUnreadableError(path, "it is neither a spreadsheet nor a table of text")
    text = _with_dittos(text)
    separator = _separator(text)
    rows: list[list[Cell]] = []
    lines = []
    reader = csv.reader(io.StringIO(text, newline=""), delimiter=separator)
    try:
        for row in reader:
            rows.append([plain_cell(cell) or None for cell in row])
            lines.append(len(rows))
    except csv.Error as error:
        raise WorkbookUnreadableError(path, f"its quotes or lines are broken ({error})") from error
    return Sheet(name="", rows=_with_heading_split(rows), lines=lines)


HEADING_BETWEEN = re.compile(r"\s+[-\u2013\u2014/]\s+|\s*[,;|\t]\s*")


def _with_heading_split(rows: list[list[Cell]]) -> list[list[Cell]]:
    """Rows, a heading typed with other signs between its words than the rows have taken apart.

    As in "(date - chart - film)" above rows with strokes; it has as many words as they have cells.
    """
    widths = [sum(cell is not None for cell in row) > 1 and len(row) for row in rows]
    usual = max({*filter(None, widths)}, key=widths.count, default=0)
    if usual < LEAST_HEADED:
        return rows
    for at, row in enumerate(rows):
        if widths[at] == usual:
            break
        told = [str(cell) for cell in row if cell is not None]
        words = HEADING_BETWEEN.split(told[0].strip().strip("()[]")) if len(told) == 1 else []
        if len(words) == usual and all(words):
            return [*rows[:at], list(words), *rows[at + 1 :]]
    return rows


LEAST_HEADED = 4
"""Columns from which a line with as many words is taken for their heading. Our choice."""


def _decoded(content: bytes) -> str:
    """Text by its byte order mark, as UTF-8, or else as Western European programs write it."""
    found = next((name for mark, name in MARKS.items() if content.startswith(mark)), None)
    for encoding in filter(None, (found, "utf-8", _old_western(content))):
        try:
            return content.decode(encoding)
        except UnicodeDecodeError:
            continue
    return content.decode("latin-1")


def _old_western(content: bytes) -> str:
    """The encoding of a text of single bytes: of Windows, or of Macs as they were.

    The one in which more letters beyond ASCII are small letters of words, as nearly all are.
    """
    kept = {}
    for encoding in ("cp1252", "mac-roman", "cp1250"):
        text = content[:CHUNK].decode(encoding, errors="replace")
        kept[encoding] = len(ACCENTED.findall(text)) - len(ODD.findall(text))
    return max(kept, key=lambda encoding: kept[encoding])


DITTO_ALONE = re.compile(r'(?m)(?:^|(?<=[|\t]))([ \t]*)"([ \t]*)(?=[|\t])')
"""A mark for "as above" alone between strokes or tabs, which begins no quoted cell."""


def _with_dittos(text: str) -> str:
    """A text in which such marks are no quotes."""
    return DITTO_ALONE.sub("\\1\u3003\\2", text)


def _separator(text: str) -> str:
    """What splits most lines into the same number of cells, several of them."""
    sample = "\n".join(text.splitlines()[:SAMPLE])
    best = (0.0, SEPARATORS[0])
    for separator in SEPARATORS:
        try:
            widths = [
                len(row)
                for row in csv.reader(io.StringIO(sample, newline=""), delimiter=separator)
                if any(cell.strip() for cell in row)
            ]
        except csv.Error:
            continue
        if not widths:
            continue
        usual = max(set(widths), key=lambda width: (widths.count(width), width))
        if usual > 1:
            score = widths.count(usual) / len(widths) + 0.02 * min(usual, 20)
            best = max(best, (score, separator), key=lambda each: each[0])
    return best[1]


__all__ = ["WorkbookUnreadableError", "read_workbook", "workbook_from_bytes"]
