"""Entries into columns: exposures added row by row, later entries applied to their rows."""

from collections.abc import Mapping
from typing import Any

import numpy as np
from sqlalchemy import Connection

from bitewright.audit.exposure_columns import (
    FAULT_COLUMNS,
    ROW_COLUMNS,
    Columns,
    ExposureColumns,
    Labels,
)
from bitewright.log.entry import Act
from bitewright.store.sealed_rows import CONTENT_PROVEN, sealed_rows

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
        self.damaged: list[tuple[int, int]] = []
        """First and last numbers of entries that are not as they were written."""

    def start_from(self, columns: Columns, labels: Mapping[str, list[str]]) -> None:
        """Go on from columns made earlier; they are copied only where they change."""
        self._exposures.start_from(columns, labels)
        self._numbers = columns[NUMBER]

    def read(self, connection: Connection, *, after: int, digest: str, up_to: int) -> None:
        """Add the entries after a number, whose digest is given; damaged ones are only noted."""
        numbers: list[int] = []
        for row in sealed_rows(connection, after=after, digest=digest, up_to=up_to):
            if row.entry is None or row.soundness not in CONTENT_PROVEN:
                self.damaged.append((row.first, row.last))
            elif row.entry.act is Act.EXPOSURE:
                self._exposures.add(row.entry.body)
                numbers.append(row.first)
            elif row.about is not None:
                self._changes.setdefault(row.about, {}).update(row.entry.body)
            if len(numbers) == CHUNK:
                numbers = self._packed(numbers)
        self._packed(numbers)

    def _packed(self, numbers: list[int]) -> list[int]:
        self._exposures.pack()
        self._numbers = np.concatenate([self._numbers, np.array(numbers, dtype=np.int64)])
        return []

    def finished(self) -> tuple[Columns, Labels]:
        """All columns, and the labels of those that hold codes."""
        there = self._changes
        if self.damaged:  # changes of an exposure that cannot be read have nothing to change
            known = set(self._numbers.tolist())
            there = {about: changes for about, changes in there.items() if about in known}
        rows = np.searchsorted(self._numbers, np.fromiter(there, dtype=np.int64))
        changes = dict(zip(rows.tolist(), there.values(), strict=True))
        columns, labels = self._exposures.finished(changes)
        return {NUMBER: self._numbers, **columns}, labels


__all__ = ["NUMBER", "STORED_COLUMNS", "ColumnBuilding"]
