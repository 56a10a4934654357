"""Attempts taken from one store into another: through a backup, or out of a damaged store."""

from collections import defaultdict
from collections.abc import Mapping
from itertools import groupby
from typing import Any

from sqlalchemy import Connection

from bitewright.competence.attempts import Attempt, attempt_from
from bitewright.errors import BitewrightError
from bitewright.store.attempt_deletion import Deletion, deletions, note_again
from bitewright.store.attempt_tables import has_attempts, make_tables
from bitewright.store.attempts import DamagedAttemptsError, keep_attempts, kept_attempts

FORMAT = "bitewright.attempts/1"


class AttemptsNotWholeError(BitewrightError):
    """Attempts of a backup are not what was packed."""

    def __init__(self, student: str) -> None:
        self.student = student
        super().__init__(
            f"The backup's attempts of {student} are not as they were packed, so nothing was "
            "restored: give another backup."
        )


def attempts_document(connection: Connection) -> dict[str, Any]:
    """All attempts and notes of deletions, with each student's last seal; empty if there are none.

    Raises
    ------
    DamagedAttemptsError
    """
    if not has_attempts(connection):
        return {}
    students: dict[str, list[dict[str, Any]]] = defaultdict(list)
    seals: dict[str, str] = {}
    for kept in kept_attempts(connection):
        if kept.attempt is None or not kept.is_sound:
            raise DamagedAttemptsError(kept.student, kept.number)
        line = {"written_at": kept.written_at, "attempt": kept.attempt.document()}
        students[kept.student].append(line)
        seals[kept.student] = kept.digest
    noted = deletions(connection)
    return {
        "format": FORMAT,
        "students": dict(students),
        "seals": seals,
        "deleted": [
            [each.student, each.attempts, each.deleted_at, each.deleted_by]
            for each in noted
            if each.is_sound
        ],
    }


def take_attempts_in(connection: Connection, document: Mapping[str, Any]) -> None:
    """Keep what a backup holds, inside a writing transaction: same seals, same notes.

    Raises
    ------
    AttemptsNotWholeError
    """
    make_tables(connection)
    for student, lines in document["students"].items():
        try:
            _keep(connection, [(e["written_at"], attempt_from(e["attempt"])) for e in lines])
        except (BitewrightError, KeyError, TypeError) as error:
            raise AttemptsNotWholeError(student) from error
        kept = list(kept_attempts(connection, student))
        if not kept or kept[-1].digest != document["seals"].get(student):
            raise AttemptsNotWholeError(student)
    for student, count, at, by in document["deleted"]:
        told = Deletion(student=student, attempts=count, deleted_at=at, deleted_by=by)
        note_again(connection, [told])


def take_sound_attempts(damaged: Connection, into: Connection) -> int:
    """Take every attempt that is as written, how many; those after a damaged one get new seals."""
    if not has_attempts(damaged):
        return 0
    make_tables(into)
    sound = [(e.written_at, e.attempt) for e in kept_attempts(damaged) if e.attempt and e.is_sound]
    _keep(into, sound)
    note_again(into, [each for each in deletions(damaged) if each.is_sound])
    return len(sound)


def _keep(connection: Connection, lines: list[tuple[str, Attempt]]) -> None:
    for written_at, group in groupby(lines, key=lambda line: line[0]):
        keep_attempts(connection, [attempt for _, attempt in group], written_at=written_at)


__all__ = ["attempts_document", "take_attempts_in", "take_sound_attempts"]
