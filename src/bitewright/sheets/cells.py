"""Cells, sheets and workbooks as they were read, and their text in plain letters."""

import unicodedata
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from functools import lru_cache
from typing import NamedTuple


class CellDay(NamedTuple):
    """A day that the spreadsheet itself knew as one."""

    year: int
    month: int
    day: int


Cell = str | float | bool | CellDay | None
"""What may stand in a cell; None where nothing does."""


class MergedCells(NamedTuple):
    """Cells merged into one: first and last row and column, from nought, both included."""

    first_row: int
    first_column: int
    last_row: int
    last_column: int


@dataclass(frozen=True, slots=True, kw_only=True)
class Sheet:
    """One sheet.

    Parameters
    ----------
    name : str
        Its tab; empty for a table of text.
    rows : sequence of sequences of Cell
        From the first row of the sheet on; they may differ in length.
    lines : sequence of int
        Line of each row, as the person who opens it counts.
    merged : tuple of MergedCells
    colours : mapping of line to name
        Of the rows that are filled in a colour.
    """

    name: str
    rows: Sequence[Sequence[Cell]]
    lines: Sequence[int]
    merged: tuple[MergedCells, ...] = ()
    colours: Mapping[int, str] = field(default_factory=dict)


@dataclass(frozen=True, slots=True, kw_only=True)
class Workbook:
    """All sheets of a file.

    Parameters
    ----------
    name : str
        The file's name without its ending.
    digest : str
        SHA-256 of its content.
    sheets : tuple of Sheet
    """

    name: str
    digest: str
    sheets: tuple[Sheet, ...] = field(default=())


def cell_text(cell: Cell) -> str:
    """A cell as typed on one line, lines with a semicolon between; a day as 2026-01-31."""
    if cell is None:
        return ""
    if isinstance(cell, str):
        return _on_one_line(cell)
    if isinstance(cell, bool):
        return "yes" if cell else "no"
    if isinstance(cell, CellDay):
        return f"{cell.year:04d}-{cell.month:02d}-{cell.day:02d}"
    return f"{cell:.0f}" if cell == int(cell) and abs(cell) < 1e15 else f"{cell:.10g}"


@lru_cache(maxsize=200_000)
def _on_one_line(text: str) -> str:
    return "; ".join(line for part in text.splitlines() if (line := " ".join(part.split())))


@lru_cache(maxsize=200_000)
def plain(text: str) -> str:
    """Small letters and figures alone, accents taken off, one blank where anything else stood."""
    folded = unicodedata.normalize("NFKD", text.casefold())
    letters = "".join(
        each if each.isalnum() else "" if unicodedata.combining(each) else " " for each in folded
    )
    return " ".join(letters.split())


@lru_cache(maxsize=200_000)
def word_of(text: str) -> str:
    """A text as a word to be told from others: in plain letters, or its marks where it has none."""
    return plain(text) or "".join(text.split())


def is_blank(row: Sequence[Cell]) -> bool:
    """Whether nothing stands in a row."""
    return all(cell is None or (isinstance(cell, str) and not cell.strip()) for cell in row)


__all__ = [
    "Cell",
    "CellDay",
    "MergedCells",
    "Sheet",
    "Workbook",
    "cell_text",
    "is_blank",
    "plain",
    "word_of",
]
