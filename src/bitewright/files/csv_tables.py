"""CSV that opens alike everywhere: what a spreadsheet might take for a formula is made plain text.

Written in UTF-8 with a byte order mark, dates as YYYY-MM-DD; with commas between cells and decimal
points, or with semicolons and decimal commas. Both are read.
"""

import csv
import io
from collections.abc import Iterable, Iterator, Mapping, Sequence
from pathlib import Path

from bitewright.errors import BitewrightError
from bitewright.files.csv_rows import plain_cell, rows_of_csv, safe_cell
from bitewright.files.disk import write_file

Cell = str | int | float | None


class CsvTableError(BitewrightError):
    """A CSV file cannot be read as a table, or a cell of it is not allowed."""

    def __init__(self, path: Path, place: str, problem: str) -> None:
        self.path = path
        self.place = place
        super().__init__(f"{path}, {place}: {problem}.")


def write_csv(
    path: Path, header: Sequence[str], rows: Iterable[Sequence[Cell]], *, comma: bool = False
) -> None:
    """Write a table, whole or not at all.

    Parameters
    ----------
    path : Path
    header : sequence of str
    rows : iterable of sequences
        Text, numbers, or None for an empty cell.
    comma : bool
        Decimal commas and semicolons, for spreadsheets set that way.

    Raises
    ------
    FileUnwritableError
    """
    text = io.StringIO(newline="")
    writer = csv.writer(text, delimiter=";" if comma else ",", lineterminator="\r\n")
    writer.writerow([safe_cell(name) for name in header])
    writer.writerows([_written(cell, comma=comma) for cell in row] for row in rows)
    write_file(Path(path), text.getvalue().encode("utf-8-sig"))


def read_csv(
    path: Path, *, required: Sequence[str], allowed: Sequence[str]
) -> Iterator[tuple[int, dict[str, str]]]:
    """Row numbers, the header's being 1, with the cells by column name; empty rows are left out.

    Numbers keep decimal points whichever way they were written.

    Raises
    ------
    CsvUnreadableError, CsvTableError
    """
    rows = rows_of_csv(Path(path), separator=None, encoding=None)
    names = [name.strip().lower() for name in next(rows, (1, []))[1]]
    _check_header(path, names, required, allowed)
    for row, cells in rows:
        if not any(cell.strip() for cell in cells):
            continue
        if len(cells) != len(names):
            problem = f"there are {len(cells)} cells under {len(names)} headings"
            raise CsvTableError(path, f"row {row}", problem)
        read = (plain_cell(cell).strip() for cell in cells)
        yield row, dict(zip(names, read, strict=True))


def number_in(path: Path, row: int, column: str, cells: Mapping[str, str]) -> float | None:
    """A number of a cell, or None for an empty one; a decimal comma is read too."""
    text = cells.get(column, "")
    if not text:
        return None
    try:
        return float(text.replace(",", "."))
    except ValueError as error:
        problem = f"'{text[:40]}' is no number; give one, or leave it empty"
        raise CsvTableError(path, f"row {row}, column {column}", problem) from error


def _written(cell: Cell, *, comma: bool) -> str:
    if cell is None:
        return ""
    if isinstance(cell, str):
        return safe_cell(cell)
    if isinstance(cell, float):
        if cell != cell:  # noqa: PLR0124 - NaN is what differs from itself
            return ""
        written = f"{cell:.6g}"
        return written.replace(".", ",") if comma else written
    return str(cell)


def _check_header(
    path: Path, names: list[str], required: Sequence[str], allowed: Sequence[str]
) -> None:
    missing = [name for name in required if name not in names]
    if missing:
        problem = f"the column {missing[0]} is missing; there must be {', '.join(required)}"
        raise CsvTableError(path, "row 1", problem)
    unknown = [name for name in names if name not in allowed]
    if unknown:
        problem = f"the column '{unknown[0][:40]}' is unknown; allowed are {', '.join(allowed)}"
        raise CsvTableError(path, "row 1", problem)
    twice = next((name for name in names if names.count(name) > 1), None)
    if twice is not None:
        raise CsvTableError(path, "row 1", f"the column {twice} is there twice; keep one")


__all__ = [
    "Cell",
    "CsvTableError",
    "number_in",
    "read_csv",
    "write_csv",
]
