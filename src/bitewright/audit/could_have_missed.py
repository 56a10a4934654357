"""What an audit that names nobody could have missed: how far off somebody must be to be found."""

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from scipy.special import betaincinv, stdtrit

from bitewright.audit.design_effect import DesignEffect
from bitewright.audit.funnel import Funnel, counts_of, placing
from bitewright.audit.operator_aim import FEWEST_ASSESSED, OperatorAim
from bitewright.audit.pooled_means import WORTH_SAYING, PooledMeans

POWER = 0.8
"""How often somebody so far off is found. Common practice, no source."""
ASKED = 0.9
"""What is asked of the binomial distribution for it. Our choice: somebody so far off also makes
films of a case look more alike, which widens the limits."""
HALVINGS = 12
WORTH_FINDING = 3.0
"""Where not even somebody who rejects so many times as often as all together would be named, a
comparison that names nobody has compared nothing. Our choice."""


@dataclass(frozen=True, slots=True, kw_only=True)
class RateFoundFrom:
    """The rate from which on an operator would have been named.

    Parameters
    ----------
    exposures : int
        The operator's.
    rate : float or None
        True rate that is named with a chance of `POWER`, the others being as they are; None where
        not even one with every exposure rejected is.
    """

    exposures: int
    rate: float | None


def rates_found_from(found: Funnel) -> tuple[RateFoundFrom, ...]:
    """Of the operator with the fewest exposures among those placed, and of that with the most.

    Source: the funnel itself, with that operator's rejects raised until they lie beyond it.
    """
    placed = [k for k, each in enumerate(found.operators) if each.enough]
    placed.sort(key=lambda k: found.operators[k].exposures)
    ends = sorted({placed[0], placed[-1]}) if placed else []
    if len(ends) == 2 and len({found.operators[k].exposures for k in ends}) == 1:
        ends = ends[:1]
    ends.sort(key=lambda k: found.operators[k].exposures)
    return tuple(
        RateFoundFrom(exposures=found.operators[k].exposures, rate=rate_found_from(found, k))
        for k in ends
    )


def can_compare(found: Funnel, ends: Sequence[RateFoundFrom]) -> bool:
    """Whether somebody with `WORTH_FINDING` times the common rate would be named often enough."""
    return any(end.rate is not None and end.rate <= WORTH_FINDING * found.overall for end in ends)


def rate_found_from(found: Funnel, k: int) -> float | None:
    """The least true rate of operator k that is named often enough, the others being as they are.

    Source: the binomial distribution of as many exposures as theirs are worth.
    """
    operator = found.operators[k]
    low, high = operator.exposures * found.overall, operator.exposures
    low = min(int(low), high)
    if not _named(found, k, high):
        return None
    while high - low > 1:
        middle = (low + high) // 2
        low, high = (low, middle) if _named(found, k, middle) else (middle, high)
    worth = operator.clustering
    # Between "more than" and "as many": half of an exposure.
    least, most = high / worth, (operator.exposures + 1.0) / worth
    return float(betaincinv(least, most - least, ASKED))


def _named(found: Funnel, k: int, rejects: int) -> bool:
    """Whether an operator with so many rejects would be named, the others being as they are."""
    hits, size, expected, worth = counts_of(found)
    before = hits.sum()
    hits[k] = rejects
    effect = DesignEffect(value=worth, freedom=np.full(len(worth), found.clustering.freedom))
    moved = expected * (hits.sum() / before) if before else size * (hits.sum() / size.sum())
    return bool(placing(hits, size, moved, effect, found.family_chance).beyond[k])


def aim_found_from(aim: OperatorAim) -> float | None:
    """The steady contact error from which on an operator would have been told. [degrees]

    To either side, in a share `POWER` of such records; None with too few assessed exposures.

    Source: the remark itself, with that operator's mean moved until it is made.
    """
    part, place = aim.parts[0], aim.learned.place
    if part.assessed < FEWEST_ASSESSED:
        return None
    means = aim.learned.means[0]
    error = means.error(place)
    least = WORTH_SAYING[part.part]
    sides = [_remarked_from(means, place, side, 1.0 - aim.learned.doubt_left) for side in (-1, 1)]
    return max(least, *sides) + float(stdtrit(means.freedom(place), POWER)) * error


def _remarked_from(means: PooledMeans, k: int, side: int, needed: float) -> float:
    """The least mean of an operator's own assessments that is remarked on."""
    low = WORTH_SAYING[means.part]
    high = low + 3.0 * low + 12.0 * means.error(k)
    for _ in range(HALVINGS):
        middle = (low + high) / 2
        sure = means.surely_beyond(k, side * middle) >= needed
        low, high = (low, middle) if sure else (middle, high)
    return high


__all__ = [
    "POWER",
    "RateFoundFrom",
    "aim_found_from",
    "can_compare",
    "rate_found_from",
    "rates_found_from",
]
