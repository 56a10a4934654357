"""Take what is sound in a damaged store into an empty one: entries sealed anew, names and films."""

from collections.abc import Iterator
from contextlib import suppress
from dataclasses import dataclass

from sqlalchemy import Connection

from bitewright.errors import BitewrightError
from bitewright.log.entry import Entry
from bitewright.store.appending import append
from bitewright.store.attempts_moved import take_sound_attempts
from bitewright.store.entries import last_number_and_digest
from bitewright.store.failures import database_failures
from bitewright.store.kept_files import KeptFileGoneError, keep_file, kept_file
from bitewright.store.names import names, set_name
from bitewright.store.opening import Store
from bitewright.store.sealed_rows import BROKEN, CONTENT_PROVEN, Soundness, sealed_rows


@dataclass(frozen=True, slots=True, kw_only=True)
class Rescue:
    """What was saved.

    Parameters
    ----------
    entries : int
    films : int
        Films and assessments, as they were when kept.
    digest : str
        Seal of the last entry, which is another than in the damaged store.
    left_out : tuple of (int, int)
        First and last numbers, in the damaged store, of entries that could not be saved: damaged
        ones, and those that speak of them.
    """

    entries: int
    films: int
    digest: str
    left_out: tuple[tuple[int, int], ...]


class NothingToRescueError(BitewrightError):
    """No entry of a damaged store is sound."""

    def __init__(self, where: object) -> None:
        super().__init__(
            f"No entry of the store {where} is as it was written, so nothing can be saved from it: "
            "restore the last backup with `bitewright store restore`."
        )


def save_sound_entries(damaged: Store, into: Store, *, unproven: bool = False) -> Rescue:
    """Append every sound entry of one store to another, in order.

    ``unproven``: also those that can be read and which nothing proves, as what stood before them
    is damaged.

    Raises
    ------
    NothingToRescueError
    """
    taken = CONTENT_PROVEN | {Soundness.UNPROVEN} if unproven else CONTENT_PROVEN
    source = _Sound(damaged.location, taken)
    with damaged.reading() as connection, into.writing() as target:
        result = append(target, source.entries(connection))
        for refused in result.refused:
            number = source.numbers[refused.place]
            source.left_out.append((number, number))
        attempts = 0
        with suppress(*BROKEN, ValueError):
            attempts = take_sound_attempts(connection, target)
        if not result.added and not attempts:
            raise NothingToRescueError(damaged.location)
        with suppress(*BROKEN, ValueError):
            for code, name in names(connection).items():
                set_name(target, code, name)
        _, digest = last_number_and_digest(target)
    return Rescue(
        entries=result.added,
        films=_films_taken(damaged, into, source.films),
        digest=digest,
        left_out=tuple(sorted(source.left_out)),
    )


class _Sound:
    """The sound entries of a store while they are read, and what is left out of it."""

    def __init__(self, where: object, taken: frozenset[Soundness]) -> None:
        self._where = where
        self._taken = taken
        self.numbers: list[int] = []
        self.films: set[str] = set()
        self.left_out: list[tuple[int, int]] = []

    def entries(self, connection: Connection) -> Iterator[Entry]:
        """One after another; a failure names the damaged store, whichever is written meanwhile."""
        with database_failures(self._where):
            for row in sealed_rows(connection):
                if row.entry is None or row.soundness not in self._taken:
                    self.left_out.append((row.first, row.last))
                    continue
                self.numbers.append(row.first)
                named = (row.entry.body.get(field) for field in ("film", "assessment"))
                self.films.update(name for name in named if isinstance(name, str))
                yield row.entry


def _films_taken(damaged: Store, into: Store, films: set[str]) -> int:
    taken = 0
    for digest in sorted(films):
        with suppress(KeptFileGoneError):
            keep_file(into.location, kept_file(damaged.location, digest))
            taken += 1
    return taken


__all__ = ["NothingToRescueError", "Rescue", "save_sound_entries"]
