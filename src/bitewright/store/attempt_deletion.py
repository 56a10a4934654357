"""A student's attempts deleted for good, with a note that they were."""

import hashlib
from dataclasses import dataclass

from sqlalchemy import Connection, func, select, text
from sqlalchemy.exc import DBAPIError

from bitewright.log.entry import FIRST_DIGEST
from bitewright.store.attempt_tables import ATTEMPT, DELETION, delete_rows, has_attempts
from bitewright.store.attempts import NoAttemptsError
from bitewright.store.opening import Store


@dataclass(frozen=True, slots=True, kw_only=True)
class Deletion:
    """That a student's attempts were deleted.

    ``is_sound``: whether the note is as it was written.
    """

    student: str
    attempts: int
    deleted_at: str
    deleted_by: str
    is_sound: bool = True


def delete_attempts(store: Store, student: str, *, at: str, by: str) -> tuple[int, tuple[str, ...]]:
    """Delete everything a student ever answered; what stays is a note that it was deleted.

    In SQLite its place is overwritten and the write-ahead log emptied. In PostgreSQL the table is
    written anew. Backups made before still hold it, and so does what a PostgreSQL server keeps to
    recover from a crash. Asked again where somebody held it back, this empties what is left.

    Returns
    -------
    int
        How many were deleted.
    tuple of str
        Where they may still be held, because somebody reads an earlier state; empty if nowhere.

    Raises
    ------
    NoAttemptsError
    """
    with store.writing() as connection:
        count = _count(connection, student) if has_attempts(connection) else 0
        if count:
            delete_rows(connection, student)
            _note(
                connection, Deletion(student=student, attempts=count, deleted_at=at, deleted_by=by)
            )
    held = _still_held(store)
    if not count and not held:
        raise NoAttemptsError(student)
    return count, held


def deletions(connection: Connection) -> list[Deletion]:
    """All that were noted, oldest first."""
    if not has_attempts(connection):
        return []
    found, before = [], FIRST_DIGEST
    for row in connection.execute(select(DELETION).order_by(DELETION.c.number)):
        told = Deletion(
            student=row.student,
            attempts=row.attempts,
            deleted_at=row.deleted_at,
            deleted_by=row.deleted_by,
        )
        sound = _seal(before, told) == row.digest
        before = str(row.digest)
        found.append(told if sound else _damaged(told))
    return found


def note_again(connection: Connection, noted: list[Deletion]) -> None:
    """Keep notes of an earlier store in a new one."""
    for each in noted:
        _note(connection, each)


def _damaged(told: Deletion) -> Deletion:
    return Deletion(
        student=str(told.student),
        attempts=told.attempts,
        deleted_at=str(told.deleted_at),
        deleted_by=str(told.deleted_by),
        is_sound=False,
    )


def _count(connection: Connection, student: str) -> int:
    asked = select(func.count()).select_from(ATTEMPT).where(ATTEMPT.c.student == student)
    return int(connection.execute(asked).scalar() or 0)


def _note(connection: Connection, told: Deletion) -> None:
    last = connection.execute(
        select(DELETION.c.number, DELETION.c.digest).order_by(DELETION.c.number.desc()).limit(1)
    ).one_or_none()
    number, before = (0, FIRST_DIGEST) if last is None else (int(last.number), str(last.digest))
    row = {
        "number": number + 1,
        "student": told.student,
        "attempts": told.attempts,
        "deleted_at": told.deleted_at,
        "deleted_by": told.deleted_by,
        "digest": _seal(before, told),
    }
    connection.execute(DELETION.insert(), [row])


def _seal(before: str, told: Deletion) -> str:
    said = (before, told.student, told.attempts, told.deleted_at, told.deleted_by)
    return hashlib.sha256("\n".join(str(each) for each in said).encode()).hexdigest()


def _still_held(store: Store) -> tuple[str, ...]:
    file = store.location.file
    if file is not None:
        return () if store.settle() else (str(file),)
    engine = store.engine.execution_options(isolation_level="AUTOCOMMIT")
    try:
        with engine.connect() as connection:
            connection.execute(text("SET lock_timeout = 3000"))
            connection.execute(text("VACUUM FULL attempt"))
    except DBAPIError:
        return (f"the table of attempts in {store.location}",)
    return ()


__all__ = ["Deletion", "delete_attempts", "deletions", "note_again"]
