"""One student's own sheet: each skill against the bar, its course, sureness, and logged films."""

from dataclasses import dataclass
from typing import Any

from bitewright.audit.counted_by import Dimension
from bitewright.audit.proportions import Share, share_of
from bitewright.competence.attempts import Attempt, Skill, checked_student
from bitewright.competence.item_statistics import TopicStatistics, topic_statistics
from bitewright.competence.judging import (
    SkillStanding,
    answers_by_skill,
    first_attempts,
    level_of,
    standing_of,
)
from bitewright.competence.school_bar import BAR
from bitewright.competence.student_course import Block, SureAnswers, course_of, sureness_of
from bitewright.store.attempts import attempts_of, sound_attempts
from bitewright.store.columns import log_columns
from bitewright.store.entries import DamagedEntryError
from bitewright.store.opening import Store
from bitewright.tasks.competence.opened_attempts import opened_attempts
from bitewright.words.competence import standing_words

SHEET_FORMAT = "bitewright.competence-sheet/1"
MOST_MISSED = 5
"""So many topics are told as the weakest. Our choice."""


@dataclass(frozen=True, slots=True, kw_only=True)
class StudentSheet:
    """What can be told of a student.

    Parameters
    ----------
    student : str
    attempts, first : int
        All attempts, and those that were the first at their item.
    standings : tuple of SkillStanding
        Of each skill with an attempt.
    courses : dict of Skill to list of Block
    topics : tuple of TopicStatistics
        The student's own, the weakest first.
    sureness : tuple of SureAnswers
        For each step of how sure that was said, the least sure first.
    rejected : Share or None
        Of the films logged under the student's code, those rejected; None where none is logged or
        the log is damaged.
    """

    student: str
    attempts: int
    first: int
    standings: tuple[SkillStanding, ...]
    courses: dict[Skill, list[Block]]
    topics: tuple[TopicStatistics, ...]
    sureness: tuple[SureAnswers, ...]
    rejected: Share | None

    @property
    def missed(self) -> tuple[TopicStatistics, ...]:
        """The weakest topics, those that were never missed left out."""
        return tuple(each for each in self.topics if each.mean_score < 1.0)[:MOST_MISSED]

    def document(self) -> dict[str, Any]:
        """As data for machines."""
        return {
            "format": SHEET_FORMAT,
            "student": self.student,
            "attempts": self.attempts,
            "first_attempts": self.first,
            "skills": [
                skill_document(each)
                | {"course": [_block_document(block) for block in self.courses[each.skill]]}
                for each in self.standings
            ],
            "topics": [
                {
                    "skill": each.skill.value,
                    "topic": each.topic,
                    "answers": each.answers,
                    "mean_score": round(each.mean_score, 3),
                }
                for each in self.topics
            ],
            "sureness": [
                {
                    "said": each.step.value,
                    "answers": each.answers,
                    "mean_score": round(each.mean_score, 3),
                }
                for each in self.sureness
            ],
            "logged_films": None
            if self.rejected is None
            else {
                "exposures": self.rejected.total,
                "rejected": self.rejected.count,
                "low": round(self.rejected.low, 3),
                "high": round(self.rejected.high, 3),
            },
        }


def skill_document(told: SkillStanding) -> dict[str, Any]:
    """A skill's standing as data for machines."""
    return {
        "skill": told.skill.value,
        "items": told.items,
        "level": round(told.level, 3),
        "low": round(told.low, 3),
        "high": round(told.high, 3),
        "bar": told.bar,
        "chance_passes": round(told.chance, 3),
        "answer": told.answer.value,
        "more_items": told.more,
        "sentence": standing_words(told),
    }


def tell_student(student: str, store: str | None, *, bar: float = BAR) -> StudentSheet:
    """The sheet of a student.

    Raises
    ------
    NobodyAnsweredError, NoAttemptsError, DamagedAttemptsError, BarError, StudentCodeError
    """
    code = checked_student(student)
    with opened_attempts(store) as opened:
        with opened.reading() as connection:
            own = attempts_of(connection, code)
            everybody, _ = sound_attempts(connection)
        rejected = _rejected_films(opened, code)
    standings, courses = [], {}
    for skill, of in answers_by_skill(everybody).items():
        if code not in of.students:
            continue
        standings.append(standing_of(level_of(code, of), skill, bar=bar))
        courses[skill] = course_of(code, of)
    return StudentSheet(
        student=code,
        attempts=len(own),
        first=len(first_attempts(own)),
        standings=tuple(standings),
        courses=courses,
        topics=_weakest(own),
        sureness=sureness_of(own),
        rejected=rejected,
    )


def _weakest(own: list[Attempt]) -> tuple[TopicStatistics, ...]:
    return tuple(sorted(topic_statistics(own), key=lambda each: (each.mean_score, -each.answers)))


def _rejected_films(opened: Store, code: str) -> Share | None:
    """Of films logged under a code, those rejected; nothing where the log cannot be counted."""
    try:
        logged = log_columns(opened).decided()
    except DamagedEntryError:
        return None
    labels = list(logged.labels.get(Dimension.OPERATOR, ()))
    if code not in labels:
        return None
    own = logged.codes[Dimension.OPERATOR] == labels.index(code)
    return share_of(int(logged.rejected[own].sum()), int(own.sum())) if own.any() else None


def _block_document(block: Block) -> dict[str, Any]:
    return {
        "first_day": block.first_day,
        "last_day": block.last_day,
        "items": block.items,
        "level": round(block.level, 3),
        "low": round(block.low, 3),
        "high": round(block.high, 3),
    }


__all__ = ["StudentSheet", "skill_document", "tell_student"]
