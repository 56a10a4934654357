"""A person's level at a skill, as a belief: every level from 0 to 1 with its chance.

The level is the mean score that a person would have over items such as these. Before any answer
every level is as likely as every other. An answer counts by how hard its item is, as the Rasch
model tells it from others' answers; an item of unknown difficulty counts as a usual one, and with
such items alone the belief is the plain one of so many right out of so many (a beta distribution).

Sources: Gelman A and others, Bayesian Data Analysis, 3rd edition, 2013, chapter 2 (a proportion
with a flat prior); MacKay DJC, Neural Comput 1992;4:720-36 (the logistic of a normal); from memory.
"""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray
from scipy.special import expit, gammaln, xlog1py, xlogy

Floats = NDArray[np.float64]

GRID = np.linspace(-9.0, 9.0, 721)
"""Abilities looked at. [logits]"""
EACH = 8
"""The level over a pool of items is worked out at each eighth of them. Our choice."""
CONFIDENCE = 0.90
"""Of the intervals told of a level. Our choice."""
FURTHER = (1, 2, 3, 5, 8, 12, 16, 20, 25, 30, 40, 50, 65, 80, 100)
"""How many more items are tried, to tell how many would settle it. Our choice."""
LIKELY = 0.8
"""Chance with which so many more items should settle it. Our choice."""


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class LevelBelief:
    """A level and how sure it is.

    Parameters
    ----------
    level : (G,) float array
        Levels, rising.
    chance : (G,) float array
        Of each; together 1.
    items : int
        Answers that it rests on.
    """

    level: Floats
    chance: Floats
    items: int

    @property
    def mean(self) -> float:
        """The expected level."""
        return float(self.level @ self.chance)

    @property
    def interval(self) -> tuple[float, float]:
        """Ends of the shortest interval with 90%; it reaches 1 where every answer was right."""
        below = np.linspace(0.0, 1.0 - CONFIDENCE, 101)
        low, high = self._levels_at(below), self._levels_at(below + CONFIDENCE)
        shortest = int((high - low).argmin())
        return float(low[shortest]), float(high[shortest])

    def chance_of(self, bar: float) -> float:
        """Chance that the true level passes a bar."""
        return 1.0 - float(np.interp(bar, *self._below))

    def _levels_at(self, share: Floats) -> Floats:
        level, below = self._below
        return np.interp(share, below, level)

    @property
    def _below(self) -> tuple[Floats, Floats]:
        """Levels from 0 to 1, and how much of the chance lies below each."""
        below = np.cumsum(self.chance) - self.chance / 2.0
        return np.r_[0.0, self.level, 1.0], np.r_[0.0, below, 1.0]


def believed_level(
    score: Floats,
    difficulty: Floats,
    difficulty_sd: Floats,
    *,
    pool: Floats | None = None,
    pool_sd: Floats | None = None,
    scatter: float = 1.0,
) -> LevelBelief:
    """What answers make believe of a level.

    Parameters
    ----------
    score : (N,) float array
        From 0 to 1; N may be 0.
    difficulty, difficulty_sd : (N,) float arrays
        Of the answered items, from others' answers. [logits]
    pool, pool_sd : (M,) float arrays or None
        The same of all items that the level is about; None for a usual item.
    scatter : float
        Variance of the scores over that of right and wrong answers: a quasi-likelihood is divided
        by it (McCullagh P, Nelder JA, Generalized Linear Models, 2nd edition, 1989, chapter 9; from
        memory).
    """
    pool = np.zeros(1) if pool is None else pool
    pool_sd = np.ones(1) if pool_sd is None else pool_sd
    coarse = GRID[::EACH]  # a smooth curve over what may be thousands of items
    level = np.interp(GRID, coarse, _chances(coarse, pool, pool_sd).mean(axis=1))
    chance = _chances(GRID, difficulty, difficulty_sd)
    told = (xlogy(score, chance) + xlog1py(1.0 - score, -chance)).sum(axis=1) / scatter
    weight = np.exp(told - told.max()) * np.gradient(level)
    return LevelBelief(level=level, chance=weight / weight.sum(), items=len(score))


def _chances(ability: Floats, difficulty: Floats, sd: Floats) -> Floats:
    """Of a right answer at each ability and each item, (G, N)."""
    softened = 1.0 / np.sqrt(1.0 + np.pi * sd**2 / 8.0)
    return np.asarray(expit((ability[:, None] - difficulty) * softened))


def items_to_settle(belief: LevelBelief, *, bar: float, sure: float, fewest: int) -> int | None:
    """How many more usual items would, with 80% chance, let one side of a bar be told.

    Parameters
    ----------
    belief : LevelBelief
    bar : float
    sure : float
        Chance of passing that must be reached, or its opposite.
    fewest : int
        Items before which nothing is told.

    Returns
    -------
    int or None
        None if a hundred more would not do.
    """
    for more in FURTHER:
        if belief.items + more >= fewest and _settled(belief, more, bar, sure) >= LIKELY:
            return more
    return None


def _settled(belief: LevelBelief, more: int, bar: float, sure: float) -> float:
    """Chance that so many more items settle it, over what is believed of the level."""
    level = np.clip(belief.level, 1e-12, 1.0 - 1e-12)
    right = np.arange(more + 1)
    ways = gammaln(more + 1) - gammaln(right + 1) - gammaln(more - right + 1)
    log_chance = ways + np.outer(np.log(level), right) + np.outer(np.log1p(-level), more - right)
    joint = np.exp(log_chance) * belief.chance[:, None]
    each = joint.sum(axis=0)
    passes = joint[level >= bar].sum(axis=0) / np.maximum(each, 1e-300)
    return float(each[(passes >= sure) | (passes <= 1.0 - sure)].sum())


__all__ = ["CONFIDENCE", "LevelBelief", "believed_level", "items_to_settle"]
