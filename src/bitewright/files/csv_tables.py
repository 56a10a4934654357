"""CSV written so that it opens alike everywhere: no spreadsheet will take a cell for a formula.

Written in UTF-8 with a byte order mark, dates as YYYY-MM-DD; with commas between cells and decimal
points, or with semicolons and decimal commas. `csv_rows` reads both.
"""

import csv
import io
from collections.abc import Iterable, Sequence
from pathlib import Path

from bitewright.files.csv_rows import safe_cell
from bitewright.files.disk import write_file

Cell = str | int | float | None


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
    write_file(Path(path), csv_bytes(header, rows, comma=comma))


def csv_bytes(
    header: Sequence[str], rows: Iterable[Sequence[Cell]], *, comma: bool = False
) -> bytes:
    """The same table as the bytes of a file."""
    text = io.StringIO(newline="")
    writer = csv.writer(text, delimiter=";" if comma else ",", lineterminator="\r\n")
    writer.writerow([safe_cell(name) for name in header])
    writer.writerows([_written(cell, comma=comma) for cell in row] for row in rows)
    return text.getvalue().encode("utf-8-sig")


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


__all__ = ["Cell", "csv_bytes", "write_csv"]
