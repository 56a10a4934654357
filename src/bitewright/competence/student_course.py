"""One student over time: a skill in blocks of items, and how sure answers were against right."""

from collections.abc import Sequence
from dataclasses import dataclass
from enum import StrEnum

import numpy as np

from bitewright.competence.attempts import Attempt
from bitewright.competence.item_statistics import IS_SURE
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


class SureStep(StrEnum):
    """How sure somebody said to be, in the three steps in which exercises ask it."""

    GUESSING = "guessing"
    FAIRLY_SURE = "fairly sure"
    CERTAIN = "certain"


@dataclass(frozen=True, slots=True, kw_only=True)
class SureAnswers:
    """Answers given with one step of how sure, and their mean score."""

    step: SureStep
    answers: int
    mean_score: float


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


def sureness_of(attempts: Sequence[Attempt]) -> tuple[SureAnswers, ...]:
    """Answers by how sure they were given, steps without answers left out.

    What a file says in between counts to the nearest step, and from `IS_SURE` on as certain.
    """
    by_step: dict[SureStep, list[float]] = {step: [] for step in SureStep}
    for each in attempts:
        if each.sure is not None:
            by_step[_step(each.sure)].append(each.score)
    return tuple(
        SureAnswers(step=step, answers=len(scores), mean_score=float(np.mean(scores)))
        for step, scores in by_step.items()
        if scores
    )


def _step(sure: float) -> SureStep:
    if sure >= IS_SURE:
        return SureStep.CERTAIN
    return SureStep.FAIRLY_SURE if sure >= 1.0 - IS_SURE else SureStep.GUESSING


__all__ = ["Block", "SureAnswers", "SureStep", "course_of", "sureness_of"]
