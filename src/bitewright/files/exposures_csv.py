"""Exposures as a CSV table, one row each, its headings the names of the log's fields."""

import math
from collections.abc import Callable, Iterator, Sequence
from pathlib import Path

from bitewright.audit.counted_by import Dimension
from bitewright.audit.logged_exposures import NOT_GIVEN, LoggedExposures
from bitewright.files.csv_tables import Cell, write_csv
from bitewright.log.days import day_text
from bitewright.log.fields import FIELDS, Column, fields_with

COLUMNS = tuple(name for name, field in FIELDS.items() if field.column is not None)
SUCCEEDED = {1: "yes", 0: "no", -1: None}


def write_exposures(path: Path, log: LoggedExposures, *, comma: bool = False) -> None:
    """Write exposures as CSV; read again they are equal, numbers to six digits.

    ``comma``: decimal commas and semicolons.

    Raises
    ------
    FileUnwritableError
    """
    write_csv(Path(path), COLUMNS, _rows(log), comma=comma)


def _rows(log: LoggedExposures) -> Iterator[list[Cell]]:
    cells = _cells(log)
    for row in range(len(log)):
        yield [cells[name](row) for name in COLUMNS]


def _cells(log: LoggedExposures) -> dict[str, Callable[[int], Cell]]:
    """What each column's cell of a row holds."""
    faults = _fault_cells(log)
    cells: dict[str, Callable[[int], Cell]] = {
        "day": lambda row: day_text(int(log.day[row])),
        "kind": lambda row: "retake" if log.retake[row] else "exposure",
        "succeeded": lambda row: SUCCEEDED[int(log.retake_succeeded[row])],
        "rating": lambda row: _label(log.rating_labels, int(log.rating[row])),
        "faults": faults.get,
        "decision": lambda row: "rejected" if log.rejected[row] else "accepted",
    }
    for dimension in Dimension:
        cells[dimension.value] = _label_cell(log, dimension)
    for name in fields_with(Column.NUMBER):
        cells[name] = _number_cell(log, name)
    return cells


def _label_cell(log: LoggedExposures, dimension: Dimension) -> Callable[[int], Cell]:
    labels, codes = log.names(dimension), log.code(dimension)
    return lambda row: _label(labels, int(codes[row]))


def _number_cell(log: LoggedExposures, name: str) -> Callable[[int], Cell]:
    numbers = log.number(name)
    return lambda row: float(numbers[row])


def _label(labels: Sequence[str], code: int) -> str | None:
    return None if code == NOT_GIVEN else labels[code]


def _fault_cells(log: LoggedExposures) -> dict[int, str]:
    cells: dict[int, str] = {}
    for row, fault, size in zip(log.fault_row, log.fault, log.fault_size, strict=True):
        label = log.fault_labels[int(fault)]
        text = label if math.isnan(size) else f"{label}:{size:.6g}"
        cells[int(row)] = f"{cells[int(row)]}|{text}" if int(row) in cells else text
    return cells


__all__ = ["COLUMNS", "write_exposures"]
