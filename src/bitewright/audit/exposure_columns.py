"""Exposures into columns, one after another: which columns there are follows from the log's fields.

Fields are as the log keeps them, by name as plain data.
"""

from collections.abc import Callable, Mapping, Sequence
from typing import Any

import numpy as np
from numpy.typing import NDArray

from bitewright.audit.counted_by import Dimension
from bitewright.audit.logged_exposures import NOT_GIVEN, LoggedExposures
from bitewright.log.days import day_number
from bitewright.log.decisions import DECISION_KINDS, REJECTING
from bitewright.log.fields import FIELDS, KINDS, Column, fields_with

Columns = dict[str, NDArray[Any]]
Labels = dict[str, list[str]]

KINDS_OF_COLUMN: Mapping[Column, type[np.generic]] = {
    Column.DAY: np.int32,
    Column.LABEL: np.int32,
    Column.RATING: np.int32,
    Column.CHOICE: np.int8,
    Column.FLAG: np.int8,
    Column.NUMBER: np.float32,
}
ROW_COLUMNS: Mapping[str, type[np.generic]] = {
    name: KINDS_OF_COLUMN[field.column]
    for name, field in FIELDS.items()
    if field.column is not None and field.column is not Column.FAULTS
}
"""Columns that hold one value an exposure."""
FAULT_COLUMNS: Mapping[str, type[np.generic]] = {
    "fault_row": np.int32,
    "fault": np.int16,
    "fault_size": np.float32,
}
LABELLED = (*fields_with(Column.LABEL), *fields_with(Column.RATING), "fault")
"""Columns that hold codes of labels."""
RETAKE = KINDS.index("retake")
DECISION_CODES = {name: kind.code for name, kind in DECISION_KINDS.items()}
NAN = float("nan")


class ExposureColumns:
    """Columns while exposures are added to them."""

    def __init__(self) -> None:
        self._done: dict[str, list[NDArray[Any]]] = {
            name: [] for name in (*ROW_COLUMNS, *FAULT_COLUMNS)
        }
        self._open: dict[str, list[Any]] = {name: [] for name in self._done}
        self._codes: dict[str, _Codes] = {name: _Codes() for name in LABELLED}
        self._holders = [(name, *self._holder(name)) for name in ROW_COLUMNS]
        self._rows = 0

    def start_from(self, columns: Columns, labels: Mapping[str, Sequence[str]]) -> None:
        """Go on from columns made earlier; they are copied only where they change."""
        for name, parts in self._done.items():
            parts.append(columns[name])
        for name, codes in self._codes.items():
            codes.update({label: code for code, label in enumerate(labels[name])})
        self._rows = len(columns["day"])

    def add(self, fields: Mapping[str, Any]) -> None:
        """One more exposure."""
        columns, get = self._open, fields.get
        for name, held, missing in self._holders:
            value = get(name)
            columns[name].append(missing if value is None else held(value))
        for fault in get("faults") or ():
            columns["fault_row"].append(self._rows)
            columns["fault"].append(self._codes["fault"][fault["fault"]])
            columns["fault_size"].append(fault.get("size", NAN))
        self._rows += 1

    def pack(self) -> None:
        """Put what was added lately into arrays; worth doing after every few thousand."""
        for name, values in self._open.items():
            if values:
                self._done[name].append(np.array(values, dtype=_kind(name)))
                values.clear()

    def finished(self, changes: Mapping[int, Mapping[str, Any]]) -> tuple[Columns, Labels]:
        """All columns, and the labels of those that hold codes.

        ``changes``: by row, fields that take the place of those added; None takes one away.
        """
        self.pack()
        columns: Columns = {}
        for name, parts in self._done.items():
            columns[name] = parts[0] if len(parts) == 1 else _joined(parts, _kind(name))
        for name, held, missing in self._holders:
            changed = {row: fields[name] for row, fields in changes.items() if name in fields}
            if changed:
                columns[name] = columns[name].copy()
                for row, value in changed.items():
                    columns[name][row] = missing if value is None else held(value)
        replaced = {
            row: fields["faults"] or () for row, fields in changes.items() if "faults" in fields
        }
        if replaced:
            self._replace_faults(columns, replaced)
        return columns, {name: list(codes) for name, codes in self._codes.items()}

    def _holder(self, name: str) -> tuple[Callable[[Any], Any], Any]:
        """What a column holds of a value, and what it holds where none is given."""
        field = FIELDS[name]
        if field.column is Column.DAY:
            return day_number, 0
        if field.column is Column.NUMBER:
            return float, NAN
        if field.column is Column.FLAG:
            return int, NOT_GIVEN
        if name == "decision":
            return DECISION_CODES.__getitem__, NOT_GIVEN
        if field.column is Column.CHOICE:
            return field.form.choices.index, NOT_GIVEN
        return self._codes[name].__getitem__, NOT_GIVEN

    def _replace_faults(
        self, columns: Columns, replaced: Mapping[int, Sequence[Mapping[str, Any]]]
    ) -> None:
        kept = ~np.isin(columns["fault_row"], np.fromiter(replaced, dtype=np.int64))
        new = [
            (row, self._codes["fault"][fault["fault"]], fault.get("size", NAN))
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


def exposures_of(columns: Columns, labels: Labels) -> LoggedExposures:
    """Columns (N,) and labels as audits read them; what nobody has decided on is not rejected.

    A retake of which nobody said so succeeded if it was accepted, and failed if it was rejected.
    """
    retake = columns["kind"] == RETAKE
    decision, said = columns["decision"], columns["succeeded"]
    succeeded = np.where(said >= 0, said, SUCCEEDED[decision])
    return LoggedExposures(
        labels={each: labels[each.value] for each in Dimension},
        codes={each: columns[each.value] for each in Dimension},
        day=columns["day"],
        rejected=np.isin(decision, REJECTING),
        retake=retake,
        retake_succeeded=np.where(retake, succeeded, NOT_GIVEN).astype(np.int8),
        rating_labels=tuple(labels["rating"]),
        rating=columns["rating"],
        fault_labels=tuple(labels["fault"]),
        fault_row=columns["fault_row"],
        fault=columns["fault"],
        fault_size=columns["fault_size"],
        numbers={name: columns[name] for name in fields_with(Column.NUMBER)},
    )


def _succeeded() -> NDArray[np.int8]:
    held = np.full(max(DECISION_CODES.values()) + 2, NOT_GIVEN, dtype=np.int8)
    for kind in DECISION_KINDS.values():
        held[kind.code] = int(kind.kept)
    return held


SUCCEEDED = _succeeded()
"""By a decision's code; none yet is the last, and so at -1."""


class _Codes(dict[str, int]):
    """The code of each label, the next number for one not met before."""

    def __missing__(self, label: str) -> int:
        self[label] = len(self)
        return self[label]


def _kind(name: str) -> type[np.generic]:
    return ROW_COLUMNS.get(name) or FAULT_COLUMNS[name]


def _joined(parts: list[NDArray[Any]], kind: type[np.generic]) -> NDArray[Any]:
    whole = np.concatenate(parts) if parts else np.empty(0, dtype=kind)
    parts.clear()
    return whole


__all__ = [
    "DECISION_CODES",
    "FAULT_COLUMNS",
    "LABELLED",
    "ROW_COLUMNS",
    "Columns",
    "ExposureColumns",
    "Labels",
    "exposures_of",
]
