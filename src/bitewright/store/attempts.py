"""Attempts kept and read: each once, each sealed by a digest over the student's all before it."""

import hashlib
import json
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass
from typing import Any

from sqlalchemy import Connection, func, select

from bitewright.competence.attempts import Attempt, attempt_from
from bitewright.errors import BitewrightError, plainly, quoted
from bitewright.log.entry import FIRST_DIGEST, body_text
from bitewright.store.attempt_tables import ATTEMPT, has_attempts, make_tables


class AttemptTakenError(BitewrightError):
    """An attempt is kept already, with another content."""

    def __init__(self, attempt: Attempt) -> None:
        self.attempt = attempt
        super().__init__(
            f"{attempt.student} at item {quoted(attempt.item)}, {attempt.answered_at}, is kept "
            "already and says something else: an attempt is never changed, so give the moment at "
            "which this one was answered."
        )


class NoAttemptsError(BitewrightError):
    """Nothing is kept of a student."""

    def __init__(self, student: str) -> None:
        self.student = student
        self.on_page = (
            f"No attempts of {quoted(student)} are kept: what the class can do shows whose are."
        )
        super().__init__(
            f"No attempts of {quoted(student)} are kept: `bitewright competence class` shows whose "
            "are, and `bitewright competence add` keeps some."
        )


class DamagedAttemptsError(BitewrightError):
    """Attempts of a student are not as they were written."""

    def __init__(self, student: str, number: int) -> None:
        self.student = student
        self.number = number
        super().__init__(
            f"Attempt {number} of {plainly(student)}, or the seal before it, is not as it was "
            "written, so nothing is said of this student: restore the last backup, take what is "
            "sound into a new store with `bitewright store rescue`, or delete the record with "
            "`bitewright competence delete`."
        )


@dataclass(frozen=True, slots=True, kw_only=True)
class KeptAttempts:
    """How many were new, and how many were there before."""

    added: int
    already_there: int


@dataclass(frozen=True, slots=True, kw_only=True)
class KeptAttempt:
    """An attempt in its student's chain.

    ``attempt`` is None where the row cannot be read; ``is_sound``: whether its digest follows from
    what it says and the digest before.
    """

    student: str
    number: int
    written_at: str
    attempt: Attempt | None
    digest: str
    is_sound: bool


def keep_attempts(
    connection: Connection, attempts: Iterable[Attempt], *, written_at: str
) -> KeptAttempts:
    """Keep attempts inside a writing transaction; the caller ends it, or raises to keep none.

    One that is kept already adds nothing.

    Raises
    ------
    AttemptTakenError
    """
    make_tables(connection)
    ends: dict[str, tuple[int, str]] = {}
    added = there = 0
    for attempt in attempts:
        key, body = _key(attempt), body_text(attempt.document())
        kept = connection.execute(select(ATTEMPT.c.body).where(ATTEMPT.c.key == key)).scalar()
        if kept is not None:
            if kept != body:
                raise AttemptTakenError(attempt)
            there += 1
            continue
        number, before = ends.get(attempt.student) or _end(connection, attempt.student)
        digest = _sealed(before, attempt.student, number + 1, written_at, body)
        row = {
            "student": attempt.student,
            "number": number + 1,
            "key": key,
            "written_at": written_at,
            "body": body,
            "digest": digest,
        }
        connection.execute(ATTEMPT.insert(), [row])
        ends[attempt.student] = (number + 1, digest)
        added += 1
    return KeptAttempts(added=added, already_there=there)


def kept_attempts(connection: Connection, student: str | None = None) -> Iterator[KeptAttempt]:
    """Attempts of one student or of all, by student and in their order, each against its seal."""
    if not has_attempts(connection):
        return
    asked = select(ATTEMPT).order_by(ATTEMPT.c.student, ATTEMPT.c.number)
    if student is not None:
        asked = asked.where(ATTEMPT.c.student == student)
    of, last, before = None, 0, FIRST_DIGEST
    for row in connection.execute(asked).mappings():
        if row["student"] != of:
            of, last, before = row["student"], 0, FIRST_DIGEST
        sound, attempt = False, _attempt(row)
        if attempt is not None and row["number"] == last + 1:
            made = _sealed(before, of, row["number"], row["written_at"], row["body"])
            sound = made == row["digest"] and _key(attempt) == row["key"]
        last, before = row["number"], str(row["digest"])
        yield KeptAttempt(
            student=str(of),
            number=int(last),
            written_at=str(row["written_at"]),
            attempt=attempt,
            digest=before,
            is_sound=sound,
        )


def attempts_of(connection: Connection, student: str) -> list[Attempt]:
    """A student's attempts in the order in which they were kept.

    Raises
    ------
    NoAttemptsError, DamagedAttemptsError
    """
    found = []
    for kept in kept_attempts(connection, student):
        if kept.attempt is None or not kept.is_sound:
            raise DamagedAttemptsError(student, kept.number)
        found.append(kept.attempt)
    if not found:
        raise NoAttemptsError(student)
    return found


def sound_attempts(connection: Connection) -> tuple[list[Attempt], dict[str, int]]:
    """Attempts of all students whose record is as written; of the others the first damaged one."""
    found: dict[str, list[Attempt]] = {}
    damaged: dict[str, int] = {}
    for kept in kept_attempts(connection):
        if kept.attempt is None or not kept.is_sound:
            damaged.setdefault(kept.student, kept.number)
        else:
            found.setdefault(kept.student, []).append(kept.attempt)
    whole = [each for name, own in found.items() if name not in damaged for each in own]
    return whole, damaged


def count_attempts(connection: Connection) -> int:
    """How many are kept."""
    if not has_attempts(connection):
        return 0
    return int(connection.execute(select(func.count()).select_from(ATTEMPT)).scalar() or 0)


def _attempt(row: Mapping[Any, Any]) -> Attempt | None:
    try:
        attempt = attempt_from(json.loads(row["body"]))
    except (BitewrightError, ValueError, TypeError, AttributeError, RecursionError):
        return None
    return attempt if attempt.student == row["student"] else None


def _end(connection: Connection, student: str) -> tuple[int, str]:
    """Number and digest of a student's last attempt; 0 and noughts where there is none."""
    last = connection.execute(
        select(ATTEMPT.c.number, ATTEMPT.c.digest)
        .where(ATTEMPT.c.student == student)
        .order_by(ATTEMPT.c.number.desc())
        .limit(1)
    ).one_or_none()
    return (0, FIRST_DIGEST) if last is None else (int(last.number), str(last.digest))


def _key(attempt: Attempt) -> str:
    return hashlib.sha256("\n".join(attempt.key).encode()).hexdigest()


def _sealed(before: str, student: object, number: object, written_at: object, body: object) -> str:
    said = f"{before}\n{student}\n{number}\n{written_at}\n{body}"
    return hashlib.sha256(said.encode("utf-8", errors="replace")).hexdigest()


__all__ = [
    "AttemptTakenError",
    "DamagedAttemptsError",
    "KeptAttempt",
    "KeptAttempts",
    "NoAttemptsError",
    "attempts_of",
    "count_attempts",
    "keep_attempts",
    "kept_attempts",
    "sound_attempts",
]
