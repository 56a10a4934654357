"""Read entries: in pages, one by number or key, all about one exposure."""

import json
from collections.abc import Iterator, Mapping, Sequence
from typing import Any

from sqlalchemy import Connection, Select, func, select

from bitewright.errors import BitewrightError, quoted
from bitewright.log.entry import FIRST_DIGEST, Act, Entry, RecordedEntry, standing
from bitewright.log.exposure_state import State
from bitewright.store.tables import ENTRY

PAGE = 10_000


class NoSuchEntryError(BitewrightError):
    """No exposure has that number or key."""

    def __init__(self, given: str) -> None:
        self.given = given
        super().__init__(
            f"No exposure in the log has the number or key {quoted(given)}: `bitewright log list` "
            "shows those there are."
        )


def last_number_and_digest(connection: Connection) -> tuple[int, str]:
    """Number and digest of the last entry; 0 and noughts where there is none."""
    last = connection.execute(
        select(ENTRY.c.number, ENTRY.c.digest).order_by(ENTRY.c.number.desc()).limit(1)
    ).one_or_none()
    return (0, FIRST_DIGEST) if last is None else (int(last.number), str(last.digest))


def digest_of(connection: Connection, number: int) -> str | None:
    """Digest of the entry of a number."""
    if number == 0:
        return FIRST_DIGEST
    return connection.execute(select(ENTRY.c.digest).where(ENTRY.c.number == number)).scalar()


def count_by_act(connection: Connection) -> dict[str, int]:
    """How many entries of each act there are."""
    rows = connection.execute(select(ENTRY.c.act, func.count()).group_by(ENTRY.c.act))
    return {str(act): int(count) for act, count in rows}


def entries_after(
    connection: Connection, number: int = 0, *, up_to: int | None = None
) -> Iterator[RecordedEntry]:
    """Entries in order after a number, read in pages."""
    while True:
        asked = _with_about_key().where(ENTRY.c.number > number)
        if up_to is not None:
            asked = asked.where(ENTRY.c.number <= up_to)
        page = connection.execute(asked.order_by(ENTRY.c.number).limit(PAGE)).mappings().all()
        for row in page:
            yield entry_from_row(row)
        if len(page) < PAGE:
            return
        number = page[-1]["number"]


def exposure_key(connection: Connection, given: str) -> str:
    """Key of the exposure that a number or key names.

    Raises
    ------
    NoSuchEntryError
    """
    asked = select(ENTRY.c.key).where(ENTRY.c.act == Act.EXPOSURE.value)
    by = ENTRY.c.number == int(given) if _is_number(given) else ENTRY.c.key == given
    found = connection.execute(asked.where(by)).scalar()
    if found is None:
        raise NoSuchEntryError(given)
    return str(found)


def history(connection: Connection, key: str) -> list[RecordedEntry]:
    """The exposure of a key and every later entry about it, oldest first."""
    number = connection.execute(select(ENTRY.c.number).where(ENTRY.c.key == key)).scalar()
    if number is None:
        raise NoSuchEntryError(key)
    asked = _with_about_key().where((ENTRY.c.number == number) | (ENTRY.c.about == number))
    rows = connection.execute(asked.order_by(ENTRY.c.number)).mappings()
    return [entry_from_row(row) for row in rows]


def standing_exposures(
    connection: Connection, numbers: Sequence[int]
) -> dict[int, tuple[str, State]]:
    """Key and present state of exposures by number."""
    asked = _with_about_key().where(ENTRY.c.number.in_(numbers) | ENTRY.c.about.in_(numbers))
    rows = connection.execute(asked.order_by(ENTRY.c.number)).mappings()
    about: dict[int, list[Entry]] = {}
    for row in rows:
        each = entry_from_row(row)
        about.setdefault(row["about"] or each.number, []).append(each.entry)
    return {
        number: (about[number][0].key, standing(about[number]))
        for number in numbers
        if number in about
    }


def entry_from_row(row: Mapping[Any, Any]) -> RecordedEntry:
    """An entry from its row with the key that it is about."""
    return RecordedEntry(
        number=int(row["number"]),
        digest=row["digest"],
        entry=Entry(
            key=row["key"],
            act=Act(row["act"]),
            about=row["about_key"],
            written_at=row["written_at"],
            written_by=row["written_by"],
            why=row["why"],
            body=json.loads(row["body"]),
        ),
    )


def _with_about_key() -> Select[Any]:
    other = ENTRY.alias()
    return select(ENTRY, other.c.key.label("about_key")).outerjoin(
        other, ENTRY.c.about == other.c.number
    )


def _is_number(given: str) -> bool:
    return given.isascii() and given.isdigit() and len(given) <= 15


__all__ = [
    "NoSuchEntryError",
    "count_by_act",
    "digest_of",
    "entries_after",
    "entry_from_row",
    "exposure_key",
    "history",
    "last_number_and_digest",
    "standing_exposures",
]
