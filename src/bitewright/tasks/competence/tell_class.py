"""A class: who can do what, what is misunderstood, and which exercises are poor."""

from dataclasses import dataclass
from typing import Any

from bitewright.competence.attempts import Skill
from bitewright.competence.item_statistics import (
    ItemStatistics,
    TopicStatistics,
    item_statistics,
    topic_statistics,
)
from bitewright.competence.judging import (
    Judgement,
    SkillStanding,
    answers_by_skill,
    level_of,
    standing_of,
)
from bitewright.competence.school_bar import BAR
from bitewright.store.attempt_deletion import Deletion, deletions
from bitewright.store.attempts import sound_attempts
from bitewright.tasks.competence.opened_attempts import NobodyAnsweredError, opened_attempts
from bitewright.tasks.competence.tell_student import skill_document

CLASS_FORMAT = "bitewright.competence-class/1"


@dataclass(frozen=True, slots=True, kw_only=True)
class ClassSheet:
    """What can be told of a class.

    Parameters
    ----------
    students : dict of str to tuple of SkillStanding
        By code.
    items : tuple of ItemStatistics
    topics : tuple of TopicStatistics
    damaged : dict of str to int
        Students who are left out, and which attempt of theirs is not as written.
    deleted : tuple of Deletion
    bar : float
    """

    students: dict[str, tuple[SkillStanding, ...]]
    items: tuple[ItemStatistics, ...]
    topics: tuple[TopicStatistics, ...]
    damaged: dict[str, int]
    deleted: tuple[Deletion, ...]
    bar: float

    @property
    def misconceived(self) -> tuple[TopicStatistics, ...]:
        """Topics of which many are sure what is wrong."""
        return tuple(each for each in self.topics if each.is_misconceived)

    @property
    def poor(self) -> tuple[ItemStatistics, ...]:
        """Items that do not tell who is able."""
        return tuple(each for each in self.items if each.is_poor)

    def counted(self, skill: Skill) -> dict[Judgement, int]:
        """How many students each answer is given, of one skill."""
        told = [each for own in self.students.values() for each in own if each.skill is skill]
        return {answer: sum(each.answer is answer for each in told) for answer in Judgement}

    def document(self) -> dict[str, Any]:
        """As data for machines."""
        return {
            "format": CLASS_FORMAT,
            "bar": self.bar,
            "students": {
                code: [skill_document(each) for each in own] for code, own in self.students.items()
            },
            "items": [_item_document(each) for each in self.items],
            "topics": [_topic_document(each) for each in self.topics],
            "damaged": dict(self.damaged),
            "deleted": [
                {
                    "student": each.student,
                    "attempts": each.attempts,
                    "deleted_at": each.deleted_at,
                    "deleted_by": each.deleted_by,
                    "is_as_written": each.is_sound,
                }
                for each in self.deleted
            ],
        }


def tell_class(store: str | None, *, bar: float = BAR) -> ClassSheet:
    """The sheet of everybody whose attempts are kept.

    Raises
    ------
    NobodyAnsweredError, BarError
    """
    with opened_attempts(store) as opened, opened.reading() as connection:
        attempts, damaged = sound_attempts(connection)
        deleted = tuple(deletions(connection))
    if not attempts and not damaged:
        raise NobodyAnsweredError(opened.location)
    students: dict[str, list[SkillStanding]] = {each.student: [] for each in attempts}
    for skill, of in answers_by_skill(attempts).items():
        for code in of.students:
            students[code].append(standing_of(level_of(code, of), skill, bar=bar))
    return ClassSheet(
        students={code: tuple(own) for code, own in sorted(students.items(), key=_in_order)},
        items=tuple(item_statistics(attempts)),
        topics=tuple(topic_statistics(attempts)),
        damaged=damaged,
        deleted=deleted,
        bar=bar,
    )


def class_if_any(store: str | None, *, bar: float = BAR) -> ClassSheet | None:
    """As `tell_class`; None where nobody has answered anything yet."""
    try:
        return tell_class(store, bar=bar)
    except NobodyAnsweredError:
        return None


def _in_order(own: tuple[str, list[SkillStanding]]) -> tuple[int, str]:
    """S2 before S10."""
    return len(own[0]), own[0]


def _item_document(each: ItemStatistics) -> dict[str, Any]:
    found = each.discrimination
    return {
        "item": each.item,
        "skill": each.skill.value,
        "topic": each.topic,
        "answers": each.answers,
        "mean_score": round(each.mean_score, 3),
        "discrimination": None if found is None else round(found, 3),
        "is_poor": each.is_poor,
    }


def _topic_document(each: TopicStatistics) -> dict[str, Any]:
    return {
        "topic": each.topic,
        "skill": each.skill.value,
        "answers": each.answers,
        "mean_score": round(each.mean_score, 3),
        "with_sureness": each.rated,
        "sure_and_wrong": each.sure_and_wrong,
        "is_misconceived": each.is_misconceived,
    }


__all__ = ["ClassSheet", "class_if_any", "tell_class"]
