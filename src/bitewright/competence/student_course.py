"""One student over time: a skill in blocks of items, and how sure answers were against right."""

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from bitewright.competence.attempts import Attempt
from bitewright.competence.judging import SkillAnswers, scatter_of
from bitewright.competence.levels import believed_level
from bitewright.competence.rasch import without_own

BLOCK = 10
"""Items that are told together. Our choice."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Block:
    """Items answered one after another.

    ``level``, ``low``, ``high``: expected level over them and the ends of its 90% interval.
    """

    first_day: str
    last_day: str
    items: int
    level: float
    low: float
    high: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Sureness:
    """How sure a student said to be, against how well it went: means over the same answers."""

    answers: int
    sure: float
    score: float


def course_of(student: str, of: SkillAnswers) -> list[Block]:
    """A student's first answers at a skill in blocks of ten, the oldest first."""
    own = np.array([each.student == student for each in of.attempts])
    difficulty, sd = without_own(of.fit, of.item, own=own)
    places = np.flatnonzero(own)
    found = []
    for start in range(0, len(places), BLOCK):
        some = places[start : start + BLOCK]
        item = of.item[some]
        belief = believed_level(
            np.array([of.attempts[place].score for place in some]),
            difficulty[item],
            sd[item],
            pool=difficulty,
            pool_sd=sd,
            scatter=scatter_of(of),
        )
        low, high = belief.interval
        found.append(
            Block(
                first_day=of.attempts[some[0]].day,
                last_day=of.attempts[some[-1]].day,
                items=len(some),
                level=belief.mean,
                low=low,
                high=high,
            )
        )
    return found


def sureness_of(attempts: Sequence[Attempt]) -> Sureness | None:
    """Over all answers with how sure; None where there are none."""
    rated = [(each.sure, each.score) for each in attempts if each.sure is not None]
    if not rated:
        return None
    sure, score = np.array(rated).mean(axis=0)
    return Sureness(answers=len(rated), sure=float(sure), score=float(score))


__all__ = ["Block", "Sureness", "course_of", "sureness_of"]
