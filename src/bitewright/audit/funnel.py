"""Operators side by side without shaming small numbers.

Each operator's rejects are set against what all operators together would have had with the same
views, receptors and weeks (indirect standardisation). The funnel shows how far chance reaches for
so many exposures; shrinkage says what is most likely true of each.

Sources: Spiegelhalter DJ, Stat Med 2005;24:1185-202 (limits, over-dispersion); Clayton D, Kaldor J,
Biometrics 1987;43:671-81 (shrinkage, from memory).
"""

from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike, NDArray
from scipy.optimize import minimize_scalar
from scipy.special import bdtr, betainc, gammaincinv, gammaln, ndtr, ndtri, stdtrit

from bitewright.audit.control_chart import z_for_family
from bitewright.audit.proportions import CONFIDENCE, FEWEST

Floats = NDArray[np.float64]

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
        The same after shrinkage, with its interval: what is to be shown to a person.
    z : float
        Distance from the others in standard deviations, spread beyond chance taken out.
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
    z: float
    beyond: bool
    enough: bool


@dataclass(frozen=True, slots=True, kw_only=True)
class Funnel:
    """All operators.

    ``overall``: their rate together. ``spread``: variance ratio beyond chance, 1 or more.
    ``shape``: of the gamma distribution of operators' true ratios that this spread means, infinite
    where chance explains all. ``z_beyond``: limit used for ``beyond``.
    """

    overall: float
    spread: float
    shape: float
    z_beyond: float
    operators: tuple[OperatorStanding, ...]


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
    confidence: float = CONFIDENCE,
    family_chance: float = 0.05,
) -> Funnel:
    """Place operators against one another.

    Source: Spiegelhalter DJ, Stat Med 2005;24:1185-202.

    Parameters
    ----------
    labels : tuple of K str
    rejects, exposures : (K,) array_like
        Every operator with an exposure at least.
    expected : (K,) array_like, optional
        Rejects expected of each; the overall rate of their exposures if left out.
    confidence : float
        Of the intervals after shrinkage.
    family_chance : float
        Chance that anybody at all is put beyond when all differ by chance only.
    """
    hits, size = np.asarray(rejects, dtype=np.float64), np.asarray(exposures, dtype=np.float64)
    if not len(size):
        return Funnel(
            overall=float("nan"), spread=1.0, shape=np.inf, z_beyond=float("nan"), operators=()
        )
    overall = float(hits.sum() / size.sum())
    wanted = size * overall if expected is None else np.asarray(expected, dtype=np.float64)
    enough = size >= FEWEST
    spread = _spread(_binomial_scores(hits, size, wanted)[enough])
    limit = z_for_family(int(enough.sum()), family_chance)
    shape = np.inf
    if spread > 1.0:
        shape = float(wanted[enough].mean() / (1 - overall) / (spread - 1.0))
        # The spread is itself only estimated.
        limit = float(stdtrit(int(enough.sum()) - 1, ndtr(limit)))
    z = _scores(hits, size, wanted, shape)
    likely, low, high = shrunken(hits, wanted, confidence=confidence)
    operators = tuple(
        OperatorStanding(
            label=label,
            rejects=int(hits[k]),
            exposures=int(size[k]),
            expected=float(wanted[k]),
            rate=float(overall * hits[k] / wanted[k]) if wanted[k] > 0 else float("nan"),
            likely_rate=min(float(overall * likely[k]), 1.0),
            low=min(float(overall * low[k]), 1.0),
            high=min(float(overall * high[k]), 1.0),
            z=float(z[k]),
            beyond=bool(enough[k] and abs(z[k]) > limit),
            enough=bool(enough[k]),
        )
        for k, label in enumerate(labels)
    )
    return Funnel(overall=overall, spread=spread, shape=shape, z_beyond=limit, operators=operators)


def expected_rejects(
    rejected: NDArray[np.bool_], operator: NDArray[np.int32], stratum: NDArray[np.int64], count: int
) -> Floats:
    """What each of ``count`` operators would have had at the rate of each stratum, (count,).

    Indirect standardisation, each operator's exposures at everybody's rates (Spiegelhalter 2005).
    """
    _, place = np.unique(stratum, return_inverse=True)
    rate = np.bincount(place, weights=rejected) / np.bincount(place)
    known = operator >= 0
    wanted = np.bincount(operator[known], weights=rate[place[known]], minlength=count)
    return np.asarray(wanted, dtype=np.float64)


def shrunken(
    observed: Floats, expected: Floats, *, confidence: float = CONFIDENCE
) -> tuple[Floats, Floats, Floats]:
    """Likely ratio of each of K operators' rate to the expected one, with interval ends; all (K,).

    Ratios are taken to be gamma distributed about 1, with the variance that fits best; a reject
    count given its ratio is taken to be Poisson, which is a little wider than the truth.

    Source: Clayton D, Kaldor J, Biometrics 1987;43:671-81 (from memory).
    """

    def misfit(log_shape: float) -> float:
        a = np.exp(log_shape)
        terms = (
            gammaln(observed + a)
            - gammaln(a)
            + a * np.log(a / (a + expected))
            + observed * np.log(np.maximum(expected, 1e-12) / (a + expected))
        )
        return -float(terms.sum())

    shape = float(np.exp(minimize_scalar(misfit, bounds=(0.0, 12.0), method="bounded").x))
    tail = (1 - confidence) / 2
    alpha, rate = observed + shape, expected + shape
    low, high = (gammaincinv(alpha, part) / rate for part in (tail, 1 - tail))
    return alpha / rate, np.asarray(low), np.asarray(high)


def reach_of(found: Funnel, sizes: ArrayLike, z: float) -> FunnelLimits:
    """How far chance and the usual differences between operators reach, at sizes (K,).

    Source: Spiegelhalter DJ, Stat Med 2005;24:1185-202 (limits and over-dispersion).
    """
    n = np.asarray(sizes, dtype=np.float64)
    if np.isinf(found.shape):
        return exact_limits(found.overall, n, 2 * float(ndtr(z)) - 1)
    keep = found.shape / (found.shape + n * found.overall)
    low, high = (_count_at(float(ndtr(side * z)), found.shape, keep) for side in (-1, 1))
    return FunnelLimits(sizes=n, low=np.clip(low / n, 0, 1), high=np.clip(high / n, 0, 1))


def _count_at(probability: float, shape: float, keep: Floats) -> Floats:
    """Count below which a negative binomial has a probability, counts being spread out evenly."""
    low, high = np.full(len(keep), -0.5), 20.0 * shape * (1 - keep) / keep + 50.0
    for _ in range(60):
        middle = (low + high) / 2
        below = betainc(shape, middle + 0.5, keep) < probability
        low, high = np.where(below, middle, low), np.where(below, high, middle)
    return np.asarray(np.maximum(low, 0.0), dtype=np.float64)


def _scores(hits: Floats, size: Floats, expected: Floats, shape: float) -> Floats:
    """Normal score of each count among operators who differ as much as these do."""
    if np.isinf(shape):
        return _binomial_scores(hits, size, expected)
    keep = shape / (shape + expected)
    upto = betainc(shape, hits + 1.0, keep)
    below = np.where(hits > 0, betainc(shape, np.maximum(hits, 1e-9), keep), 0.0)
    return np.asarray(np.clip(ndtri((below + upto) / 2), -12.0, 12.0), dtype=np.float64)


def _binomial_scores(hits: Floats, size: Floats, expected: Floats) -> Floats:
    """Normal score of each count's place in its binomial distribution, half its own chance."""
    share = np.clip(expected / size, 1e-9, 1 - 1e-9)
    whole = size.astype(np.int64)
    below = np.where(hits > 0, bdtr(np.maximum(hits - 1, 0), whole, share), 0.0)
    upto = bdtr(hits, whole, share)
    return np.asarray(np.clip(ndtri((below + upto) / 2), -12.0, 12.0), dtype=np.float64)


def _spread(scores: Floats) -> float:
    """Spiegelhalter's over-dispersion of winsorised scores; 1 where chance explains all."""
    if len(scores) < 10:
        return 1.0
    low, high = np.quantile(scores, [WINSORISED, 1 - WINSORISED])
    pulled = float((np.clip(scores, low, high) ** 2).mean())
    # What winsorising leaves of a standard normal's variance.
    edge = float(ndtri(1 - WINSORISED))
    density = np.exp(-(edge**2) / 2) / np.sqrt(2 * np.pi)
    left = (1 - 2 * WINSORISED) - 2 * edge * density + 2 * WINSORISED * edge**2
    return max(1.0, pulled / float(left))


def _exact(target: float, n: Floats, p: float) -> Floats:
    """Spiegelhalter's interpolated quantile of a share."""
    most = int(n.max())
    out = np.empty(len(n))
    for k, size in enumerate(n.astype(int)):
        cumulative = bdtr(np.arange(min(size, most) + 1, dtype=float), int(size), target)
        r = int(np.searchsorted(cumulative, p))
        below = cumulative[r - 1] if r > 0 else 0.0
        part = (cumulative[r] - p) / (cumulative[r] - below)
        out[k] = (r - part) / size
    return out


__all__ = [
    "Funnel",
    "FunnelLimits",
    "OperatorStanding",
    "exact_limits",
    "expected_rejects",
    "funnel",
    "reach_of",
    "shrunken",
]
