"""Look after a store: check it, write its entries out, take entries in."""

import os
from collections.abc import Iterable, Iterator, Mapping
from contextlib import contextmanager
from dataclasses import dataclass, replace
from pathlib import Path
from typing import Any

from bitewright.errors import BitewrightError
from bitewright.files.entry_files import EntryFileHead, read_entries, write_entries
from bitewright.log.entry import RecordedEntry
from bitewright.store.appending import append
from bitewright.store.attempts_moved import take_attempts_in
from bitewright.store.checking import StoreCheck, check_store
from bitewright.store.columns import log_columns, remade_columns
from bitewright.store.entries import entries_after, last_number_and_digest
from bitewright.store.failures import StoreDamagedError, StoreUnreachableError
from bitewright.store.location import StoreLocation
from bitewright.store.names import set_name
from bitewright.store.new_store import new_store_whole
from bitewright.store.opening import Store, open_store, opened_as_it_lies, opened_store
from bitewright.tasks.log.store_place import store_place
from bitewright.words.phrases import counted

CHECK_FORMAT = "bitewright.store-check/1"
MOVED_FORMAT = "bitewright.store-moved/1"


class StoreNotEmptyError(BitewrightError):
    """A backup is restored only into an empty store."""

    def __init__(self, where: object, entries: int) -> None:
        super().__init__(
            f"The store {where} already holds {counted(entries, 'entry', 'entries')}, and a backup "
            "is restored only into an empty one: name a new place with --store."
        )


@dataclass(frozen=True, slots=True, kw_only=True)
class Moved:
    """What was written out or taken in."""

    entries: int
    added: int
    films: int
    digest: str
    file: Path
    store: str

    def document(self) -> dict[str, Any]:
        """As data for machines."""
        return {
            "format": MOVED_FORMAT,
            "entries": self.entries,
            "added": self.added,
            "films": self.films,
            "digest": self.digest,
            "file": str(self.file),
            "store": self.store,
        }


def look_over_store(
    store: str | None, *, rebuild: bool = False
) -> tuple[StoreCheck, dict[str, Any]]:
    """Check a store; what was found, and the same as data for machines.

    With ``rebuild`` the columns for audits are made afresh from the entries first.
    """
    location = store_place(store)
    with opened_for_a_check(location) as (opened, refusal):
        remade = rebuild and bool(opened.id)
        if remade:
            remade_columns(opened)
        found = check_store(opened)
    if refusal is not None:
        found = replace(found, problems=(str(refusal), *found.problems))
    document = {
        "format": CHECK_FORMAT,
        "store": str(location),
        "entries": found.entries,
        "exposures": found.exposures,
        "films": found.films,
        "digest": found.digest,
        "sound": found.sound,
        "damaged": [each.document() for each in found.damaged],
        "problems": list(found.problems),
        "remade": remade,
    }
    return found, document


@contextmanager
def opened_for_a_check(
    location: StoreLocation,
) -> Iterator[tuple[Store, BitewrightError | None]]:
    """A store, as it lies if it is too damaged to be opened, with why it could not be."""
    try:
        store, refusal = open_store(location), None
    except (StoreDamagedError, StoreUnreachableError) as error:
        if location.file is None or not os.path.isfile(location.file):  # noqa: PTH113 - no error
            raise
        with opened_as_it_lies(location) as lying:
            yield lying, error
        return
    try:
        yield store, refusal
    finally:
        store.close()


def export_store(file: Path, store: str | None, *, decimal_comma: bool = False) -> Moved:
    """Write all entries to a file by its ending: .jsonl, .csv or .parquet. Names stay behind."""
    location = store_place(store)
    with opened_store(location) as opened:
        head = _write_all(opened, file, decimal_comma=decimal_comma)
    return Moved(
        entries=head.entries,
        added=0,
        films=0,
        digest=head.digest,
        file=file,
        store=str(location),
    )


def import_store(file: Path, store: str | None) -> Moved:
    """Take in the entries of an export, all or none; those there already are known by their key."""
    location = store_place(store)
    with new_store_whole(location) as place, opened_store(place, make=True) as opened:
        return take_in(opened, read_entries(file), shown=file, store=str(location))


def refuse_full(opened: Store, store: str) -> None:
    """Refuse a store that holds entries, which is called by where it will be."""
    with opened.reading() as connection:
        there, _ = last_number_and_digest(connection)
    if there:
        raise StoreNotEmptyError(store, there)


def _write_all(opened: Store, file: Path, *, decimal_comma: bool = False) -> EntryFileHead:
    """Entries up to the last one now; what is appended meanwhile is left for the next time."""
    with opened.reading() as connection:
        last, digest = last_number_and_digest(connection)
        head = EntryFileHead(entries=last, digest=digest)
        entries = entries_after(connection, up_to=last)
        write_entries(file, entries, head, decimal_comma=decimal_comma)
    return head


def take_in(
    opened: Store,
    entries: Iterable[RecordedEntry],
    *,
    shown: Path,
    store: str,
    people: Mapping[str, str] | None = None,
    films: int = 0,
    only_if_empty: bool = False,
    attempts: Mapping[str, Any] | None = None,
) -> Moved:
    """Append entries that were written out, all or none, names, and a backup's attempts.

    Raises
    ------
    StoreNotEmptyError
        If it should be empty and is not.
    BitewrightError
        If one of them is refused.
    """
    with opened.writing() as connection:
        if only_if_empty:
            refuse_full(opened, store)
        result = append(connection, (each.entry for each in entries))
        if result.refused:
            raise result.refused[0].error
        for code, name in (people or {}).items():
            set_name(connection, code, name)
        if attempts:
            take_attempts_in(connection, attempts)
        last, digest = last_number_and_digest(connection)
        opened.check_room()
    opened.settle()
    log_columns(opened)
    return Moved(
        entries=last, added=result.added, films=films, digest=digest, file=shown, store=store
    )


__all__ = [
    "Moved",
    "StoreNotEmptyError",
    "export_store",
    "import_store",
    "look_over_store",
    "opened_for_a_check",
    "refuse_full",
    "take_in",
]
