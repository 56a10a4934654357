"""What can be said of a person's skill against the school's bar: can do it, not yet, cannot tell.

Never from few items, and only where the chance is high enough: the limits were set on simulated
learners and judged on others (docs/competence.md).
"""

from collections.abc import Sequence
from dataclasses import dataclass
from enum import StrEnum

import numpy as np
from numpy.typing import NDArray

from bitewright.competence.attempts import Attempt, Skill
from bitewright.competence.levels import LevelBelief, believed_level, items_to_settle
from bitewright.competence.rasch import PRIOR_SD, RaschFit, fit_rasch, without_own
from bitewright.competence.school_bar import BAR, checked_bar

SURE = 0.95
"""Chance of passing from which "can do it" is said, and of failing for "not yet": set on the
simulated learners of seed 1."""
FEWEST = 10
"""Items before which nothing is said. Our choice."""
NEWEST = 60
"""Only so many of a person's newest answers at a skill count: people change. Our choice."""


FEW_SCATTER, LEAST_SCATTER = 2.5, 0.2
"""As if ten answers, right as often as wrong, had been seen before; and the least. Our choice."""


class Judgement(StrEnum):
    """What can be said of a skill."""

    CAN = "can"
    NOT_YET = "not-yet"
    CANNOT_TELL = "cannot-tell"


@dataclass(frozen=True, slots=True, kw_only=True)
class SkillStanding:
    """One person's skill against a bar.

    Parameters
    ----------
    skill : Skill
    items : int
        First answers that count, the newest sixty at most.
    level, low, high : float
        Expected level, and the ends of its 90% interval; 0 to 1.
    bar : float
    chance : float
        That the true level passes the bar.
    answer : Judgement
    more : int or None
        Items that would likely settle it; 0 where it is settled, None if a hundred would not.
    """

    skill: Skill
    items: int
    level: float
    low: float
    high: float
    bar: float
    chance: float
    answer: Judgement
    more: int | None


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class SkillAnswers:
    """First answers of a class at one skill, with what they tell of the items.

    Parameters
    ----------
    attempts : tuple of Attempt
        N of them, oldest first.
    students, items : tuple of str
        In the order of the fit's people and items.
    item : (N,) int array
        Place of each attempt's item.
    fit : RaschFit
    """

    attempts: tuple[Attempt, ...]
    students: tuple[str, ...]
    items: tuple[str, ...]
    item: NDArray[np.int64]
    fit: RaschFit


def first_attempts(attempts: Sequence[Attempt]) -> list[Attempt]:
    """Each student's first attempt at each item, oldest first.

    Later ones show what was remembered of the item, so they count for nobody's skill.
    """
    found: dict[tuple[str, str], Attempt] = {}
    for attempt in sorted(attempts, key=lambda each: (each.answered_at, each.item)):
        found.setdefault((attempt.student, attempt.item), attempt)
    return list(found.values())


def answers_by_skill(attempts: Sequence[Attempt]) -> dict[Skill, SkillAnswers]:
    """The class's first answers at each skill that anybody was asked for."""
    first = first_attempts(attempts)
    by_skill = {skill: [each for each in first if each.skill is skill] for skill in Skill}
    return {skill: _fitted(own) for skill, own in by_skill.items() if own}


def _fitted(first: Sequence[Attempt]) -> SkillAnswers:
    students = tuple(sorted({each.student for each in first}))
    items = tuple(sorted({each.item for each in first}))
    place = {name: number for number, name in enumerate(items)}
    of = {name: number for number, name in enumerate(students)}
    item = np.array([place[each.item] for each in first])
    fit = fit_rasch(
        np.array([of[each.student] for each in first]),
        item,
        np.array([each.score for each in first]),
        prior_sd=PRIOR_SD,
    )
    return SkillAnswers(attempts=tuple(first), students=students, items=items, item=item, fit=fit)


def level_of(student: str, of: SkillAnswers) -> LevelBelief:
    """What is believed of one student's level, by items as others found them."""
    own = np.array([each.student == student for each in of.attempts])
    difficulty, sd = without_own(of.fit, of.item, own=own)
    places = np.flatnonzero(own)[-NEWEST:]
    scores = np.array([of.attempts[place].score for place in places])
    item = of.item[places]
    return believed_level(
        scores,
        difficulty[item],
        sd[item],
        pool=difficulty,
        pool_sd=sd,
        scatter=scatter_of(of),
    )


def scatter_of(of: SkillAnswers) -> float:
    """Variance of everybody's scores over that of right and wrong answers; 1 where all are these.

    A score s from 0 to 1 with mean p scatters by p (1 - p) less the mean of s (1 - s). From few
    answers it stays near 1.
    """
    scores = np.array([each.score for each in of.attempts])
    expected = np.clip(scores - of.fit.surprise, 0.0, 1.0)
    partial = float((scores * (1.0 - scores)).sum())
    most = float((expected * (1.0 - expected)).sum()) + FEW_SCATTER
    return max(1.0 - partial / most, LEAST_SCATTER)


def standing_of(belief: LevelBelief, skill: Skill, *, bar: float = BAR) -> SkillStanding:
    """What can be said of a level against a bar.

    Raises
    ------
    BarError
    """
    chance = belief.chance_of(checked_bar(bar))
    answer = Judgement.CANNOT_TELL
    if belief.items >= FEWEST and chance >= SURE:
        answer = Judgement.CAN
    elif belief.items >= FEWEST and chance <= 1.0 - SURE:
        answer = Judgement.NOT_YET
    settled = answer is not Judgement.CANNOT_TELL
    low, high = belief.interval
    return SkillStanding(
        skill=skill,
        items=belief.items,
        level=belief.mean,
        low=low,
        high=high,
        bar=bar,
        chance=chance,
        answer=answer,
        more=0 if settled else items_to_settle(belief, bar=bar, sure=SURE, fewest=FEWEST),
    )


__all__ = [
    "FEWEST",
    "NEWEST",
    "SURE",
    "Judgement",
    "SkillAnswers",
    "SkillStanding",
    "answers_by_skill",
    "first_attempts",
    "level_of",
    "scatter_of",
    "standing_of",
]
