"""Fewer than twenty operators: each against the others, who differ as people usually do.

So few say little of how much people differ, and one of them is much of what all together come to.
So each is set against the others alone. Their own rate is known no better than their number and
their exposures allow, and the spread between people is `usual_spread`, or that of the others where
these differ more: so two alike are not made odd by a third.

Sources: Spiegelhalter DJ, Stat Med 2005;24:1185-202 (random effects between units); DerSimonian R,
Laird N, Control Clin Trials 1986;7:177-88 (variance between units, from memory); Clayton D, Kaldor
J, Biometrics 1987;43:671-81 (counts about gamma distributed rates, from memory).
"""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray
from scipy.special import betainc, ndtri

Floats = NDArray[np.float64]

HALVINGS = 30


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Others:
    """What the others of each of K operators did, (K,) arrays.

    Parameters
    ----------
    ratio : float array
        Their rejects over those expected, half a reject added to both.
    ratio_variance : float array
        Variance of people's true ratios, in parts of the square of it.
    doubt : float array
        Variance of the others' own ratio, likewise: chance, and so few people.
    """

    ratio: Floats
    ratio_variance: Floats
    doubt: Floats


def others_of(hits: Floats, expected: Floats, worth: Floats, share: float, usual: float) -> Others:
    """The others of each of K operators, (K,) arrays.

    Source: DerSimonian R, Laird N, Control Clin Trials 1986;7:177-88 (variance between the others).

    Parameters
    ----------
    hits, expected : (K,) float array
        Rejects, and how many are expected.
    worth : (K,) float array
        Design effects.
    share : float
        Rejects among all exposures.
    usual : float
        Usual variance of people's true ratios.
    """
    rest = np.maximum(expected.sum() - expected, 0.5)
    ratio = (hits.sum() - hits + 0.5) / (rest + 0.5)
    # By chance and clustering; (K, K) without its diagonal are the others of each.
    apart = ~np.eye(len(hits), dtype=np.bool_)
    chance = worth * (1.0 - share) / np.maximum(expected, 1e-9)
    weight = np.where(apart, 1.0 / np.maximum(chance, 1e-9), 0.0)
    away = hits / np.maximum(expected, 1e-9) / ratio[:, None] - 1.0
    number = apart.sum(axis=1)
    excess = (weight * away**2).sum(axis=1) * ratio - (number - 1)
    room = weight.sum(axis=1) - (weight**2).sum(axis=1) / weight.sum(axis=1)
    between = np.maximum(usual, np.where(number > 1, excess / np.maximum(room * ratio, 1e-9), 0.0))
    squares = (expected**2).sum() - expected**2
    by_chance = (apart * (worth * expected)).sum(axis=1) * (1.0 - share) / rest**2 / ratio
    return Others(
        ratio=ratio,
        ratio_variance=between,
        doubt=by_chance + between * squares / rest**2,
    )


def scores_against_others(
    hits: Floats, size: Floats, expected: Floats, worth: Floats, others: Others
) -> Floats:
    """Normal score (K,) of each count among those somebody else with this work would have.

    A negative binomial distribution, its counts scaled so that they vary as a binomial one's do
    times the design effect ``worth`` (K,).

    Source: Spiegelhalter DJ, Stat Med 2005;24:1185-202 (random effects); that the others' rate is
    itself in doubt is our choice.
    """
    middle = expected * others.ratio
    share = np.clip(middle / size, 1e-6, 0.99)
    shape = 1.0 / np.maximum(others.ratio_variance + others.doubt, 1e-9)
    scale = worth * (1.0 - share)
    count, mean = hits / scale, middle / scale
    keep = shape / (shape + mean)
    upto = betainc(shape, count + 1.0, keep)
    below = np.where(count > 0, betainc(shape, np.maximum(count, 1e-9), keep), 0.0)
    return np.asarray(ndtri((below + upto) / 2), dtype=np.float64)


def counts_at(
    score: Floats, size: Floats, expected: Floats, worth: Floats, others: Others
) -> Floats:
    """Count (K,) with a score (K,), between 0 and the size.

    Source: the inverse of `scores_against_others`.
    """
    low, high = np.zeros(len(size)), np.asarray(size, dtype=np.float64)
    for _ in range(HALVINGS):
        middle = (low + high) / 2
        below = scores_against_others(middle, size, expected, worth, others) < score
        low, high = np.where(below, middle, low), np.where(below, high, middle)
    return high


__all__ = ["Others", "counts_at", "others_of", "scores_against_others"]
