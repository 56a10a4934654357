"""Logged exposures as a CSV table, one row each, its columns named as the log's fields.

docs/audit-methods.md tells the columns. What the log knows
beyond an audit's needs (teeth, notes, who decided) may stand in it and is left alone.
"""

import math
from collections.abc import Iterator, Mapping
from datetime import date
from pathlib import Path
from typing import Any

import numpy as np
from numpy.typing import NDArray

from bitewright.audit.logged_exposures import NOT_GIVEN, Dimension, LoggedExposures, coded
from bitewright.files.csv_tables import Cell, CsvTableError, number_in, read_csv, write_csv

NUMBERS = (
    "contact_error_deg",
    "contact_error_sd_deg",
    "vertical_error_deg",
    "vertical_error_sd_deg",
    "forward_mm",
    "forward_sd_mm",
    "height_mm",
    "height_sd_mm",
)
LEFT_ALONE = (
    "key",
    "teeth",
    "retake_of",
    "changed",
    "tube_voltage_kv",
    "tube_current_ma",
    "exposure_time_s",
    "decided_by",
    "film",
    "assessment",
    "note",
)
COLUMNS = (
    "day",
    *(dimension.value for dimension in Dimension),
    "kind",
    "succeeded",
    "rating",
    "faults",
    "decision",
    *NUMBERS,
)
REQUIRED = ("day", "decision")
KINDS = {"exposure": 0, "": 0, "retake": 1, "extra-view": 0, "planned-stage": 0}
DECISIONS = {"accepted": 0, "rejected": 1}
SUCCEEDED = {"yes": 1, "no": 0, "": -1}
CHOICES = {"kind": KINDS, "decision": DECISIONS, "succeeded": SUCCEEDED}
EPOCH = date(1970, 1, 1).toordinal()


def read_exposures(path: Path) -> LoggedExposures:
    """The exposures of a CSV file.

    Raises
    ------
    CsvUnreadableError, CsvTableError
        One sentence with row and column; nothing is taken from a file with a bad row.
    """
    table = _Table()
    for row, cells in read_csv(path, required=REQUIRED, allowed=(*COLUMNS, *LEFT_ALONE)):
        table.add(Path(path), row, cells)
    return table.exposures()


def write_exposures(path: Path, log: LoggedExposures, *, comma: bool = False) -> None:
    """Write exposures as CSV; `read_exposures` gives equal ones back, to six digits.

    Raises
    ------
    FileUnwritableError
    """
    write_csv(Path(path), COLUMNS, _rows(log), comma=comma)


class _Table:
    """Columns that grow row by row."""

    def __init__(self) -> None:
        self.days: list[int] = []
        self.names: dict[Dimension, list[str | None]] = {each: [] for each in Dimension}
        self.chosen: dict[str, list[int]] = {name: [] for name in CHOICES}
        self.ratings: list[str | None] = []
        self.faults: list[tuple[int, str, float]] = []
        self.numbers: dict[str, list[float]] = {name: [] for name in NUMBERS}

    def add(self, path: Path, row: int, cells: Mapping[str, str]) -> None:
        self._add_faults(path, row, cells.get("faults", ""))
        self.days.append(_day(path, row, cells["day"]))
        for dimension, names in self.names.items():
            names.append(cells.get(dimension.value) or None)
        for name, given in self.chosen.items():
            given.append(_choice(path, row, name, cells.get(name, "")))
        self.ratings.append(cells.get("rating") or None)
        for name, numbers in self.numbers.items():
            number = number_in(path, row, name, cells)
            numbers.append(math.nan if number is None else number)

    def _add_faults(self, path: Path, row: int, text: str) -> None:
        for part in filter(None, (each.strip() for each in text.split("|"))):
            label, _, size = part.partition(":")
            number = number_in(path, row, "faults", {"faults": size.strip()})
            self.faults.append(
                (len(self.days), label.strip(), math.nan if number is None else number)
            )

    def exposures(self) -> LoggedExposures:
        labels, codes = {}, {}
        for dimension, names in self.names.items():
            labels[dimension], codes[dimension] = coded(names)
        rating_labels, rating = coded(self.ratings)
        fault_labels, fault = coded([label for _, label, _ in self.faults])
        numbers: dict[str, Any] = {
            name: np.array(given, dtype=np.float32) for name, given in self.numbers.items()
        }
        chosen = {name: np.array(given, dtype=np.int8) for name, given in self.chosen.items()}
        return LoggedExposures(
            labels=labels,
            codes=codes,
            day=np.array(self.days, dtype=np.int32),
            rejected=chosen["decision"] == 1,
            retake=chosen["kind"] == 1,
            retake_succeeded=chosen["succeeded"],
            rating_labels=rating_labels,
            rating=rating.astype(np.int8),
            fault_labels=fault_labels,
            fault_row=np.array([row for row, _, _ in self.faults], dtype=np.int32),
            fault=fault.astype(np.int16),
            fault_size=np.array([size for _, _, size in self.faults], dtype=np.float32),
            **numbers,
        )


def _day(path: Path, row: int, text: str) -> int:
    try:
        return date.fromisoformat(text).toordinal() - EPOCH
    except ValueError as error:
        problem = f"'{text[:40]}' is no date; give it as YYYY-MM-DD"
        raise CsvTableError(path, f"row {row}, column day", problem) from error


def _choice(path: Path, row: int, name: str, text: str) -> int:
    found = CHOICES[name].get(text.lower())
    if found is None:
        allowed = ", ".join(word for word in CHOICES[name] if word)
        problem = f"'{text[:40]}' is not allowed; give one of {allowed}"
        raise CsvTableError(path, f"row {row}, column {name}", problem)
    return found


def _rows(log: LoggedExposures) -> Iterator[list[Cell]]:
    faults = _fault_cells(log)
    succeeded = {code: word for word, code in SUCCEEDED.items()}
    codes = {dimension: log.code(dimension) for dimension in Dimension}
    names = {dimension: log.names(dimension) for dimension in Dimension}
    numbers = [getattr(log, name) for name in NUMBERS]
    for row in range(len(log)):
        yield [
            date.fromordinal(int(log.day[row]) + EPOCH).isoformat(),
            *(_label(names[dimension], codes[dimension], row) for dimension in Dimension),
            "retake" if log.retake[row] else "exposure",
            succeeded[int(log.retake_succeeded[row])],
            _label(log.rating_labels, log.rating, row),
            faults.get(row),
            "rejected" if log.rejected[row] else "accepted",
            *(float(column[row]) for column in numbers),
        ]


def _label(labels: Any, codes: NDArray[Any], row: int) -> str | None:  # noqa: ANN401 - a sequence
    code = int(codes[row])
    return None if code == NOT_GIVEN else str(labels[code])


def _fault_cells(log: LoggedExposures) -> dict[int, str]:
    cells: dict[int, str] = {}
    for row, fault, size in zip(log.fault_row, log.fault, log.fault_size, strict=True):
        label = log.fault_labels[int(fault)]
        text = label if math.isnan(size) else f"{label}:{size:.6g}"
        cells[int(row)] = f"{cells[int(row)]}|{text}" if int(row) in cells else text
    return cells


__all__ = ["COLUMNS", "read_exposures", "write_exposures"]
