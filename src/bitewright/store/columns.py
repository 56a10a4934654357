"""The log in columns: read from a snapshot kept in the cache and the entries written after it.

A snapshot is a folder of plain arrays, never changed once it stands there. It names the last entry
it holds and that entry's digest, which seals all entries before it; a snapshot whose digest is not
the store's own is not used. It also names a sum over each of its files; one that differs, and the
columns are made afresh from the log. So it can be deleted at any time, and never has to be trusted.
"""

import json
import shutil
import zlib
from collections.abc import Iterator
from contextlib import suppress
from dataclasses import dataclass
from pathlib import Path
from typing import Any

import numpy as np
from numpy.typing import NDArray
from sqlalchemy import Connection

from bitewright.audit.exposure_columns import FAULT_COLUMNS, LABELLED, exposures_of
from bitewright.audit.logged_exposures import LoggedExposures
from bitewright.keeping.whole_files import whole_folder
from bitewright.log.entry import FIRST_DIGEST
from bitewright.store.column_building import NUMBER, STORED_COLUMNS, ColumnBuilding
from bitewright.store.entries import DamagedEntryError, digest_of, last_number_and_digest
from bitewright.store.location import columns_folder
from bitewright.store.opening import Store

COLUMNS_FORMAT = "bitewright.columns/2"
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
        The code of `bitewright.log.decisions`, -1 where not decided yet.
    exposures : LoggedExposures
        N rows; those not decided yet count as not rejected here.
    damaged : tuple of (int, int)
        First and last numbers of entries that are not as they were written; nothing of them counts.
    """

    number: NDArray[np.int64]
    decision: NDArray[np.int8]
    exposures: LoggedExposures
    damaged: tuple[tuple[int, int], ...] = ()

    @property
    def undecided(self) -> int:
        """How many exposures nobody has decided on yet."""
        return int((self.decision < 0).sum())

    def decided(self) -> LoggedExposures:
        """The exposures an audit may count.

        Raises
        ------
        DamagedEntryError
            If entries are damaged: figures without them would be wrong.
        """
        if self.damaged:
            raise DamagedEntryError(self.damaged[0][0])
        return self.exposures.where(self.decision >= 0)


@dataclass(frozen=True, slots=True, eq=False)
class _Snapshot:
    entries: int
    digest: str
    columns: dict[str, NDArray[Any]]
    labels: dict[str, list[str]]
    damaged: tuple[tuple[int, int], ...] = ()


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
    if pending > PENDING_BEFORE_SNAPSHOT and not snapshot.damaged:
        with suppress(OSError):  # the cache is a convenience
            _keep(folder, snapshot)
    return _as_columns(snapshot)


def _brought_on(
    snapshot: _Snapshot | None, connection: Connection, *, last: int, digest: str
) -> _Snapshot:
    building = ColumnBuilding()
    if snapshot is not None:
        building.start_from(snapshot.columns, snapshot.labels)
    building.read(
        connection,
        after=snapshot.entries if snapshot else 0,
        digest=snapshot.digest if snapshot else FIRST_DIGEST,
        up_to=last,
    )
    columns, labels = building.finished()
    return _Snapshot(last, digest, columns, labels, tuple(building.damaged))


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
    _check_sums(place, about["sums"])
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


def _files() -> Iterator[str]:
    """Files of a snapshot beside the one that tells of it."""
    yield from (f"{name}.npy" for name in STORED_COLUMNS)
    yield from (f"{name}.labels" for name in LABELLED)


def _check_sums(place: Path, sums: dict[str, int]) -> None:
    """Compare every file with the sum it had; a tenth of a second for a million exposures."""
    for name in _files():
        if _sum(place / name) != sums[name]:
            raise ColumnsDamagedError(place, name)


def _sum(file: Path) -> int:
    """CRC-32 over a file; it finds slips of a disk, not forgers."""
    return zlib.crc32(file.read_bytes())


class ColumnsDamagedError(ValueError):
    """A file of a snapshot is not as it was written."""

    def __init__(self, place: Path, name: str) -> None:
        self.place = place
        self.name = name
        super().__init__(name)


def _keep(folder: Path, snapshot: _Snapshot) -> None:
    """Write a snapshot beside the others, then let it take its name; older ones go."""
    target = folder / f"{snapshot.entries:012d}-{snapshot.digest[:16]}"
    with whole_folder(target) as part:
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
            "sums": {name: _sum(part / name) for name in _files()},
        }
        (part / ABOUT).write_text(json.dumps(about), encoding="utf-8")
    for other in folder.glob("*-*"):
        if other.name < target.name:
            shutil.rmtree(other, ignore_errors=True)


def _as_columns(snapshot: _Snapshot) -> LogColumns:
    columns = snapshot.columns
    return LogColumns(
        number=columns[NUMBER],
        decision=columns["decision"],
        exposures=exposures_of(columns, snapshot.labels),
        damaged=snapshot.damaged,
    )


def damaged_snapshots(store: Store) -> tuple[Path, ...]:
    """Snapshots of a store in the cache that cannot be used, and were not left by an older one."""
    found = []
    for place in sorted((columns_folder() / store.id).glob("*-*")):
        try:
            about = json.loads((place / ABOUT).read_text(encoding="utf-8"))
            if set(about["sums"]) == set(_files()):
                _loaded(place, about)
        except (OSError, ValueError, KeyError, TypeError, AttributeError):
            found.append(place)
    return tuple(found)


def remade_columns(store: Store) -> LogColumns:
    """The log in columns, with nothing taken from the cache and what was there removed."""
    shutil.rmtree(columns_folder() / store.id, ignore_errors=True)
    return log_columns(store)


__all__ = ["COLUMNS_FORMAT", "LogColumns", "damaged_snapshots", "log_columns", "remade_columns"]
