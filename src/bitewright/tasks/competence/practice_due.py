"""What a student missed comes again, at growing distance.

Each topic of a skill is scheduled by the answers given to it, from the first that missed it, by the
free spaced repetition scheduler (the package `fsrs`) with its published weights. What comes again
is the topic, best as an item not seen before.
"""

from collections import defaultdict
from dataclasses import dataclass
from datetime import UTC, date, datetime
from typing import TYPE_CHECKING, Any

from bitewright.competence.attempts import Attempt, Skill, checked_student
from bitewright.errors import ExtraMissingError
from bitewright.log.fields import from_text
from bitewright.store.attempts import attempts_of
from bitewright.tasks.competence.opened_attempts import opened_attempts

if TYPE_CHECKING:
    from fsrs import Rating

DUE_FORMAT = "bitewright.practice-due/1"
MISSED = 0.5
"""A score below this missed the topic. Our choice."""
FULL = 0.99
"""A score from this on is a full one."""
UNSURE = 0.5
"""A right answer given with less than this was hard. Our choice."""


@dataclass(frozen=True, slots=True, kw_only=True)
class DueTopic:
    """A topic that comes again.

    Parameters
    ----------
    skill : Skill
    topic : str
    due : str
        The day from which it is due, UTC.
    answers, missed : int
        Answers since it was first missed, that one included; how many of them missed it.
    last_item : str
        The item of the last answer.
    """

    skill: Skill
    topic: str
    due: str
    answers: int
    missed: int
    last_item: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Practice:
    """All topics that come again, by day; and the day it is asked on."""

    student: str
    on: str
    topics: tuple[DueTopic, ...]

    @property
    def due(self) -> tuple[DueTopic, ...]:
        """Those that are due on that day."""
        return tuple(each for each in self.topics if each.due <= self.on)

    @property
    def later(self) -> tuple[DueTopic, ...]:
        """Those that come later."""
        return tuple(each for each in self.topics if each.due > self.on)

    def document(self) -> dict[str, Any]:
        """As data for machines."""
        return {
            "format": DUE_FORMAT,
            "student": self.student,
            "on": self.on,
            "topics": [
                {
                    "skill": each.skill.value,
                    "topic": each.topic,
                    "due": each.due,
                    "is_due": each.due <= self.on,
                    "answers": each.answers,
                    "missed": each.missed,
                    "last_item": each.last_item,
                }
                for each in self.topics
            ],
        }


def practice_due(student: str, store: str | None, *, on: str | None = None) -> Practice:
    """What comes again for a student.

    ``on``: the day, today if left out.

    Raises
    ------
    NobodyAnsweredError, NoAttemptsError, DamagedAttemptsError, StudentCodeError, FieldValueError
    """
    code = checked_student(student)
    day = datetime.now(UTC).date().isoformat() if on is None else str(from_text("day", on))
    with opened_attempts(store) as opened, opened.reading() as connection:
        own = attempts_of(connection, code)
    return Practice(student=code, on=day, topics=tuple(topics_again(own)))


def practice_if_scheduled(student: str, store: str | None) -> Practice | None:
    """As `practice_due` today; None where the scheduler is not installed."""
    try:
        return practice_due(student, store)
    except ExtraMissingError:
        return None


def topics_again(own: list[Attempt]) -> list[DueTopic]:
    """Topics that were missed at least once, by the day on which they are due."""
    by_topic: dict[tuple[Skill, str], list[Attempt]] = defaultdict(list)
    for each in sorted(own, key=lambda attempt: attempt.answered_at):
        if by_topic[each.skill, each.topic] or each.score < MISSED:
            by_topic[each.skill, each.topic].append(each)
    found = [_scheduled(*name, answers) for name, answers in by_topic.items() if answers]
    return sorted(found, key=lambda each: (each.due, each.skill.value, each.topic))


def _scheduled(skill: Skill, topic: str, answers: list[Attempt]) -> DueTopic:
    try:
        from fsrs import Card, Scheduler  # noqa: PLC0415  of an extra
    except ImportError as error:
        raise ExtraMissingError("Topics that come again", ["fsrs"], extra="practice") from error
    # No steps of minutes: days alone, and the same answer every time.
    scheduler = Scheduler(learning_steps=(), relearning_steps=(), enable_fuzzing=False)
    card = Card(card_id=1, due=_moment(answers[0]))
    for each in answers:
        card, _ = scheduler.review_card(card, _rating(each), _moment(each))
    return DueTopic(
        skill=skill,
        topic=topic,
        due=_day(card.due).isoformat(),
        answers=len(answers),
        missed=sum(each.score < MISSED for each in answers),
        last_item=answers[-1].item,
    )


def _rating(attempt: Attempt) -> "Rating":
    from fsrs import Rating  # noqa: PLC0415  as above

    if attempt.score < MISSED:
        return Rating.Again
    unsure = attempt.sure is not None and attempt.sure < UNSURE
    return Rating.Hard if attempt.score < FULL or unsure else Rating.Good


def _moment(attempt: Attempt) -> datetime:
    return datetime.fromisoformat(attempt.answered_at)


def _day(moment: datetime) -> date:
    return moment.astimezone(UTC).date()


__all__ = ["DueTopic", "Practice", "practice_due", "practice_if_scheduled", "topics_again"]
