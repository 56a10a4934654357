"""One attempt at an item: who, which, how well, how sure, when. What is kept and counted of it."""

import math
import re
from collections.abc import Mapping
from dataclasses import dataclass
from enum import StrEnum
from typing import Any

from bitewright.errors import BitewrightError, plainly, quoted
from bitewright.log.days import DAY_S, day_number, day_text
from bitewright.log.field_forms import CODE

MOMENT = re.compile(
    r"(\d{4}-\d{2}-\d{2})[T ](\d{2}):(\d{2}):(\d{2})(?:\.\d{1,9})?(?:Z|([+-])(\d{2}):?(\d{2}))"
)
NAME = re.compile(r"[\w][\w.:/+-]{0,63}")
FIRST_DAY = "2000-01-01"
"""No attempt is older. Our choice."""
LONGEST_S = DAY_S
"""No attempt takes longer. Our choice."""


class Skill(StrEnum):
    """What an item asks a person to do."""

    READ = "read"
    NAME = "name"
    CORRECT = "correct"
    AIM = "aim"
    DECIDE = "decide"
    ORDER = "order"


class AttemptError(BitewrightError):
    """A field of an attempt is missing or has a value that is not allowed."""

    def __init__(self, field: str, given: object, allowed: str) -> None:
        self.field = field
        self.given = given
        self.allowed = allowed
        super().__init__(
            f"{quoted(given)} is not allowed as '{field}' of an attempt: give {allowed}."
        )


STUDENT_ALLOWED = "a code of up to 40 letters, digits and . / + - _, such as S12, and no name"


class StudentCodeError(BitewrightError):
    """What was given cannot be a student's code."""

    def __init__(self, given: str) -> None:
        self.given = given
        super().__init__(f"{quoted(given)} cannot be a student's code: give {STUDENT_ALLOWED}.")


@dataclass(frozen=True, slots=True, kw_only=True)
class Attempt:
    """One attempt. Every field is checked when it is made.

    Parameters
    ----------
    student : str
        Code of the student, as the log codes operators; never a name.
    item : str
        Which item; the same text for everybody who was given it.
    skill : Skill
    topic : str
        The fault or criterion that it was about.
    score : float
        From 0, nothing right, to 1, all right.
    sure : float or None
        How sure the student said to be before the answer was shown, 0 to 1.
    answered_at : str
        UTC, such as 2026-01-31T09:30:00Z.
    seconds : float or None
        From seeing the item to committing. [s]

    Raises
    ------
    AttemptError
    """

    student: str
    item: str
    skill: Skill
    topic: str
    score: float
    sure: float | None
    answered_at: str
    seconds: float | None = None

    def __post_init__(self) -> None:
        _check(self)

    @property
    def key(self) -> tuple[str, str, str]:
        """What tells it from every other attempt: student, item, moment."""
        return self.student, self.item, self.answered_at

    @property
    def day(self) -> str:
        """Its day, UTC."""
        return self.answered_at[:10]

    def document(self) -> dict[str, Any]:
        """As plain data; what is not known is left out."""
        plain = {
            "student": self.student,
            "item": self.item,
            "skill": self.skill.value,
            "topic": self.topic,
            "score": self.score,
            "sure": self.sure,
            "answered_at": self.answered_at,
            "seconds": self.seconds,
        }
        return {name: value for name, value in plain.items() if value is not None}


REQUIRED = ("student", "item", "skill", "topic", "score", "answered_at")
OPTIONAL = ("sure", "seconds")


def attempt_from(given: Mapping[str, Any]) -> Attempt:
    """An attempt from plain data, such as a line of a file; empty text is a field left out.

    Raises
    ------
    AttemptError
    """
    fields = {name: value for name, value in given.items() if value not in (None, "")}
    for name, value in fields.items():
        if name not in REQUIRED + OPTIONAL:
            raise AttemptError(
                plainly(str(name)), value, f"only {', '.join(REQUIRED + OPTIONAL)} as fields"
            )
    for name in REQUIRED:
        if name not in fields:
            raise AttemptError(name, given.get(name), "a value; an attempt needs it")
    return Attempt(
        student=_text("student", fields["student"]),
        item=_text("item", fields["item"]),
        skill=_skill(fields["skill"]),
        topic=_text("topic", fields["topic"]),
        score=_number("score", fields["score"]),
        sure=_number("sure", fields["sure"]) if "sure" in fields else None,
        answered_at=moment_utc(_text("answered_at", fields["answered_at"])),
        seconds=_number("seconds", fields["seconds"]) if "seconds" in fields else None,
    )


def moment_utc(given: str) -> str:
    """A moment with its zone, such as 2026-01-31T10:30:00+01:00, as UTC to the second.

    Raises
    ------
    AttemptError
    """
    found = MOMENT.fullmatch(given)
    allowed = f"a moment with its zone from {FIRST_DAY} on, such as 2026-01-31T09:30:00Z"
    if found is None:
        raise AttemptError("answered_at", given, allowed)
    day, hour, minute, second, sign, zone_h, zone_min = found.groups()
    clock = [int(part) for part in (hour, minute, second, zone_h or 0, zone_min or 0)]
    try:
        number = day_number(day)
    except ValueError as error:
        raise AttemptError("answered_at", given, allowed) from error
    if any(part > most for part, most in zip(clock, (23, 59, 59, 14, 59), strict=True)):
        raise AttemptError("answered_at", given, allowed)
    zone_s = (3600 * clock[3] + 60 * clock[4]) * (-1 if sign == "-" else 1)
    days, of_day = divmod(3600 * clock[0] + 60 * clock[1] + clock[2] - zone_s, DAY_S)
    if number + days < day_number(FIRST_DAY):
        raise AttemptError("answered_at", given, allowed)
    minutes, left_s = divmod(of_day, 60)
    return f"{day_text(number + days)}T{minutes // 60:02d}:{minutes % 60:02d}:{left_s:02d}Z"


def checked_student(given: str) -> str:
    """The code of a student, if it can be one.

    Raises
    ------
    StudentCodeError
    """
    if CODE.fullmatch(given.strip()) is None:
        raise StudentCodeError(given)
    return given.strip()


def _check(attempt: Attempt) -> None:
    if CODE.fullmatch(_text("student", attempt.student)) is None:
        raise AttemptError("student", attempt.student, STUDENT_ALLOWED)
    for name in ("item", "topic"):
        value = _text(name, getattr(attempt, name))
        if NAME.fullmatch(value) is None:
            raise AttemptError(name, value, "up to 64 letters, digits and . : / + - _")
    if not isinstance(getattr(attempt, "skill"), Skill):  # noqa: B009  typed, yet not checked
        raise AttemptError("skill", attempt.skill, f"one of {', '.join(Skill)}, as a Skill")
    for name, most in (("score", 1.0), ("sure", 1.0), ("seconds", LONGEST_S)):
        value = getattr(attempt, name)
        if value is None and name in OPTIONAL:
            continue
        if not 0.0 <= _number(name, value) <= most:
            raise AttemptError(name, value, f"a number from 0 to {most:g}")
    if moment_utc(_text("answered_at", attempt.answered_at)) != attempt.answered_at:
        raise AttemptError(
            "answered_at", attempt.answered_at, "it as UTC to the second: 2026-01-31T09:30:00Z"
        )


def _text(name: str, given: object) -> str:
    if not isinstance(given, str):
        raise AttemptError(name, given, "text")
    return given.strip()


def _skill(given: object) -> Skill:
    try:
        return Skill(str(given).strip().lower())
    except ValueError as error:
        raise AttemptError("skill", given, f"one of {', '.join(Skill)}") from error


def _number(name: str, given: object) -> float:
    allowed = "a number"
    if isinstance(given, bool) or not isinstance(given, (int, float, str)):
        raise AttemptError(name, given, allowed)
    try:
        value = float(given)
    except (ValueError, OverflowError) as error:
        raise AttemptError(name, given, allowed) from error
    if not math.isfinite(value):
        raise AttemptError(name, given, allowed)
    return value


__all__ = [
    "Attempt",
    "AttemptError",
    "Skill",
    "StudentCodeError",
    "attempt_from",
    "checked_student",
    "moment_utc",
]
