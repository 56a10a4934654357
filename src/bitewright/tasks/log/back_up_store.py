"""Back a store up into one file, and make a store of it again."""

import json
import lzma
import zipfile
import zlib
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import Any

from bitewright import __version__
from bitewright.errors import BitewrightError
from bitewright.files.disk import opened_to_read, whole_file
from bitewright.files.entry_files import EntryFileHead, read_entry_lines, write_entry_lines
from bitewright.log.field_forms import CODE, DIGEST
from bitewright.store.attempts_moved import attempts_document
from bitewright.store.entries import entries_after, last_number_and_digest
from bitewright.store.kept_files import keep_file, kept_digests, kept_file, kept_for_entries
from bitewright.store.names import DamagedNameError, damaged_names, names
from bitewright.store.new_store import new_store_whole
from bitewright.store.opening import opened_store
from bitewright.tasks.log.keep_store import Moved, take_in
from bitewright.tasks.log.record_settings import (
    keep_settings_text,
    settings_file,
    settings_text,
)
from bitewright.tasks.log.store_place import store_place

BACKUP_FORMAT = "bitewright.backup/1"
WITH_ATTEMPTS = "bitewright.backup/2"
"""Of a backup that holds attempts at exercises too: programs that know none refuse it."""
ABOUT, ENTRIES, NAMES, FILMS = "backup.json", "entries.jsonl", "names.json", "films/"
ATTEMPTS = "attempts.json"
SETTINGS = "settings.toml"
"""The record's settings, where a practice settled any."""
MOST_TOLD_BYTES = 64 << 20
MOST_FILM_BYTES = 512 << 20
BROKEN = (
    *(zipfile.BadZipFile, zipfile.LargeZipFile, zlib.error, lzma.LZMAError, EOFError),
    *(LookupError, ValueError, TypeError, AttributeError, ArithmeticError, RuntimeError, OSError),
)
"""What reading a damaged archive may end in."""


class NotABackupError(BitewrightError):
    """A file is no backup, or not a whole one."""

    def __init__(self, path: Path, reason: str) -> None:
        self.path = path
        super().__init__(f"The file {path} is no whole backup ({reason}): give another one.")


def back_up_store(file: Path, store: str | None, *, without_names: bool = False) -> Moved:
    """Write entries, films and, unless told otherwise, names into one file, whole or not at all.

    Raises
    ------
    DamagedEntryError, DamagedNameError, DamagedAttemptsError, KeptFileGoneError
        If something is not as it was written: such a backup could not be restored.
    """
    location = store_place(store)
    with opened_store(location) as opened, opened.reading() as connection:
        last, digest = last_number_and_digest(connection)
        people = {} if without_names else _all_names(connection)
        head = EntryFileHead(entries=last, digest=digest)
        films = list(kept_digests(location))
        with (
            whole_file(file, with_names=bool(people)) as out,
            zipfile.ZipFile(out, "w", zipfile.ZIP_DEFLATED) as packed,
        ):
            with packed.open(ENTRIES, "w", force_zip64=True) as lines:
                write_entry_lines(lines, entries_after(connection, up_to=last), head)
            packed.writestr(NAMES, _json({"format": "bitewright.names/1", "names": people}))
            for each in films:
                packed.writestr(f"{FILMS}{each}", kept_file(location, each))
            attempts = attempts_document(connection)
            if attempts:
                packed.writestr(ATTEMPTS, _json(attempts))
            if settings_file(location).exists():
                packed.writestr(SETTINGS, settings_text(store))
            packed.writestr(ABOUT, _json(_about(head, len(films), bool(attempts))))
    return Moved(
        entries=last, added=0, films=len(films), digest=digest, file=file, store=str(location)
    )


def _all_names(connection: Any) -> dict[str, str]:  # noqa: ANN401  the store's own
    for code in damaged_names(connection):
        raise DamagedNameError(code)
    return names(connection)


def restore_store(file: Path, store: str | None) -> Moved:
    """Make an empty store what the backup holds: same entries, same seals, films and names.

    A store that was not there is built beside its place, so that nothing of a bad backup is left.

    Raises
    ------
    NotABackupError, StoreNotEmptyError, FileUnreadableError
    """
    location = store_place(store)
    with (
        _opened_backup(file) as packed,
        new_store_whole(location) as place,
        opened_store(place, make=True) as opened,
    ):
        about, people = _told(packed, ABOUT), _people(packed)
        if about["format"] not in {BACKUP_FORMAT, WITH_ATTEMPTS}:
            raise NotABackupError(file, f"its format is {str(about['format'])[:60]!r}")
        films = _films(packed)
        if len(films) != about["films"]:
            raise NotABackupError(file, f"{len(films)} films where {about['films']} were packed")
        settings = packed.read(SETTINGS) if SETTINGS in packed.namelist() else None
        with kept_for_entries(place, films, opened.names), packed.open(ENTRIES) as lines:
            for digest in films:
                if keep_file(place, packed.read(f"{FILMS}{digest}")) != digest:
                    raise NotABackupError(file, "a film in it is not what it was when packed")
            moved = take_in(
                opened,
                read_entry_lines(lines, file),
                shown=file,
                store=str(location),
                people=people,
                films=len(films),
                only_if_empty=True,
                attempts=_told(packed, ATTEMPTS) if about["format"] == WITH_ATTEMPTS else None,
            )
    if settings is not None:
        keep_settings_text(settings, settings_file(location), name=f"{file} ({SETTINGS})")
    return moved


@contextmanager
def _opened_backup(file: Path) -> Iterator[zipfile.ZipFile]:
    """The archive; whatever is wrong with it is one sentence."""
    with opened_to_read(file) as opened:
        try:
            with zipfile.ZipFile(opened) as packed:
                yield packed
        except BitewrightError:
            raise
        except BROKEN as error:
            said = " ".join(str(error).split())[:60]
            raise NotABackupError(file, said or type(error).__name__) from error


def _told(packed: zipfile.ZipFile, name: str) -> dict[str, Any]:
    """One of the archive's small documents."""
    if packed.getinfo(name).file_size > MOST_TOLD_BYTES:
        raise ValueError(name)
    document = json.loads(packed.read(name))
    if not isinstance(document, dict):
        raise TypeError(name)
    return document


def _people(packed: zipfile.ZipFile) -> dict[str, str]:
    people = _told(packed, NAMES)["names"]
    for code, name in people.items():
        if CODE.fullmatch(code) is None or not isinstance(name, str):
            raise ValueError(NAMES)
    return dict(people)


def _films(packed: zipfile.ZipFile) -> list[str]:
    """Digests of the films in it."""
    held = [info for info in packed.infolist() if info.filename.startswith(FILMS)]
    for info in held:
        digest = info.filename.removeprefix(FILMS)
        if DIGEST.fullmatch(digest) is None or info.file_size > MOST_FILM_BYTES:
            raise ValueError(info.filename)
    return [info.filename.removeprefix(FILMS) for info in held]


def _about(head: EntryFileHead, films: int, has_attempts: bool) -> dict[str, Any]:  # noqa: FBT001
    return {
        "format": WITH_ATTEMPTS if has_attempts else BACKUP_FORMAT,
        "version": __version__,
        "entries": head.entries,
        "digest": head.digest,
        "films": films,
    }


def _json(document: dict[str, Any]) -> str:
    return json.dumps(document, indent=2, ensure_ascii=False)


__all__ = ["NotABackupError", "back_up_store", "restore_store"]
