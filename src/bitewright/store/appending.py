"""Append entries: all of a batch or none, each key once, each exposure spoken of known."""

import json
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from itertools import islice

from sqlalchemy import ARRAY, ColumnElement, Connection, String, any_, func, literal, select
from sqlalchemy.exc import DBAPIError

from bitewright.errors import BitewrightError
from bitewright.log.entry import Act, Entry, body_text, says_the_same, sealed
from bitewright.store.entries import entry_from_row, last_number_and_digest
from bitewright.store.tables import ENTRY

BATCH = 5000
BULK = 500
"""Rows from which COPY is worth it. Our choice."""
SPOKEN_OF = ("retake_of", "retaken_as")
"""Fields that hold the key of another exposure."""
COLUMNS = tuple(column.name for column in ENTRY.columns)
COPY = f"COPY entry ({', '.join(COLUMNS)}) FROM STDIN"


class KeyTakenError(BitewrightError):
    """A key is in the log already, with another content."""

    def __init__(self, key: str, number: int) -> None:
        self.key = key
        super().__init__(
            f"The key '{key}' is that of entry {number}, which says something else: correct that "
            "entry with `bitewright log correct`, or give another key."
        )


class UnknownKeyError(BitewrightError):
    """An entry speaks of an exposure that is not in the log."""

    def __init__(self, key: str) -> None:
        self.key = key
        super().__init__(
            f"No exposure with the key '{key}' is in the log: record that one first, or leave the "
            "reference out."
        )


@dataclass(frozen=True, slots=True, kw_only=True)
class Refused:
    """An entry that could not be appended: its place in what was given, and why."""

    place: int
    error: BitewrightError


@dataclass(frozen=True, slots=True, kw_only=True)
class Appended:
    """What became of entries.

    Parameters
    ----------
    added, already_there : int
        How many were new, and how many had been written before under the same key.
    last_number : int
        Number of the last entry given, or of the last in the log.
    refused : tuple of Refused
        Those left out.
    """

    added: int
    already_there: int
    last_number: int
    refused: tuple[Refused, ...] = ()


def append(connection: Connection, entries: Iterable[Entry]) -> Appended:
    """Append entries inside a writing transaction; those refused are left out and told.

    The caller ends the transaction, or raises to keep none of them. Later entries and retakes
    come after the exposure that they speak of.
    """
    number, digest = last_number_and_digest(connection)
    batch_of = _Batches(number=number, digest=digest)
    source = iter(entries)
    while batch := list(islice(source, BATCH)):
        batch_of.write(connection, batch)
    return Appended(
        added=batch_of.number - number,
        already_there=batch_of.already_there,
        last_number=batch_of.last_given or batch_of.number,
        refused=tuple(batch_of.refused),
    )


class _Batches:
    """The end of the log while batches are appended to it."""

    def __init__(self, *, number: int, digest: str) -> None:
        self.number = number
        self.digest = digest
        self.place = 0
        self.last_given = 0
        self.already_there = 0
        self.refused: list[Refused] = []

    def write(self, connection: Connection, batch: Sequence[Entry]) -> None:
        """Append one batch."""
        known = _known(connection, batch)
        rows = []
        for entry in batch:
            place, self.place = self.place, self.place + 1
            try:
                row = self._row(entry, known)
            except (KeyTakenError, UnknownKeyError) as error:
                self.refused.append(Refused(place=place, error=error))
                continue
            if row is not None:
                rows.append(row)
        if rows:
            _insert(connection, rows)

    def _row(self, entry: Entry, known: dict[str, "_Known"]) -> dict[str, object] | None:
        there = known.get(entry.key)
        if there is not None:
            if not says_the_same(there.entry, entry):
                raise KeyTakenError(entry.key, there.number)
            self.already_there += 1
            self.last_given = there.number
            return None
        about = _exposure_number(entry.about, known)
        for name in SPOKEN_OF:
            _exposure_number(entry.body.get(name), known)
        self.number += 1
        self.last_given = self.number
        body = body_text(entry.body)
        self.digest = sealed(self.digest, entry, body)
        known[entry.key] = _Known(number=self.number, entry=entry)
        return {
            "number": self.number,
            "key": entry.key,
            "act": entry.act.value,
            "about": about,
            "written_at": entry.written_at,
            "written_by": entry.written_by,
            "why": entry.why,
            "body": body,
            "digest": self.digest,
        }


def is_among(connection: Connection, keys: set[str]) -> ColumnElement[bool]:
    """Whether a key is among many, which go over as one value: thousands would take far longer."""
    if connection.dialect.name == "sqlite":
        each = func.json_each(json.dumps(sorted(keys))).table_valued("value")
        return ENTRY.c.key.in_(select(each.c.value))
    return ENTRY.c.key == any_(literal(sorted(keys), ARRAY(String)))


def _insert(connection: Connection, rows: list[dict[str, object]]) -> None:
    """Rows into the table; many at once by PostgreSQL's COPY, which takes a third of the time."""
    if connection.dialect.name == "sqlite" or len(rows) < BULK:
        connection.execute(ENTRY.insert(), rows)
        return
    driver = connection.dialect.loaded_dbapi
    try:
        with connection.connection.cursor().copy(COPY) as copy:
            for row in rows:
                copy.write_row([row[name] for name in COLUMNS])
    except driver.Error as error:  # what SQLAlchemy does for every other statement
        raise DBAPIError.instance(COPY, None, error, driver.Error) from error


@dataclass(frozen=True, slots=True, kw_only=True)
class _Known:
    number: int
    entry: Entry


def _exposure_number(key: str | None, known: dict[str, _Known]) -> int | None:
    if key is None:
        return None
    found = known.get(key)
    if found is None or found.entry.act is not Act.EXPOSURE:
        raise UnknownKeyError(key)
    return found.number


def _known(connection: Connection, batch: Sequence[Entry]) -> dict[str, _Known]:
    """Entries of the log under any key that the batch names."""
    keys = {entry.key for entry in batch}
    keys |= {entry.about for entry in batch if entry.about is not None}
    for name in SPOKEN_OF:
        keys |= {entry.body[name] for entry in batch if entry.body.get(name)}
    other = ENTRY.alias()
    asked = (
        select(ENTRY, other.c.key.label("about_key"))
        .outerjoin(other, ENTRY.c.about == other.c.number)
        .where(is_among(connection, keys))
    )
    found = [entry_from_row(row) for row in connection.execute(asked).mappings()]
    return {each.entry.key: _Known(number=each.number, entry=each.entry) for each in found}


__all__ = [
    "BATCH",
    "SPOKEN_OF",
    "Appended",
    "KeyTakenError",
    "Refused",
    "UnknownKeyError",
    "append",
    "is_among",
]
