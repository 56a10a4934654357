"""Look after a store: check it, write its entries out, take entries in, back it up, restore it."""

import json
import tempfile
import zipfile
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from bitewright import __version__
from bitewright.errors import BitewrightError
from bitewright.files.disk import FileUnreadableError, whole_file
from bitewright.files.entry_files import EntryFileHead, read_entries, write_entries
from bitewright.log.entry import Entry, RecordedEntry
from bitewright.log.field_forms import DIGEST
from bitewright.store.appending import append
from bitewright.store.checking import StoreCheck, check_store
from bitewright.store.columns import log_columns
from bitewright.store.entries import entries_after, last_number_and_digest
from bitewright.store.kept_files import keep_file, kept_digests, kept_file
from bitewright.store.location import StoreLocation
from bitewright.store.names import names, set_name
from bitewright.store.opening import Store, opened_store
from bitewright.tasks.log.store_place import store_place
from bitewright.words.phrases import counted

BACKUP_FORMAT = "bitewright.backup/1"
CHECK_FORMAT = "bitewright.store-check/1"
MOVED_FORMAT = "bitewright.store-moved/1"
ABOUT, ENTRIES, NAMES, FILMS = "backup.json", "entries.jsonl", "names.json", "films/"


class NotABackupError(BitewrightError):
    """A file is no backup, or not a whole one."""

    def __init__(self, path: Path, reason: str) -> None:
        self.path = path
        super().__init__(f"The file {path} is no whole backup ({reason}): give another one.")


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


def look_over_store(store: str | None) -> tuple[StoreCheck, dict[str, Any]]:
    """Check a store; what was found, and the same as data for machines."""
    location = store_place(store)
    with opened_store(location) as opened:
        found = check_store(opened)
    document = {
        "format": CHECK_FORMAT,
        "store": str(location),
        "entries": found.entries,
        "exposures": found.exposures,
        "films": found.films,
        "digest": found.digest,
        "problems": list(found.problems),
    }
    return found, document


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
    with opened_store(location, make=True) as opened:
        return _take_in(opened, file, shown=file)


def back_up_store(file: Path, store: str | None, *, without_names: bool = False) -> Moved:
    """Write entries, films and, unless told otherwise, names into one file, whole or not at all."""
    location = store_place(store)
    with opened_store(location) as opened, tempfile.TemporaryDirectory() as folder:
        entries = Path(folder) / ENTRIES
        head = _write_all(opened, entries)
        with opened.reading() as connection:
            people = {} if without_names else names(connection)
        films = 0
        with whole_file(file) as out, zipfile.ZipFile(out, "w", zipfile.ZIP_DEFLATED) as packed:
            packed.write(entries, ENTRIES)
            packed.writestr(NAMES, _json({"format": "bitewright.names/1", "names": people}))
            for digest in kept_digests(location):
                packed.writestr(f"{FILMS}{digest}", kept_file(location, digest))
                films += 1
            packed.writestr(ABOUT, _json(_about(head, films)))
    return Moved(
        entries=head.entries,
        added=0,
        films=films,
        digest=head.digest,
        file=file,
        store=str(location),
    )


def restore_store(file: Path, store: str | None) -> Moved:
    """Make an empty store what the backup holds: same entries, same seals, films and names.

    Raises
    ------
    NotABackupError
    StoreNotEmptyError
    """
    location = store_place(store)
    try:
        with (
            zipfile.ZipFile(file) as packed,
            tempfile.TemporaryDirectory() as folder,
            opened_store(location, make=True) as opened,
        ):
            _refuse_full(opened)
            about = json.loads(packed.read(ABOUT))
            if about["format"] != BACKUP_FORMAT:
                raise NotABackupError(file, f"its format is {about['format']}")
            films = _unpack_films(packed, location, file)
            if films != about["films"]:
                raise NotABackupError(file, f"{films} films where {about['films']} were packed")
            packed.extract(ENTRIES, folder)
            people = json.loads(packed.read(NAMES))["names"]
            return _take_in(
                opened, Path(folder) / ENTRIES, shown=file, people=people, films=films, empty=True
            )
    except FileNotFoundError as error:
        raise FileUnreadableError(file, "there is nothing at that path") from error
    except (zipfile.BadZipFile, KeyError, ValueError, TypeError, OSError) as error:
        raise NotABackupError(file, str(error) or type(error).__name__) from error


def _write_all(opened: Store, file: Path, *, decimal_comma: bool = False) -> EntryFileHead:
    """Entries up to the last one now; what is appended meanwhile is left for the next time."""
    with opened.reading() as connection:
        last, digest = last_number_and_digest(connection)
        head = EntryFileHead(entries=last, digest=digest)
        entries = entries_after(connection, up_to=last)
        write_entries(file, entries, head, decimal_comma=decimal_comma)
    return head


def _take_in(
    opened: Store,
    file: Path,
    *,
    shown: Path,
    people: dict[str, str] | None = None,
    films: int = 0,
    empty: bool = False,
) -> Moved:
    with opened.writing() as connection:
        if empty and last_number_and_digest(connection)[0]:
            raise StoreNotEmptyError(opened.location, last_number_and_digest(connection)[0])
        result = append(connection, _entries_of(read_entries(file)))
        if result.refused:
            raise result.refused[0].error
        for code, name in (people or {}).items():
            set_name(connection, code, name)
        last, digest = last_number_and_digest(connection)
    log_columns(opened)
    return Moved(
        entries=last,
        added=result.added,
        films=films,
        digest=digest,
        file=shown,
        store=str(opened.location),
    )


def _entries_of(recorded: Iterator[RecordedEntry]) -> Iterator[Entry]:
    for each in recorded:
        yield each.entry


def _refuse_full(opened: Store) -> None:
    with opened.reading() as connection:
        last, _ = last_number_and_digest(connection)
    if last:
        raise StoreNotEmptyError(opened.location, last)


def _unpack_films(packed: zipfile.ZipFile, location: StoreLocation, file: Path) -> int:
    held = [name for name in packed.namelist() if name.startswith(FILMS)]
    for name in held:
        digest = name.removeprefix(FILMS)
        if DIGEST.fullmatch(digest) is None or keep_file(location, packed.read(name)) != digest:
            raise NotABackupError(file, "a film in it has another content than when it was packed")
    return len(held)


def _about(head: EntryFileHead, films: int) -> dict[str, Any]:
    return {
        "format": BACKUP_FORMAT,
        "version": __version__,
        "entries": head.entries,
        "digest": head.digest,
        "films": films,
    }


def _json(document: dict[str, Any]) -> str:
    return json.dumps(document, indent=2, ensure_ascii=False)


__all__ = [
    "Moved",
    "NotABackupError",
    "StoreNotEmptyError",
    "back_up_store",
    "export_store",
    "import_store",
    "look_over_store",
    "restore_store",
]
