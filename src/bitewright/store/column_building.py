"""Entries into columns: exposures added row by row, later entries applied to their rows."""

import json
from collections.abc import Mapping
from typing import Any

import numpy as np
from sqlalchemy import Connection, select

from bitewright.audit.exposure_columns import (
    FAULT_COLUMNS,
    ROW_COLUMNS,
    Columns,
    ExposureColumns,
    Labels,
)
from bitewright.log.entry import Act
from bitewright.store.tables import ENTRY

NUMBER = "number"
"""Column of each exposure's number in the log."""
STORED_COLUMNS: Mapping[str, type[np.generic]] = {NUMBER: np.int64, **ROW_COLUMNS, **FAULT_COLUMNS}
CHUNK = 20_000


class ColumnBuilding:
    """Columns while entries are added to them."""

    def __init__(self) -> None:
        self._exposures = ExposureColumns()
        self._numbers = np.empty(0, dtype=np.int64)
        self._changes: dict[int, dict[str, Any]] = {}

    def start_from(self, columns: Columns, labels: Mapping[str, list[str]]) -> None:
        """Go on from columns made earlier; they are copied only where they change."""
        self._exposures.start_from(columns, labels)
        self._numbers = columns[NUMBER]

    def read(self, connection: Connection, *, after: int, up_to: int) -> None:
        """Add the entries of these numbers."""
        while after < up_to:
            asked = select(ENTRY.c.number, ENTRY.c.act, ENTRY.c.about, ENTRY.c.body)
            wanted = (ENTRY.c.number > after) & (ENTRY.c.number <= min(after + CHUNK, up_to))
            numbers: list[int] = []
            for number, act, about, body in connection.execute(asked.where(wanted)).all():
                fields = json.loads(body)
                if act == Act.EXPOSURE.value:
                    self._exposures.add(fields)
                    numbers.append(number)
                else:
                    self._changes.setdefault(about, {}).update(fields)
            self._exposures.pack()
            self._numbers = np.concatenate([self._numbers, np.array(numbers, dtype=np.int64)])
            after += CHUNK

    def finished(self) -> tuple[Columns, Labels]:
        """All columns, and the labels of those that hold codes."""
        rows = np.searchsorted(self._numbers, np.fromiter(self._changes, dtype=np.int64))
        changes = dict(zip(rows.tolist(), self._changes.values(), strict=True))
        columns, labels = self._exposures.finished(changes)
        return {NUMBER: self._numbers, **columns}, labels


__all__ = ["NUMBER", "STORED_COLUMNS", "ColumnBuilding"]
