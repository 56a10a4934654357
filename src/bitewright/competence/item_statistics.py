"""What a class's first answers tell of the items and topics: hard ones, bad ones, misconceptions.

Sources: Ebel RL, Frisbie DA, Essentials of Educational Measurement, 5th edition, 1991 (an item
whose correlation with the rest is below 0.20 is poor); Fisher RA, Metron 1921;1:3-32 (the interval
of a correlation); both from memory.
"""

from collections import defaultdict
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from math import atanh, sqrt, tanh
from statistics import NormalDist

import numpy as np

from bitewright.competence.attempts import Attempt, Skill
from bitewright.competence.judging import first_attempts

POOR = 0.20
"""Correlation with the rest below which an item is poor (Ebel and Frisbie)."""
FEWEST_ANSWERS = 10
"""Answers before which nothing is said of an item or topic. Our choice."""
FEWEST_SURE = 5
"""Answers with how sure before which nothing is said of misconceptions. Our choice."""
IS_SURE, IS_WRONG = 0.75, 0.25
"""From how sure, and up to which score, an answer is sure and wrong. Our choice."""
MISCONCEIVED = 0.25
"""Share of sure and wrong answers from which a topic is one that is misunderstood. Our choice."""


@dataclass(frozen=True, slots=True, kw_only=True)
class ItemStatistics:
    """One item.

    Parameters
    ----------
    item, topic : str
    skill : Skill
    answers : int
    mean_score : float
    discrimination : float or None
        Correlation of its score with the same student's mean over other items of the skill; None
        where it cannot be worked out.
    is_poor : bool
        Whether even the upper end of that correlation's 90% interval is below 0.20.
    """

    item: str
    topic: str
    skill: Skill
    answers: int
    mean_score: float
    discrimination: float | None
    is_poor: bool


@dataclass(frozen=True, slots=True, kw_only=True)
class TopicStatistics:
    """One topic of one skill.

    ``rated``: answers with how sure; ``sure_and_wrong``: those of them that were wrong all the
    same.
    """

    topic: str
    skill: Skill
    answers: int
    mean_score: float
    rated: int
    sure_and_wrong: int

    @property
    def is_misconceived(self) -> bool:
        """Whether many are sure of what is wrong."""
        return self.rated >= FEWEST_SURE and self.sure_and_wrong >= MISCONCEIVED * self.rated


def item_statistics(attempts: Sequence[Attempt]) -> list[ItemStatistics]:
    """Every item that was answered, by skill, the hardest first."""
    first = first_attempts(attempts)
    totals: dict[tuple[str, Skill], list[float]] = defaultdict(list)
    by_item: dict[tuple[Skill, str], list[Attempt]] = defaultdict(list)
    for each in first:
        totals[each.student, each.skill].append(each.score)
        by_item[each.skill, each.item].append(each)
    found = []
    for (skill, item), answers in by_item.items():
        rest = [_rest(totals[each.student, skill], each.score) for each in answers]
        pairs = [(each.score, r) for each, r in zip(answers, rest, strict=True) if r is not None]
        correlation = _correlation(pairs)
        found.append(
            ItemStatistics(
                item=item,
                topic=answers[0].topic,
                skill=skill,
                answers=len(answers),
                mean_score=_mean(each.score for each in answers),
                discrimination=correlation,
                is_poor=correlation is not None and _upper_end(correlation, len(pairs)) < POOR,
            )
        )
    order = list(Skill)
    return sorted(found, key=lambda each: (order.index(each.skill), each.mean_score, each.item))


def topic_statistics(attempts: Sequence[Attempt]) -> list[TopicStatistics]:
    """Every topic by skill, the hardest first."""
    by_topic: dict[tuple[Skill, str], list[Attempt]] = defaultdict(list)
    for each in first_attempts(attempts):
        by_topic[each.skill, each.topic].append(each)
    found = []
    for (skill, topic), answers in by_topic.items():
        rated = [each for each in answers if each.sure is not None]
        wrong = [each for each in rated if (each.sure or 0.0) >= IS_SURE and each.score <= IS_WRONG]
        found.append(
            TopicStatistics(
                topic=topic,
                skill=skill,
                answers=len(answers),
                mean_score=_mean(each.score for each in answers),
                rated=len(rated),
                sure_and_wrong=len(wrong),
            )
        )
    order = list(Skill)
    return sorted(found, key=lambda each: (order.index(each.skill), each.mean_score, each.topic))


def _rest(scores: Sequence[float], own: float) -> float | None:
    """Mean over the other items; None where there are none."""
    return (sum(scores) - own) / (len(scores) - 1) if len(scores) > 1 else None


def _correlation(pairs: Sequence[tuple[float, float]]) -> float | None:
    if len(pairs) < FEWEST_ANSWERS:
        return None
    one, other = np.array(pairs).T
    if one.std() < 1e-9 or other.std() < 1e-9:
        return None
    return float(np.corrcoef(one, other)[0, 1])


def _upper_end(correlation: float, count: int) -> float:
    z = atanh(min(max(correlation, -0.999999), 0.999999))
    return tanh(z + NormalDist().inv_cdf(0.95) / sqrt(count - 3))


def _mean(values: Iterable[float]) -> float:
    known = list(values)
    return sum(known) / len(known)


__all__ = [
    "FEWEST_ANSWERS",
    "ItemStatistics",
    "TopicStatistics",
    "item_statistics",
    "topic_statistics",
]
