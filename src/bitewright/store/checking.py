"""Check a store: the database's own check, the seal over all entries, the films beside it."""

from collections.abc import Iterator
from dataclasses import dataclass

from sqlalchemy import Connection, text

from bitewright.errors import BitewrightError
from bitewright.log.entry import FIRST_DIGEST, Act
from bitewright.log.exposure_state import checked_plain
from bitewright.store.attempt_deletion import deletions
from bitewright.store.attempts import kept_attempts
from bitewright.store.columns import damaged_snapshots
from bitewright.store.failures import first_line
from bitewright.store.kept_files import KeptFileGoneError, kept_file
from bitewright.store.names import damaged_names
from bitewright.store.opening import Store
from bitewright.store.sealed_rows import BROKEN, CONTENT_PROVEN, SealedRow, Soundness, sealed_rows
from bitewright.words import stores as words

MOST_PROBLEMS = 50
"""So many of each kind are told; damaged entries all."""

SAID = {
    Soundness.SEAL_DAMAGED: words.seal_damaged,
    Soundness.NOT_AS_WRITTEN: words.unsealed,
    Soundness.UNPROVEN: words.unproven,
    Soundness.UNREADABLE: words.unreadable,
    Soundness.MISSING: words.missing,
}


@dataclass(frozen=True, slots=True, kw_only=True)
class DamagedEntries:
    """Entries beside one another that are damaged in the same way."""

    first: int
    last: int
    soundness: Soundness

    def document(self) -> dict[str, int | str]:
        """As data for machines."""
        return {"first": self.first, "last": self.last, "soundness": self.soundness.value}


@dataclass(frozen=True, slots=True, kw_only=True)
class StoreCheck:
    """What a check found.

    Parameters
    ----------
    entries, exposures, films : int
        How many were looked at.
    digest : str
        Seal of the last entry; write it down elsewhere to prove later that nothing was changed.
    sound : int
        Entries that are as they were written.
    damaged : tuple of DamagedEntries
        All others, in order.
    problems : tuple of str
        Damaged entries, and at most fifty of anything else.
    """

    entries: int
    exposures: int
    films: int
    digest: str
    sound: int
    damaged: tuple[DamagedEntries, ...]
    problems: tuple[str, ...]

    @property
    def unproven(self) -> int:
        """Entries that can be read, and which nothing proves."""
        return sum(
            each.last - each.first + 1
            for each in self.damaged
            if each.soundness is Soundness.UNPROVEN
        )


def check_store(store: Store) -> StoreCheck:
    """Read everything and compare it with its seals; what is damaged hides nothing else."""
    seen = _Seen()
    with store.reading() as connection:
        seen.add(_database_problems(connection))
    with store.reading() as connection:
        try:
            for row in sealed_rows(connection):
                seen.look_at(row)
        except BROKEN as error:
            seen.add([words.no_entries(first_line(error))])
    with store.reading() as connection:
        seen.add(_name_problems(connection))
    with store.reading() as connection:
        seen.add(_attempt_problems(connection))
    seen.add(_film_problems(store, seen.films))
    if store.id:
        seen.add(words.columns_damaged(place) for place in damaged_snapshots(store))
    return seen.found()


class _Seen:
    """What was looked at so far."""

    def __init__(self) -> None:
        self.films: set[str] = set()
        self._last, self._exposures, self._sound = 0, 0, 0
        self._digest = FIRST_DIGEST
        self._damaged: list[DamagedEntries] = []
        self._not_allowed: list[str] = []
        self._others: list[str] = []

    def add(self, problems: "Iterator[str] | list[str]") -> None:
        """Problems of one kind, fifty of them at most."""
        for count, problem in enumerate(problems):
            if count == MOST_PROBLEMS:
                break
            self._others.append(problem)

    def look_at(self, row: SealedRow) -> None:
        """One entry, or those that cannot be read."""
        self._last = row.last
        if row.soundness is not Soundness.SOUND:
            self._add_damage(row)
        if row.entry is None:
            return
        self._digest = row.digest
        self._sound += row.soundness in CONTENT_PROVEN
        self._exposures += row.entry.act is Act.EXPOSURE
        named = (row.entry.body.get(field) for field in ("film", "assessment"))
        self.films.update(name for name in named if isinstance(name, str))
        try:
            checked_plain(row.entry.body)
        except BitewrightError as error:
            if row.soundness in CONTENT_PROVEN and len(self._not_allowed) < MOST_PROBLEMS:
                self._not_allowed.append(words.not_allowed(row.first, str(error)))

    def _add_damage(self, row: SealedRow) -> None:
        before = self._damaged[-1] if self._damaged else None
        first = row.first
        if before and before.soundness is row.soundness and before.last == row.first - 1:
            first = self._damaged.pop().first
        self._damaged.append(DamagedEntries(first=first, last=row.last, soundness=row.soundness))

    def found(self) -> StoreCheck:
        """All of it."""
        damage = [SAID[each.soundness](each.first, each.last) for each in self._damaged]
        return StoreCheck(
            entries=self._last,
            exposures=self._exposures,
            films=len(self.films),
            digest=self._digest,
            sound=self._sound,
            damaged=tuple(self._damaged),
            problems=(*damage, *self._not_allowed, *self._others),
        )


def _database_problems(connection: Connection) -> Iterator[str]:
    if connection.dialect.name != "sqlite":
        return
    try:
        for (said,) in connection.execute(text("PRAGMA integrity_check(20)")):
            if said != "ok":
                yield words.database_says(said)
        for row in connection.execute(text("PRAGMA foreign_key_check")):
            yield words.dangling(row[1])
    except BROKEN as error:
        yield words.database_says(first_line(error))


def _name_problems(connection: Connection) -> Iterator[str]:
    try:
        yield from (words.name_damaged(code) for code in damaged_names(connection))
    except BROKEN as error:
        yield words.no_names(first_line(error))


def _attempt_problems(connection: Connection) -> Iterator[str]:
    try:
        for kept in kept_attempts(connection):
            if not kept.is_sound:
                yield words.attempt_damaged(kept.student, kept.number)
        for noted in deletions(connection):
            if not noted.is_sound:
                yield words.deletion_damaged(noted.student)
    except BROKEN as error:
        yield words.no_attempts(first_line(error))


def _film_problems(store: Store, films: set[str]) -> Iterator[str]:
    for digest in sorted(films):
        try:
            kept_file(store.location, digest)
        except KeptFileGoneError as error:
            yield str(error)


__all__ = ["DamagedEntries", "StoreCheck", "check_store"]
