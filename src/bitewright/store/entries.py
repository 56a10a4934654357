"""Read entries: in pages, one by number or key, all about one exposure."""

from collections.abc import Iterator, Mapping, Sequence
from typing import Any

from sqlalchemy import Connection, Select, func, select

from bitewright.errors import BitewrightError, quoted
from bitewright.kept_text import problem_of_text
from bitewright.log.entry import FIRST_DIGEST, Act, Entry, RecordedEntry, standing
from bitewright.log.exposure_state import State
from bitewright.store.sealed_rows import (
    Soundness,
    entry_of_row,
    is_as_written,
    sealed_rows,
    with_about_key,
)
from bitewright.store.tables import ENTRY


class NoSuchEntryError(BitewrightError):
    """No exposure has that number or key."""

    def __init__(self, given: str) -> None:
        self.given = given
        super().__init__(
            f"No exposure in the log has the number or key {quoted(given)}: `bitewright log list` "
            "shows those there are."
        )


class DamagedEntryError(BitewrightError):
    """An entry is not as it was written."""

    def __init__(self, number: int) -> None:
        self.number = number
        super().__init__(
            f"Entry {number}, or the seal before it, is not as it was written, so this was left "
            "undone: `bitewright store check` names all that is damaged, and `bitewright store "
            "rescue` takes what is sound into a new store."
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


def is_named(connection: Connection, content_digest: str) -> bool:
    """Whether any entry names a film or assessment by its digest."""
    asked = select(ENTRY.c.number).where(ENTRY.c.body.contains(content_digest)).limit(1)
    return connection.execute(asked).scalar() is not None


def exposures_with_keys(connection: Connection, begins: str) -> tuple[int, ...]:
    """Numbers of the exposures that entries are about whose keys begin so, rising."""
    asked = (
        select(ENTRY.c.about)
        .where(ENTRY.c.key.startswith(begins, autoescape=True), ENTRY.c.about.is_not(None))
        .distinct()
        .order_by(ENTRY.c.about)
    )
    return tuple(int(each) for each in connection.execute(asked).scalars())


def count_by_act(connection: Connection) -> dict[str, int]:
    """How many entries of each act there are."""
    rows = connection.execute(select(ENTRY.c.act, func.count()).group_by(ENTRY.c.act))
    return {str(act): int(count) for act, count in rows}


def entries_after(
    connection: Connection, number: int = 0, *, up_to: int | None = None
) -> Iterator[RecordedEntry]:
    """Entries in order after a number, each compared with its seal.

    Raises
    ------
    DamagedEntryError
        At the first that is not as it was written.
    """
    digest = digest_of(connection, number) or FIRST_DIGEST
    for row in sealed_rows(connection, after=number, digest=digest, up_to=up_to):
        if row.entry is None or row.soundness is not Soundness.SOUND:
            raise DamagedEntryError(row.first)
        yield RecordedEntry(number=row.first, digest=row.digest, entry=row.entry)


def exposure_key(connection: Connection, given: str) -> str:
    """Key of the exposure that a number or key names.

    Raises
    ------
    NoSuchEntryError
    """
    asked = select(ENTRY.c.key).where(ENTRY.c.act == Act.EXPOSURE.value)
    if problem_of_text(given):  # a database is asked for text only, and kept text has no such signs
        raise NoSuchEntryError(given)
    by = ENTRY.c.number == int(given) if _is_number(given) else ENTRY.c.key == given
    found = connection.execute(asked.where(by)).scalar()
    if found is None:
        raise NoSuchEntryError(given)
    return str(found)


def history(connection: Connection, key: str) -> list[RecordedEntry]:
    """The exposure of a key and every later entry about it, oldest first.

    Raises
    ------
    NoSuchEntryError
    DamagedEntryError
        If one of them is not as it was written.
    """
    number = connection.execute(select(ENTRY.c.number).where(ENTRY.c.key == key)).scalar()
    if number is None:
        raise NoSuchEntryError(key)
    asked = _with_digest_before().where((ENTRY.c.number == number) | (ENTRY.c.about == number))
    rows = connection.execute(asked.order_by(ENTRY.c.number)).mappings().all()
    return [_proven(row) for row in rows]


def standing_exposures(
    connection: Connection, numbers: Sequence[int]
) -> tuple[dict[int, tuple[str, State]], tuple[int, ...]]:
    """Key and present state of exposures by number; entries about them that are damaged.

    An exposure of which an entry is damaged is left out: how it stands cannot be known.
    """
    asked = _with_digest_before().where(ENTRY.c.number.in_(numbers) | ENTRY.c.about.in_(numbers))
    rows = connection.execute(asked.order_by(ENTRY.c.number)).mappings().all()
    about: dict[int, list[Entry]] = {}
    damaged: dict[int, int] = {}
    for row in rows:
        exposure = int(row["about"] or row["number"])
        try:
            about.setdefault(exposure, []).append(_proven(row).entry)
        except DamagedEntryError as error:
            damaged[exposure] = error.number
    found = {
        number: (about[number][0].key, standing(about[number]))
        for number in numbers
        if number in about and number not in damaged
    }
    return found, tuple(sorted(damaged.values()))


def _proven(row: Mapping[Any, Any]) -> RecordedEntry:
    """An entry from its row with the digest before, compared with its seal."""
    before = FIRST_DIGEST if row["number"] == 1 else row["digest_before"]
    try:
        recorded = entry_from_row(row)
    except (ValueError, TypeError, RecursionError) as error:
        raise DamagedEntryError(row["number"]) from error
    if not is_as_written(before, row, recorded.entry):
        raise DamagedEntryError(row["number"])
    return recorded


def entry_from_row(row: Mapping[Any, Any]) -> RecordedEntry:
    """An entry from its row with the key that it is about."""
    number, digest = int(row["number"]), row["digest"]
    return RecordedEntry(number=number, digest=digest, entry=entry_of_row(row))


def _with_digest_before() -> Select[Any]:
    before = ENTRY.alias()
    return (
        with_about_key()
        .add_columns(before.c.digest.label("digest_before"))
        .outerjoin(before, before.c.number == ENTRY.c.number - 1)
    )


def _is_number(given: str) -> bool:
    return given.isascii() and given.isdigit() and len(given) <= 15


__all__ = [
    "DamagedEntryError",
    "NoSuchEntryError",
    "count_by_act",
    "digest_of",
    "entries_after",
    "entry_from_row",
    "exposure_key",
    "exposures_with_keys",
    "history",
    "is_named",
    "last_number_and_digest",
    "standing_exposures",
]
