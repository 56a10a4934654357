"""Tables of text as other programs write them: any separator, byte order mark, decimal comma."""

import csv
import io
from collections.abc import Iterator, Sequence
from io import TextIOWrapper
from pathlib import Path
from typing import TextIO

from bitewright.errors import BitewrightError, quoted
from bitewright.files.disk import opened_to_read

SEPARATORS = (",", ";", "\t", "|")
MARKS = {b"\xef\xbb\xbf": "utf-8-sig", b"\xff\xfe": "utf-16", b"\xfe\xff": "utf-16"}
DANGEROUS = ("=", "+", "-", "@", "\t", "\r", "'")
"""A cell that begins like this could be run as a formula by a spreadsheet (common practice), or
could be mistaken for one made safe."""
SAFE = "'"


class CsvUnreadableError(BitewrightError):
    """A file is no table of text that can be read."""

    def __init__(self, path: Path, problem: str) -> None:
        self.path = path
        super().__init__(f"The table {path} cannot be read, because {problem}.")


def rows_of_csv(
    path: Path, *, separator: str | None, encoding: str | None
) -> Iterator[tuple[int, list[str]]]:
    """Rows with the line on which each ends, the heading first; empty rows are passed over.

    Cells are as they were meant: what `safe_cell` put before them is taken off.

    Parameters
    ----------
    path : Path
    separator : str or None
        One of , ; tab |. None takes the one that splits the heading into most columns.
    encoding : str or None
        None is UTF-8, or what a byte order mark says.

    Raises
    ------
    CsvUnreadableError
    """
    try:
        with opened_to_read(path) as raw:
            start = raw.read(4)
            raw.seek(0)
            found = encoding or next(
                (name for mark, name in MARKS.items() if start.startswith(mark)), "utf-8"
            )
            with TextIOWrapper(raw, encoding=found, newline="") as file:
                yield from _rows(file, separator)
    except UnicodeDecodeError as error:
        found = error.encoding.upper()
        problem = f"its text is not {found}: save it so, or name its encoding in a mapping"
        raise CsvUnreadableError(path, problem) from error
    except LookupError as error:
        raise CsvUnreadableError(path, f"the encoding {quoted(encoding)} is not known") from error
    except csv.Error as error:
        raise CsvUnreadableError(path, f"its quotes or lines are broken ({error})") from error


def _rows(file: TextIO, separator: str | None) -> Iterator[tuple[int, list[str]]]:
    if separator is None:
        heading = file.readline()
        file.seek(0)
        separator = max(SEPARATORS, key=heading.count)
    reader = csv.reader(file, delimiter=separator, strict=True)
    for row in reader:
        if any(cell.strip() for cell in row):
            was_made_safe = any(cell.startswith(SAFE) for cell in row)
            yield reader.line_num, [*map(plain_cell, row)] if was_made_safe else row


def csv_line(cells: Sequence[str], *, separator: str) -> str:
    """Cells as one line of a table, ending in a line feed."""
    line = io.StringIO()
    csv.writer(line, delimiter=separator, lineterminator="\n").writerow(cells)
    return line.getvalue()


def safe_cell(text: str) -> str:
    """Text that a spreadsheet will not run: an apostrophe goes before what could be a formula."""
    return f"{SAFE}{text}" if text.startswith(DANGEROUS) else text


def plain_cell(cell: str) -> str:
    """What `safe_cell` was given."""
    return cell.removeprefix(SAFE)


__all__ = ["CsvUnreadableError", "csv_line", "plain_cell", "rows_of_csv", "safe_cell"]
