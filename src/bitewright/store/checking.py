"""Check a store: the database's own check, the seal over all entries, the films beside it."""

from collections.abc import Iterator
from dataclasses import dataclass

from sqlalchemy import Connection, text

from bitewright.errors import BitewrightError
from bitewright.log.entry import FIRST_DIGEST, Act, RecordedEntry, body_text, sealed
from bitewright.log.exposure_state import checked_plain
from bitewright.store.entries import entries_after
from bitewright.store.kept_files import KeptFileGoneError, kept_file
from bitewright.store.opening import Store
from bitewright.words import stores as words

MOST_PROBLEMS = 50


@dataclass(frozen=True, slots=True, kw_only=True)
class StoreCheck:
    """What a check found.

    Parameters
    ----------
    entries, exposures, films : int
        How many were looked at.
    digest : str
        Seal of the last entry; write it down elsewhere to prove later that nothing was changed.
    problems : tuple of str
        At most fifty.
    """

    entries: int
    exposures: int
    films: int
    digest: str
    problems: tuple[str, ...]


def check_store(store: Store) -> StoreCheck:
    """Read everything and compare it with its seals."""
    problems: list[str] = []
    films: set[str] = set()
    exposures, last, digest = 0, 0, FIRST_DIGEST
    with store.reading() as connection:
        problems += _database_problems(connection)
        for each in entries_after(connection):
            problems += _entry_problems(each, last, digest)
            last, digest = each.number, each.digest
            exposures += each.entry.act is Act.EXPOSURE
            named = (each.entry.body.get(field) for field in ("film", "assessment"))
            films.update(name for name in named if name)
            if len(problems) >= MOST_PROBLEMS:
                break
    problems += _film_problems(store, films)
    return StoreCheck(
        entries=last,
        exposures=exposures,
        films=len(films),
        digest=digest,
        problems=tuple(problems[:MOST_PROBLEMS]),
    )


def _database_problems(connection: Connection) -> Iterator[str]:
    if connection.dialect.name != "sqlite":
        return
    for (said,) in connection.execute(text("PRAGMA integrity_check(20)")):
        if said != "ok":
            yield words.database_says(said)
    for row in connection.execute(text("PRAGMA foreign_key_check")):
        yield words.dangling(row[1])


def _entry_problems(each: RecordedEntry, last: int, digest: str) -> Iterator[str]:
    if each.number != last + 1:
        yield words.missing(last + 1, each.number - 1)
    if sealed(digest, each.entry, body_text(each.entry.body)) != each.digest:
        yield words.unsealed(each.number)
    try:
        checked_plain(each.entry.body)
    except BitewrightError as error:
        yield words.unreadable(each.number, str(error))


def _film_problems(store: Store, films: set[str]) -> Iterator[str]:
    for digest in sorted(films):
        try:
            kept_file(store.location, digest)
        except KeptFileGoneError as error:
            yield str(error)


__all__ = ["StoreCheck", "check_store"]
