"""Entries into columns: exposures appended row by row, later entries applied to their rows."""

import json
from collections.abc import Mapping
from typing import Any

import numpy as np
from numpy.typing import NDArray
from sqlalchemy import Connection, select

from bitewright.log.entry import Act
from bitewright.log.fields import DECISIONS, KINDS, day_number
from bitewright.store.tables import ENTRY

DIMENSION_COLUMNS = (
    *("operator", "supervisor", "room", "receptor", "holder", "view", "level", "reason", "case"),
)
FLOAT_COLUMNS = (
    *("contact_error_deg", "contact_error_sd_deg", "vertical_error_deg", "vertical_error_sd_deg"),
    *("forward_mm", "forward_sd_mm", "height_mm", "height_sd_mm"),
)
LABELLED = (*DIMENSION_COLUMNS, "rating", "fault")
ROW_COLUMNS: Mapping[str, type[np.generic]] = {
    "number": np.int64,
    **dict.fromkeys(DIMENSION_COLUMNS, np.int32),
    "day": np.int32,
    "kind": np.int8,
    "succeeded": np.int8,
    "decision": np.int8,
    "rating": np.int8,
    **dict.fromkeys(FLOAT_COLUMNS, np.float32),
}
FAULT_COLUMNS: Mapping[str, type[np.generic]] = {
    "fault_row": np.int32,
    "fault": np.int16,
    "fault_size": np.float32,
}
CHUNK = 20_000
NOT_GIVEN = -1
NAN = float("nan")
KIND_CODES = {name: code for code, name in enumerate(KINDS)}
DECISION_CODES = {name: code for code, name in enumerate(DECISIONS)}
Columns = dict[str, NDArray[Any]]


class ColumnBuilding:
    """Columns while entries are added to them."""

    def __init__(self) -> None:
        self._done: dict[str, list[NDArray[Any]]] = {
            name: [] for name in (*ROW_COLUMNS, *FAULT_COLUMNS)
        }
        self._open: dict[str, list[Any]] = {name: [] for name in self._done}
        self._codes: dict[str, dict[str, int]] = {name: {} for name in LABELLED}
        self._rows = 0
        self._changes: dict[int, dict[str, Any]] = {}

    def start_from(self, columns: Columns, labels: Mapping[str, list[str]]) -> None:
        """Go on from columns made earlier; they are copied only where they change."""
        for name, column in columns.items():
            self._done[name].append(column)
        self._codes = {
            name: {label: code for code, label in enumerate(labels[name])} for name in LABELLED
        }
        self._rows = len(columns["number"])

    def read(self, connection: Connection, *, after: int, up_to: int) -> None:
        """Add the entries of these numbers."""
        while after < up_to:
            asked = select(ENTRY.c.number, ENTRY.c.act, ENTRY.c.about, ENTRY.c.body)
            wanted = (ENTRY.c.number > after) & (ENTRY.c.number <= min(after + CHUNK, up_to))
            for number, act, about, body in connection.execute(asked.where(wanted)).all():
                fields = json.loads(body)
                if act == Act.EXPOSURE.value:
                    self._append(number, fields)
                else:
                    self._changes.setdefault(about, {}).update(fields)
            self._close_chunk()
            after += CHUNK

    def finished(self) -> tuple[Columns, dict[str, list[str]]]:
        """All columns, and the labels of those that hold codes."""
        columns: Columns = {}
        for name in list(self._done):
            parts = self._done.pop(name)
            kind = ROW_COLUMNS.get(name) or FAULT_COLUMNS[name]
            columns[name] = parts[0] if len(parts) == 1 else _joined(parts, kind)
        if self._changes:
            self._apply(columns)
        return columns, {name: list(codes) for name, codes in self._codes.items()}

    def _append(self, number: int, fields: Mapping[str, Any]) -> None:
        columns = self._open
        columns["number"].append(number)
        for name, value in _plain(fields, self._codes).items():
            columns[name].append(value)
        for fault in fields.get("faults") or ():
            columns["fault_row"].append(self._rows)
            columns["fault"].append(_code(self._codes["fault"], fault["fault"]))
            columns["fault_size"].append(fault.get("size", NAN))
        self._rows += 1

    def _close_chunk(self) -> None:
        for name, values in self._open.items():
            if values:
                kind = ROW_COLUMNS.get(name) or FAULT_COLUMNS[name]
                self._done[name].append(np.array(values, dtype=kind))
                values.clear()

    def _apply(self, columns: Columns) -> None:
        """Put later entries' fields into their rows, on copies of the columns that change."""
        numbers = np.fromiter(self._changes, dtype=np.int64)
        rows = np.searchsorted(columns["number"], numbers)
        own: set[str] = set()
        for row, changes in zip(rows.tolist(), self._changes.values(), strict=True):
            every = _plain(changes, self._codes)
            for name in changes:
                if name in every:
                    if name not in own:
                        columns[name] = columns[name].copy()
                        own.add(name)
                    columns[name][row] = every[name]
        replaced = {
            row: changes["faults"] or ()
            for row, changes in zip(rows.tolist(), self._changes.values(), strict=True)
            if "faults" in changes
        }
        if replaced:
            self._replace_faults(columns, replaced)

    def _replace_faults(self, columns: Columns, replaced: Mapping[int, Any]) -> None:
        kept = ~np.isin(columns["fault_row"], np.fromiter(replaced, dtype=np.int64))
        new = [
            (row, _code(self._codes["fault"], fault["fault"]), fault.get("size", NAN))
            for row, faults in replaced.items()
            for fault in faults
        ]
        added = list(zip(*new, strict=True)) if new else [(), (), ()]
        joined = {
            name: np.concatenate([columns[name][kept], np.array(values, dtype=kind)])
            for (name, kind), values in zip(FAULT_COLUMNS.items(), added, strict=True)
        }
        order = np.argsort(joined["fault_row"], kind="stable")
        columns.update({name: column[order] for name, column in joined.items()})


def _plain(fields: Mapping[str, Any], codes: Mapping[str, dict[str, int]]) -> dict[str, Any]:
    """An exposure's values as its columns hold them, all but number and faults."""
    get = fields.get
    row: dict[str, Any] = {}
    for name in DIMENSION_COLUMNS:
        label = get(name)
        row[name] = NOT_GIVEN if label is None else _code(codes[name], label)
    day, rating, succeeded = get("day"), get("rating"), get("succeeded")
    row["day"] = 0 if day is None else day_number(day)
    row["kind"] = KIND_CODES.get(get("kind", ""), 0)
    row["succeeded"] = NOT_GIVEN if succeeded is None else int(succeeded)
    row["decision"] = DECISION_CODES.get(get("decision", ""), NOT_GIVEN)
    row["rating"] = NOT_GIVEN if rating is None else _code(codes["rating"], rating)
    for name in FLOAT_COLUMNS:
        value = get(name)
        row[name] = NAN if value is None else value
    return row


def _code(codes: dict[str, int], label: str) -> int:
    found = codes.get(label)
    if found is None:
        found = codes[label] = len(codes)
    return found


def _joined(parts: list[NDArray[Any]], kind: type[np.generic]) -> NDArray[Any]:
    whole = np.concatenate(parts) if parts else np.empty(0, dtype=kind)
    parts.clear()
    return whole


__all__ = [
    "DIMENSION_COLUMNS",
    "FAULT_COLUMNS",
    "FLOAT_COLUMNS",
    "LABELLED",
    "ROW_COLUMNS",
    "ColumnBuilding",
]
