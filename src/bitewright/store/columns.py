"""The log in columns: read from a snapshot kept in the cache and the entries written after it.

A snapshot is a folder of plain arrays, never changed once it stands there. It names the last entry
it holds and that entry's digest, which seals all entries before it; a snapshot whose digest is not
the store's own is not used. So it can be deleted at any time, and never has to be trusted.
"""

import json
import shutil
from contextlib import suppress
from dataclasses import dataclass
from pathlib import Path
from typing import Any
from uuid import uuid4

import numpy as np
from numpy.typing import NDArray
from sqlalchemy import Connection

from bitewright.audit.exposure_columns import FAULT_COLUMNS, LABELLED, exposures_of
from bitewright.audit.logged_exposures import LoggedExposures
from bitewright.store.column_building import NUMBER, STORED_COLUMNS, ColumnBuilding
from bitewright.store.entries import digest_of, last_number_and_digest
from bitewright.store.location import columns_folder
from bitewright.store.opening import Store

COLUMNS_FORMAT = "bitewright.columns/1"
PENDING_BEFORE_SNAPSHOT = 20_000
"""Entries after a snapshot, at which a new one is worth writing. Our choice."""
ABOUT = "columns.json"


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class LogColumns:
    """Exposures as they stand, with what the log knows beyond the audit's columns.

    Parameters
    ----------
    number : (N,) int64 array
        Number of each exposure's first entry; rising.
    decision : (N,) int8 array
        0 accepted, 1 rejected, -1 not decided yet.
    exposures : LoggedExposures
        N rows; those not decided yet count as not rejected here.
    """

    number: NDArray[np.int64]
    decision: NDArray[np.int8]
    exposures: LoggedExposures

    @property
    def undecided(self) -> int:
        """How many exposures nobody has decided on yet."""
        return int((self.decision < 0).sum())

    def decided(self) -> LoggedExposures:
        """The exposures an audit may count."""
        return self.exposures.where(self.decision >= 0)


@dataclass(frozen=True, slots=True, eq=False)
class _Snapshot:
    entries: int
    digest: str
    columns: dict[str, NDArray[Any]]
    labels: dict[str, list[str]]


def log_columns(store: Store) -> LogColumns:
    """The log in columns, as it stands now.

    A new snapshot is written where many entries have come since the last one; where the cache
    cannot be written to, nothing is kept and the answer is the same.
    """
    folder = columns_folder() / store.id
    with store.reading() as connection:
        last, digest = last_number_and_digest(connection)
        snapshot = _newest_sound(folder, connection, last)
        pending = last - (snapshot.entries if snapshot else 0)
        if pending or snapshot is None:
            snapshot = _brought_on(snapshot, connection, last=last, digest=digest)
    if pending > PENDING_BEFORE_SNAPSHOT:
        with suppress(OSError):  # the cache is a convenience
            _keep(folder, snapshot)
    return _as_columns(snapshot)


def _brought_on(
    snapshot: _Snapshot | None, connection: Connection, *, last: int, digest: str
) -> _Snapshot:
    building = ColumnBuilding()
    if snapshot is not None:
        building.start_from(snapshot.columns, snapshot.labels)
    building.read(connection, after=snapshot.entries if snapshot else 0, up_to=last)
    columns, labels = building.finished()
    return _Snapshot(last, digest, columns, labels)


def _newest_sound(folder: Path, connection: Connection, last: int) -> _Snapshot | None:
    """The snapshot with most entries whose digest the store confirms."""
    for place in sorted(folder.glob("*-*"), reverse=True):
        try:
            about = json.loads((place / ABOUT).read_text(encoding="utf-8"))
            if about["format"] != COLUMNS_FORMAT or about["entries"] > last:
                continue
            if digest_of(connection, about["entries"]) == about["digest"]:
                return _loaded(place, about)
        except (OSError, ValueError, KeyError, TypeError):  # half gone, or of another time
            continue
    return None


def _loaded(place: Path, about: dict[str, Any]) -> _Snapshot:
    columns = {
        name: np.asarray(np.load(place / f"{name}.npy", mmap_mode="r", allow_pickle=False))
        for name in STORED_COLUMNS
    }
    if any(len(columns[name]) != about["rows"] for name in columns.keys() - FAULT_COLUMNS.keys()):
        raise ValueError(place)
    labels = {}
    for name in LABELLED:
        text = (place / f"{name}.labels").read_text(encoding="utf-8")
        labels[name] = text.split("\n")[:-1]
    return _Snapshot(about["entries"], about["digest"], columns, labels)


def _keep(folder: Path, snapshot: _Snapshot) -> None:
    """Write a snapshot beside the others, then let it take its name; older ones go."""
    part = folder / f".{uuid4().hex}.part"
    part.mkdir(parents=True)
    try:
        for name, column in snapshot.columns.items():
            np.save(part / f"{name}.npy", column, allow_pickle=False)
        for name, labels in snapshot.labels.items():
            text = "".join(f"{label}\n" for label in labels)
            (part / f"{name}.labels").write_text(text, encoding="utf-8", newline="\n")
        about = {
            "format": COLUMNS_FORMAT,
            "entries": snapshot.entries,
            "digest": snapshot.digest,
            "rows": len(snapshot.columns[NUMBER]),
        }
        (part / ABOUT).write_text(json.dumps(about), encoding="utf-8")
        target = folder / f"{snapshot.entries:012d}-{snapshot.digest[:16]}"
        if not target.exists():
            part.rename(target)
        for other in folder.glob("*-*"):
            if other.name < target.name:
                shutil.rmtree(other, ignore_errors=True)
    finally:
        shutil.rmtree(part, ignore_errors=True)


def _as_columns(snapshot: _Snapshot) -> LogColumns:
    columns = snapshot.columns
    return LogColumns(
        number=columns[NUMBER],
        decision=columns["decision"],
        exposures=exposures_of(columns, snapshot.labels),
    )


def forget_columns(store_id: str) -> None:
    """Remove what is cached of a store."""
    shutil.rmtree(columns_folder() / store_id, ignore_errors=True)


__all__ = ["COLUMNS_FORMAT", "LogColumns", "forget_columns", "log_columns"]
