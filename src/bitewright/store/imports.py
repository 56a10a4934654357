"""Imports: which there are, which rows came with one before, and taking one back."""

import json
import re
from collections import Counter
from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from tempfile import TemporaryFile
from typing import IO

from sqlalchemy import Connection, Text, cast, delete, func, or_, select, text

from bitewright.errors import BitewrightError, quoted
from bitewright.log.entry import Act, Entry
from bitewright.log.imports import BEGINS, import_of
from bitewright.store.appending import BATCH, SPOKEN_OF, append, is_among
from bitewright.store.entries import entries_after
from bitewright.store.tables import ENTRY, PERSON

MADE_CODE = re.compile(r'"((?:staff|case|room)-\d+)"')
FILES = ("film", "assessment")


class NoSuchImportError(BitewrightError):
    """No import has that name."""

    def __init__(self, given: str) -> None:
        self.given = given
        super().__init__(
            f"There is no import {quoted(given)}: `bitewright log imports` lists those there are."
        )


class StillSpokenOfError(BitewrightError):
    """Another entry speaks of an exposure of an import that should be taken back."""

    def __init__(self, number: int, problem: str) -> None:
        self.number = number
        super().__init__(
            f"The import was not taken back, because entry {number} {problem}: correct that with "
            "`bitewright log correct` first, or keep the import."
        )


@dataclass(frozen=True, slots=True, kw_only=True)
class ImportRecord:
    """An import in the log.

    Parameters
    ----------
    id, sheet : str
    exposures : int
    first, last : int
        Numbers of its first and last entry.
    written_at : str
    """

    id: str
    sheet: str
    exposures: int
    first: int
    last: int
    written_at: str


@dataclass(frozen=True, slots=True, kw_only=True)
class TakenBack:
    """What went with an import: exposures, later entries about them, names nobody else has."""

    exposures: int
    later: int
    names: int


def imports(connection: Connection) -> list[ImportRecord]:
    """All imports, oldest first."""
    number = ENTRY.c.number
    asked = (
        select(
            ENTRY.c.why,
            func.count(),
            func.min(number),
            func.max(number),
            func.min(ENTRY.c.written_at),
        )
        .where(ENTRY.c.act == Act.EXPOSURE.value, ENTRY.c.why.startswith(BEGINS))
        .group_by(ENTRY.c.why)
        .order_by(func.min(number))
    )
    found = []
    for why, count, first, last, written_at in connection.execute(asked):
        name = import_of(why)
        if name is not None:
            found.append(
                ImportRecord(
                    id=name.id,
                    sheet=name.sheet,
                    exposures=int(count),
                    first=int(first),
                    last=int(last),
                    written_at=str(written_at),
                )
            )
    return found


def imports_of_keys(connection: Connection, keys: Iterable[str]) -> Counter[str]:
    """How many of the keys came with each import; those that are not in the log do not count."""
    counted: Counter[str] = Counter()
    batch: set[str] = set()
    for key in keys:
        batch.add(key)
        if len(batch) == BATCH:
            counted += _counted(connection, batch)
            batch = set()
    return counted + _counted(connection, batch) if batch else counted


def _counted(connection: Connection, keys: set[str]) -> Counter[str]:
    asked = (
        select(ENTRY.c.why, func.count()).where(is_among(connection, keys)).group_by(ENTRY.c.why)
    )
    counted: Counter[str] = Counter()
    for why, count in connection.execute(asked):
        name = import_of(why)
        counted[name.id if name else ""] += int(count)
    return counted


def take_back(connection: Connection, given: str) -> TakenBack:
    """Take an import out of the log, inside a writing transaction, and seal what came after anew.

    Corrections, decisions and links about its exposures go with it, and so do names under codes
    made for it that no other entry has. Entries before it stay as they are, seals and all.

    Raises
    ------
    NoSuchImportError
    StillSpokenOfError
        If an exposure of its is the one that another repeats, or has a film or an assessment.
    DamagedEntryError
        If an entry that would be sealed anew is not as it was written.
    """
    record = next((each for each in imports(connection) if each.id == given), None)
    if record is None:
        raise NoSuchImportError(given)
    keys, later, codes = set[str](), 0, set[str]()
    with TemporaryFile("w+", encoding="utf-8") as spool:
        for recorded in entries_after(connection, record.first - 1):
            entry = recorded.entry
            name = import_of(entry.why) if entry.act is Act.EXPOSURE else None
            if name is not None and name.id == given:
                keys.add(entry.key)
                codes |= _codes(entry)
            elif entry.about in keys:
                _check_files(recorded.number, entry)
                later += 1
                codes |= _codes(entry)
            else:
                _check_spoken_of(recorded.number, entry, keys)
                spool.write(f"{json.dumps(_as_list(entry))}\n")
        _delete_from(connection, record.first)
        spool.seek(0)
        append(connection, _entries(spool))
    names = _forget_codes(connection, codes)
    return TakenBack(exposures=len(keys), later=later, names=names)


def _check_files(number: int, entry: Entry) -> None:
    if any(entry.body.get(name) for name in FILES):
        raise StillSpokenOfError(number, "gave one of its exposures a film or an assessment")


def _check_spoken_of(number: int, entry: Entry, keys: set[str]) -> None:
    if any(entry.body.get(name) in keys for name in SPOKEN_OF):
        raise StillSpokenOfError(number, "names one of its exposures")


def _as_list(entry: Entry) -> list[object]:
    head = [entry.key, entry.act.value, entry.about, entry.written_at, entry.written_by, entry.why]
    return [*head, dict(entry.body)]


def _entries(spool: IO[str]) -> Iterator[Entry]:
    for line in spool:
        key, act, about, written_at, written_by, why, body = json.loads(line)
        yield Entry(
            key=key,
            act=Act(act),
            about=about,
            written_at=written_at,
            written_by=written_by,
            why=why,
            body=body,
        )


def _delete_from(connection: Connection, number: int) -> None:
    """Delete the entries from a number on; the database's own guard is back before all ends."""
    if connection.dialect.name == "sqlite":
        asked = (
            "SELECT sql FROM sqlite_master WHERE type = 'trigger' AND name = 'entry_stays_DELETE'"
        )
        guard = connection.execute(text(asked)).scalar()
        connection.execute(text("DROP TRIGGER IF EXISTS entry_stays_DELETE"))
        connection.execute(delete(ENTRY).where(ENTRY.c.number >= number))
        if guard:
            connection.exec_driver_sql(str(guard))
        return
    connection.execute(text("ALTER TABLE entry DISABLE TRIGGER entry_stays"))
    connection.execute(delete(ENTRY).where(ENTRY.c.number >= number))
    connection.execute(text("ALTER TABLE entry ENABLE TRIGGER entry_stays"))


def _codes(entry: Entry) -> set[str]:
    """Codes made for names that an entry has."""
    values = (value for value in entry.body.values() if isinstance(value, str))
    return {value for value in values if MADE_CODE.fullmatch(f'"{value}"')}


def _forget_codes(connection: Connection, codes: set[str]) -> int:
    """Delete the names under codes that no entry has any more; how many there were."""
    if not codes:
        return 0
    body = cast(ENTRY.c.body, Text)
    holds = or_(*(body.contains(f'"{sort}-') for sort in ("staff", "case", "room")))
    used: set[str] = set()
    for (held,) in connection.execute(select(ENTRY.c.body).where(holds)):
        used.update(MADE_CODE.findall(held))
    gone = sorted(codes - used)
    forgotten = 0
    for start in range(0, len(gone), 500):
        some = gone[start : start + 500]
        forgotten += connection.execute(delete(PERSON).where(PERSON.c.code.in_(some))).rowcount
    return forgotten


__all__ = [
    "ImportRecord",
    "NoSuchImportError",
    "StillSpokenOfError",
    "TakenBack",
    "imports",
    "imports_of_keys",
    "take_back",
]
