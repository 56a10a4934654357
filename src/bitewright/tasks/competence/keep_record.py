"""Keep a file's attempts, all or none; delete a student's record."""

from dataclasses import dataclass
from pathlib import Path
from typing import Any

from bitewright.competence.attempts import Attempt, checked_student
from bitewright.files.attempt_files import read_attempts
from bitewright.log.fields import from_text
from bitewright.store.attempt_deletion import delete_attempts
from bitewright.store.attempts import keep_attempts
from bitewright.store.opening import opened_store
from bitewright.tasks.competence.opened_attempts import opened_attempts
from bitewright.tasks.log.store_place import now_utc, store_place

KEPT_FORMAT = "bitewright.attempts-kept/1"
DELETED_FORMAT = "bitewright.attempts-deleted/1"


@dataclass(frozen=True, slots=True, kw_only=True)
class AttemptsKept:
    """What became of attempts that were given."""

    added: int
    already_there: int
    students: int
    store: str

    def document(self) -> dict[str, Any]:
        """As data for machines."""
        return {
            "format": KEPT_FORMAT,
            "added": self.added,
            "already_there": self.already_there,
            "students": self.students,
            "store": self.store,
        }


def add_attempts(file: Path, store: str | None) -> AttemptsKept:
    """Keep every attempt of a file, or none of them.

    Raises
    ------
    AttemptFileError, AttemptTakenError
    """
    return add_given_attempts(read_attempts(file), store)


def add_given_attempts(attempts: list[Attempt], store: str | None) -> AttemptsKept:
    """Keep attempts, all or none; the store is made where there is none.

    Raises
    ------
    AttemptTakenError
    """
    location = store_place(store)
    with opened_store(location, make=True) as opened, opened.writing() as connection:
        kept = keep_attempts(connection, attempts, written_at=now_utc())
    return AttemptsKept(
        added=kept.added,
        already_there=kept.already_there,
        students=len({each.student for each in attempts}),
        store=str(location),
    )


@dataclass(frozen=True, slots=True, kw_only=True)
class RecordDeleted:
    """What became of a student's record.

    ``held``: where it may still be; ``by_a_server``: whether a server keeps the store.
    """

    student: str
    attempts: int
    held: tuple[str, ...]
    by_a_server: bool

    def document(self) -> dict[str, Any]:
        """As data for machines."""
        return {
            "format": DELETED_FORMAT,
            "student": self.student,
            "attempts": self.attempts,
            "may_still_be_in": list(self.held),
        }


def delete_record(student: str, by: str, store: str | None) -> RecordDeleted:
    """Delete all attempts of a student; that it was done is noted, with who did it and when.

    Raises
    ------
    NobodyAnsweredError, NoAttemptsError, StudentCodeError, FieldValueError
    """
    who, asked_by = checked_student(student), str(from_text("operator", by))
    location = store_place(store)
    with opened_attempts(store) as opened:
        count, held = delete_attempts(opened, who, at=now_utc(), by=asked_by)
    return RecordDeleted(student=who, attempts=count, held=held, by_a_server=location.file is None)


__all__ = ["AttemptsKept", "RecordDeleted", "add_attempts", "add_given_attempts", "delete_record"]
