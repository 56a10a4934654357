"""Operators side by side without shaming small numbers.

Each operator's rejects are set against what all operators together would have had with the same
work (indirect standardisation). The funnel shows how far chance, the likeness of one patient's
films and the usual differences between people reach for so many exposures.

Source: Spiegelhalter DJ, Stat Med 2005;24:1185-202 (limits, over-dispersion).
"""

from dataclasses import dataclass, field

import numpy as np
from numpy.typing import ArrayLike, NDArray
from scipy.special import bdtr, betainc, ndtr, ndtri, stdtr, stdtrit

from bitewright.audit.control_chart import z_for_family
from bitewright.audit.design_effect import DesignEffect
from bitewright.audit.few_operators import counts_at, others_of, scores_against_others
from bitewright.audit.like_work import LikeWork
from bitewright.audit.likely_rates import likely_rates
from bitewright.audit.proportions import CONFIDENCE, FEWEST
from bitewright.audit.usual_spread import usual_spread

Floats = NDArray[np.float64]

FEWEST_TO_LEARN_FROM = 20
"""With fewer operators each is set against the others, who differ at least as people usually do.
Our choice: of 20, winsorised, one far off no longer hides in the spread that it makes itself."""

WINSORISED = 0.1
"""Share of operators at each end pulled in before the spread is worked out (Spiegelhalter)."""


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class FunnelLimits:
    """Limits about a target at sizes (K,). [shares]"""

    sizes: Floats
    low: Floats
    high: Floats


@dataclass(frozen=True, slots=True, kw_only=True)
class OperatorStanding:
    """One operator among all.

    Parameters
    ----------
    label : str
    rejects, exposures : int
    expected : float
        Rejects that all operators together would have had with the same work.
    rate : float
        Standardised: rejects over expected, times the overall rate.
    likely_rate, low, high : float
        What is most likely true, with its interval: what is to be shown to a person.
    clustering : float
        Design effect of the operator's exposures.
    z : float
        Distance from the others in standard deviations of chance, likeness of one case's exposures
        and usual differences.
    beyond : bool
        Whether that is further than chance takes any of so many operators.
    enough : bool
        Whether there are enough exposures to place anybody.
    """

    label: str
    rejects: int
    exposures: int
    expected: float
    rate: float
    likely_rate: float
    low: float
    high: float
    clustering: float
    z: float
    beyond: bool
    enough: bool


@dataclass(frozen=True, slots=True, kw_only=True)
class Funnel:
    """All operators.

    Parameters
    ----------
    overall : float
        Their rate together.
    spread : float
        Variance ratio of their rates to chance and clustering, 1 or more.
    borrowed : bool
        Whether that is not theirs, there being too few to learn it from, but `usual_spread`.
    shape : float
        Of the gamma distribution of operators' true ratios that this spread means, infinite where
        chance explains all.
    clustering : DesignEffect
        Of an operator's exposures, on average over these.
    z_beyond : float
        Limit used for ``beyond``.
    family_chance : float
        Chance that anybody is put beyond when all differ by chance and as usual.
    alike : LikeWork
        What is the same in the work that is compared.
    """

    overall: float
    spread: float
    borrowed: bool
    shape: float
    clustering: DesignEffect
    z_beyond: float
    family_chance: float
    operators: tuple[OperatorStanding, ...]
    alike: LikeWork = field(default_factory=LikeWork)


def exact_limits(target: float, sizes: ArrayLike, probability: float) -> FunnelLimits:
    """Limits (K,) by the binomial distribution, between whole numbers and cut to 0 and 1.

    ``probability``: two-sided, such as 0.95 or 0.998.

    Source: Spiegelhalter DJ, Stat Med 2005;24:1185-202.
    """
    n = np.asarray(sizes, dtype=np.float64)
    tail = (1.0 - probability) / 2
    low, high = _exact(target, n, tail), _exact(target, n, 1.0 - tail)
    return FunnelLimits(sizes=n, low=np.clip(low, 0.0, 1.0), high=np.clip(high, 0.0, 1.0))


def funnel(
    labels: tuple[str, ...],
    rejects: ArrayLike,
    exposures: ArrayLike,
    expected: ArrayLike | None = None,
    *,
    clustering: DesignEffect | None = None,
    confidence: float = CONFIDENCE,
    family_chance: float = 0.05,
) -> Funnel:
    """Place operators against one another.

    Source: Spiegelhalter DJ, Stat Med 2005;24:1185-202; that fewer than `FEWEST_TO_LEARN_FROM` are
    taken to differ as people usually do is our choice.

    Parameters
    ----------
    labels : tuple of K str
    rejects, exposures : (K,) array_like
        Every operator with an exposure at least.
    expected : (K,) array_like, optional
        Rejects expected of each; the overall rate of their exposures if left out.
    clustering : DesignEffect, optional
        Of each operator's exposures, (K,); none if left out.
    confidence : float
        Of the likely rates' intervals.
    family_chance : float
        Chance that anybody at all is put beyond when all differ by chance only.
    """
    hits, size = np.asarray(rejects, dtype=np.float64), np.asarray(exposures, dtype=np.float64)
    worth = _each(clustering, len(size))
    if not len(size):
        return Funnel(
            overall=float("nan"), spread=1.0, borrowed=True, shape=np.inf,
            clustering=DesignEffect(value=np.array(1.0)), z_beyond=float("nan"),
            family_chance=family_chance, operators=(),
        )  # fmt: skip
    overall = float(hits.sum() / size.sum())
    wanted = size * overall if expected is None else np.asarray(expected, dtype=np.float64)
    placed = placing(hits, size, wanted, worth, family_chance)
    likely = likely_rates(hits, size, wanted, confidence=confidence, design_effect=worth.value)
    rates, lows, highs = likely.at(overall)
    operators = tuple(
        OperatorStanding(
            label=label,
            rejects=int(hits[k]),
            exposures=int(size[k]),
            expected=float(wanted[k]),
            rate=float(overall * hits[k] / wanted[k]) if wanted[k] > 0 else float("nan"),
            likely_rate=float(rates[k]),
            low=float(lows[k]),
            high=float(highs[k]),
            clustering=float(worth.value[k]),
            z=float(placed.z[k]),
            beyond=bool(placed.beyond[k]),
            enough=bool(size[k] >= FEWEST),
        )
        for k, label in enumerate(labels)
    )
    return Funnel(
        overall=overall,
        spread=placed.spread,
        borrowed=placed.borrowed,
        shape=placed.shape,
        clustering=on_average(worth, size),
        z_beyond=placed.limit,
        family_chance=family_chance,
        operators=operators,
    )


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Placing:
    """Where each of K operators stands: scores ``z`` and whether ``beyond``, (K,).

    The other fields are those of `Funnel`, ``limit`` its ``z_beyond``.
    """

    z: Floats
    beyond: NDArray[np.bool_]
    limit: float
    spread: float
    borrowed: bool
    shape: float


def placing(
    hits: Floats, size: Floats, expected: Floats, clustering: DesignEffect, family_chance: float
) -> Placing:
    """Scores of K operators and the limit they are set against, (K,) arrays.

    Source: Spiegelhalter DJ, Stat Med 2005;24:1185-202; of few operators `few_operators`.
    """
    overall = float(hits.sum() / size.sum())
    enough = size >= FEWEST
    people = int(enough.sum())
    limit = z_for_family(people, family_chance)
    kept = max(1.0 - overall, 1e-9)  # all rejected where it is asked what would be named
    room = float((expected / clustering.value)[enough].mean() / kept) if people else 1.0
    if people < FEWEST_TO_LEARN_FROM:
        usual = max((usual_spread().log_odds_sd * (1 - overall)) ** 2, 1e-9)
        z = np.zeros(len(size))
        if len(size) > 1:
            others = others_of(hits, expected, clustering.value, overall, usual)
            scores = scores_against_others(hits, size, expected, clustering.value, others)
            z = _in_doubt(scores, clustering)
        shape, spread = 1.0 / usual, 1.0 + room * usual
    else:
        spread = _spread(_chance_scores(hits, size, expected, clustering)[enough])
        shape = room / (spread - 1.0) if spread > 1.0 else np.inf
        if spread > 1.0:  # itself only estimated
            limit = float(stdtrit(people - 1, ndtr(limit)))
        z = _scores(hits, size, expected, clustering, shape)
    return Placing(
        z=z,
        beyond=enough & (np.abs(z) > limit),
        limit=limit,
        spread=spread,
        borrowed=people < FEWEST_TO_LEARN_FROM,
        shape=shape,
    )


def reach_of(found: Funnel, sizes: ArrayLike, z: float) -> FunnelLimits:
    """How far chance, clustering and the usual differences between operators reach, at sizes (K,).

    Source: Spiegelhalter DJ, Stat Med 2005;24:1185-202 (limits and over-dispersion).
    """
    n = np.asarray(sizes, dtype=np.float64)
    worth = float(found.clustering.value)
    reach = float(_in_doubt_reach(found.clustering.freedom, z))
    if np.isinf(found.shape):
        return exact_limits(found.overall, n, 2 * float(ndtr(reach * np.sqrt(worth))) - 1)
    keep = found.shape / (found.shape + n / worth * found.overall)
    low, high = (
        worth * _count_at(float(ndtr(side * reach)), found.shape, keep) for side in (-1, 1)
    )
    return FunnelLimits(sizes=n, low=np.clip(low / n, 0, 1), high=np.clip(high / n, 0, 1))


def reach_among_few(found: Funnel, z: float) -> FunnelLimits:
    """How far each of few operators (K,) may lie from the others, as their rates stand.

    Source: `scores_against_others`, turned round.
    """
    hits, size, expected, worth = counts_of(found)
    others = others_of(hits, expected, worth, found.overall, 1.0 / found.shape)
    reach = _in_doubt_reach(np.full(len(size), float(found.clustering.freedom)), z)
    low, high = (counts_at(side * reach, size, expected, worth, others) for side in (-1, 1))
    low, high = (found.overall * count / np.maximum(expected, 1e-9) for count in (low, high))
    return FunnelLimits(sizes=size, low=np.clip(low, 0, 1), high=np.clip(high, 0, 1))


def counts_of(found: Funnel) -> tuple[Floats, Floats, Floats, Floats]:
    """Rejects, exposures, expected rejects and design effects of K operators, (K,) each."""
    rows = [[o.rejects, o.exposures, o.expected, o.clustering] for o in found.operators]
    hits, size, expected, worth = np.array(rows, dtype=np.float64).T
    return hits, size, expected, worth


def _in_doubt_reach(freedom: Floats, z: float) -> Floats:
    """What a normal score comes to where the design effect is itself in doubt."""
    return np.asarray(-stdtrit(freedom, ndtr(-z)), dtype=np.float64)


def _count_at(probability: float, shape: float, keep: Floats) -> Floats:
    """Count below which a negative binomial has a probability, counts being spread out evenly."""
    low, high = np.full(len(keep), -0.5), 20.0 * shape * (1 - keep) / keep + 50.0
    for _ in range(60):
        middle = (low + high) / 2
        below = betainc(shape, middle + 0.5, keep) < probability
        low, high = np.where(below, middle, low), np.where(below, high, middle)
    return np.asarray(np.maximum(low, 0.0), dtype=np.float64)


def _scores(
    hits: Floats, size: Floats, expected: Floats, worth: DesignEffect, shape: float
) -> Floats:
    """Normal score of each count among operators who differ as much as these do."""
    if np.isinf(shape):
        return _chance_scores(hits, size, expected, worth)
    hits, expected = hits / worth.value, expected / worth.value
    keep = shape / (shape + expected)
    upto = betainc(shape, hits + 1.0, keep)
    below = np.where(hits > 0, betainc(shape, np.maximum(hits, 1e-9), keep), 0.0)
    return _in_doubt(ndtri((below + upto) / 2), worth)


def _chance_scores(hits: Floats, size: Floats, expected: Floats, worth: DesignEffect) -> Floats:
    """Normal score of each count by chance and clustering alone.

    Widths times the root of the over-dispersion, as Spiegelhalter has it.
    """
    return _in_doubt(_binomial_scores(hits, size, expected) / np.sqrt(worth.value), worth)


def _in_doubt(scores: Floats, worth: DesignEffect) -> Floats:
    """Scores less sure for a design effect that is itself in doubt."""
    away = np.clip(np.abs(scores), 0.0, 12.0)
    return np.asarray(-np.sign(scores) * ndtri(stdtr(worth.freedom, -away)), dtype=np.float64)


def _each(clustering: DesignEffect | None, count: int) -> DesignEffect:
    """The design effect of each of K operators, (K,), and the freedom behind it."""
    given = DesignEffect(value=np.array(1.0)) if clustering is None else clustering
    value, freedom = (np.broadcast_to(part, (count,)) for part in (given.value, given.freedom))
    return DesignEffect(value=value, freedom=np.minimum(freedom, 1e9))


def on_average(worth: DesignEffect, size: Floats) -> DesignEffect:
    """The design effect of an operator's exposures on average, of K (K,)."""
    value, freedom = (np.average(part, weights=size) for part in (worth.value, worth.freedom))
    return DesignEffect(value=np.asarray(value), freedom=np.asarray(freedom))


def _binomial_scores(hits: Floats, size: Floats, expected: Floats) -> Floats:
    """Normal score of each count's place in its binomial distribution, half its own chance."""
    share = np.clip(expected / size, 1e-9, 1 - 1e-9)
    whole = size.astype(np.int64)
    below = np.where(hits > 0, bdtr(np.maximum(hits - 1, 0), whole, share), 0.0)
    upto = bdtr(hits, whole, share)
    return np.asarray(np.clip(ndtri((below + upto) / 2), -12.0, 12.0), dtype=np.float64)


def _spread(scores: Floats) -> float:
    """Spiegelhalter's over-dispersion of winsorised scores; 1 where chance explains all."""
    low, high = np.quantile(scores, [WINSORISED, 1 - WINSORISED])
    pulled = float((np.clip(scores, low, high) ** 2).mean())
    # What winsorising leaves of a standard normal's variance.
    edge = float(ndtri(1 - WINSORISED))
    density = np.exp(-(edge**2) / 2) / np.sqrt(2 * np.pi)
    left = (1 - 2 * WINSORISED) - 2 * edge * density + 2 * WINSORISED * edge**2
    return max(1.0, pulled / float(left))


def _exact(target: float, n: Floats, p: float) -> Floats:
    """Spiegelhalter's interpolated quantile of a share."""
    size = n.astype(np.int64)
    least, most = np.zeros(len(n)), size.astype(np.float64)
    while (least < most).any():  # the first count whose cumulative probability reaches p
        middle = np.floor((least + most) / 2)
        reaches = bdtr(middle, size, target) >= p
        least, most = np.where(reaches, least, middle + 1), np.where(reaches, middle, most)
    upto = bdtr(most, size, target)
    below = np.where(most > 0, bdtr(np.maximum(most - 1, 0), size, target), 0.0)
    part = (upto - p) / (upto - below)
    return np.asarray((most - part) / size, dtype=np.float64)


__all__ = [
    "FEWEST_TO_LEARN_FROM",
    "Funnel",
    "FunnelLimits",
    "OperatorStanding",
    "Placing",
    "counts_of",
    "exact_limits",
    "funnel",
    "placing",
    "reach_among_few",
    "reach_of",
]
