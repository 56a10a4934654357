"""Means of several people learned together: each their own, the others where theirs are few.

People's means are taken to be normal about a common one, but for a few, a share learned from the
record, that may lie anywhere: so one who is truly far off is not pulled in. Their variances follow
a scaled inverse chi-square.

Sources: Gelman A et al., Bayesian Data Analysis, chapter 5 (partial pooling, from memory); Tukey
JW, in Contributions to Probability and Statistics, 1960 (the contaminated normal, from memory);
Smyth GK, Stat Appl Genet Mol Biol 2004;3:3 (pooled variances, from memory).
"""

from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray
from scipy.optimize import brentq
from scipy.special import polygamma

from bitewright.audit.design_effect import DesignEffect
from bitewright.audit.proportions import CONFIDENCE
from bitewright.exposing.scatter import AimPart

Floats = NDArray[np.float64]
Ints = NDArray[np.int64]

WORTH_SAYING = {
    AimPart.CONTACT_ERROR: 3.0,
    AimPart.VERTICAL_ERROR: 4.0,
    AimPart.FORWARD: 3.0,
    AimPart.HEIGHT: 2.0,
}
"""A mean smaller than this is not worth a remark. [deg, mm] Our choice: 3 of the 5 degrees that
cost some 0.2 to 0.3 mm at a contact; the others about half of what a plan usually forgives."""

GRID = 201
SPREADS = 21
CENTRES = 41
STRAY_SHARES = np.array([0.0, 0.01, 0.02, 0.05, 0.1])
STRAY_WIDTH = 3.0
"""Those far off lie anywhere within about so many times what is worth saying. Our choice."""


@dataclass(frozen=True, slots=True, kw_only=True)
class PartEstimate:
    """One operator's mean and scatter of one part of aim.

    Parameters
    ----------
    part : AimPart
    assessed : int
        Exposures it rests on.
    mean, low, high : float
        Partly pooled, with its interval. [deg or mm]
    plain_mean : float
        The operator's own exposures alone; NaN of none.
    scatter : float
        Standard deviation from exposure to exposure, the assessment's own uncertainty taken out.
    surely_beyond : float
        Chance that the mean lies beyond what is worth saying, on the side of the mean.
    """

    part: AimPart
    assessed: int
    mean: float
    low: float
    high: float
    plain_mean: float
    scatter: float
    surely_beyond: float


def pooled_means(
    value: Floats,
    sd: Floats,
    operator: Ints,
    count: int,
    part: AimPart,
    *,
    clustering: DesignEffect | None = None,
    confidence: float = CONFIDENCE,
) -> "PooledMeans":
    """Mean and scatter of one part for each of ``count`` operators.

    Sources: Gelman A et al., Bayesian Data Analysis, chapter 5 (partial pooling); Tukey JW, in
    Contributions to Probability and Statistics, 1960 (the contaminated normal); Smyth GK, Stat Appl
    Genet Mol Biol 2004;3:3 (pooled variances); all from memory.

    Parameters
    ----------
    value, sd : (N,) float arrays
        Assessed errors and their standard uncertainty.
    operator : (N,) int array
        Below ``count``.
    clustering : DesignEffect, optional
        Of each operator's errors, (count,), where those of one case are alike; none if left out.
    """
    number = np.bincount(operator, minlength=count)
    effect = DesignEffect(value=np.ones(count)) if clustering is None else clustering
    own = _own(value, sd, operator, number, effect)
    width = WORTH_SAYING[part]
    people = _population(own, STRAY_WIDTH * width)
    estimates = []
    for k in range(count):
        at, density = _posterior(own, k, people)
        low, mean, high = _quantiles(at, density, confidence)
        beyond = float(density[at * np.sign(mean) > width].sum())
        estimates.append(
            PartEstimate(
                part=part,
                assessed=int(number[k]),
                mean=mean,
                low=low,
                high=high,
                plain_mean=float(own.mean[k]) if number[k] else float("nan"),
                scatter=float(own.scatter[k]),
                surely_beyond=beyond,
            )
        )
    return PooledMeans(part=part, estimates=tuple(estimates), own=own, people=people)


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class PooledMeans:
    """Means of one part, and the distribution that they were drawn towards.

    ``estimates``: of each operator. ``own``, ``people``: what each one's own assessments say, and
    what all say of the people they come from.
    """

    part: AimPart
    estimates: tuple[PartEstimate, ...]
    own: "_Own"
    people: "_People"

    def error(self, k: int) -> float:
        """Standard error of an operator's mean from their own assessments; infinite of none."""
        return float(np.sqrt(self.own.variance[k]))

    def freedom(self, k: int) -> float:
        """Degrees of freedom behind that error."""
        return float(self.own.freedom[k])

    def surely_beyond(self, k: int, mean: float) -> float:
        """How sure it would be that an operator is beyond what is worth saying, on the mean's side.

        ``mean``: what their own assessments would have come to, with the doubts they have.
        """
        own = self.own
        moved = np.where(np.arange(len(own.mean)) == k, mean, own.mean)
        people = self.people.with_one_moved(float(own.mean[k]), mean, float(own.variance[k]))
        at, density = _posterior(replace(own, mean=moved), k, people)
        return float(density[at * np.sign(mean) > WORTH_SAYING[self.part]].sum())


@dataclass(frozen=True, slots=True, eq=False)
class _Own:
    """What each operator's own assessments say: mean, its variance and that one's freedom."""

    number: Ints
    mean: Floats
    variance: Floats
    freedom: Floats
    scatter: Floats


def _own(value: Floats, sd: Floats, operator: Ints, number: Ints, effect: DesignEffect) -> _Own:
    count = len(number)
    plain = np.bincount(operator, value, count) / np.maximum(number, 1)
    squares = np.bincount(operator, (value - plain[operator]) ** 2, count)
    doubt = np.bincount(operator, sd**2, count) / np.maximum(number, 1)
    # Squares about a mean of errors that are alike come to so many fewer.
    free = np.asarray(np.maximum(number - effect.value, 0.0), dtype=np.float64)
    pooled = squares.sum() / max(free.sum(), 1)
    hand = max(pooled - float((sd**2).mean()) if len(sd) else 1.0, 0.05 * pooled, 1e-9)
    weight = 1.0 / (hand + sd**2)
    total = np.bincount(operator, weight, count)
    mean = np.bincount(operator, weight * value, count) / np.maximum(total, 1e-12)
    # Each operator's variance as a multiple of the pooled one, itself drawn together.
    apart = np.bincount(operator, weight * (value - mean[operator]) ** 2, count)
    prior, middle = _variance_prior(np.asarray(apart, dtype=np.float64), free)
    freedom = free + prior
    ratio = (apart + prior * middle) / np.maximum(freedom, 1e-9)
    variance = np.where(number > 0, effect.value * ratio / np.maximum(total, 1e-12), np.inf)
    scatter = np.sqrt(np.maximum(ratio * (hand + doubt) - doubt, 0.05 * hand))
    # The design effect is itself in doubt.
    freedom = 1.0 / (1.0 / np.maximum(freedom, 1e-9) + 1.0 / effect.freedom)
    return _Own(number, mean, variance, freedom, scatter)


def _variance_prior(apart: Floats, free: Floats) -> tuple[float, float]:
    """Freedom and middle of the distribution of operators' variances (Smyth's moments of logs)."""
    known = free >= 2
    if known.sum() < 3:
        return 4.0, 1.0
    half = free[known] / 2.0
    logs = np.log(np.maximum(apart[known] / free[known], 1e-12))
    logs = logs - polygamma(0, half) + np.log(half)
    excess = float(logs.var(ddof=1) - polygamma(1, half).mean())
    most = 200.0
    if excess <= float(polygamma(1, most / 2)):
        return most, float(np.exp(logs.mean()))
    prior = 2 * float(brentq(lambda d: float(polygamma(1, d)) - excess, 1e-2, most / 2))
    shift = float(polygamma(0, prior / 2)) - np.log(prior / 2)
    return prior, float(np.exp(logs.mean() + shift))


@dataclass(frozen=True, slots=True, eq=False)
class _Grids:
    """Spreads (S,) and centres (C,) that operators' means may have, and how far strays lie."""

    spreads: Floats
    centres: Floats
    stray_width: float


@dataclass(frozen=True, slots=True, eq=False)
class _People:
    """Distribution of operators' means: a common centre, spreads (S,) and shares of strays (E,).

    ``weight`` (S, E): how likely each pair is, so that few operators give wide intervals.
    ``grids``, ``fit`` (S, C, E): where that comes from.
    """

    centre: float
    spreads: Floats
    stray_width: float
    weight: Floats
    grids: _Grids
    fit: Floats

    def with_one_moved(self, before: float, after: float, variance: float) -> "_People":
        """The same had one operator's own mean been another."""
        one = np.array([variance])
        fit = self.fit - _fit(self.grids, np.array([before]), one)
        return _people_of(self.grids, fit + _fit(self.grids, np.array([after]), one))

    def density(self, at: Floats, likelihood: Floats) -> Floats:
        """Of one operator's mean at places (P,), given what is known of it there."""
        usual = _normal(at[:, None] - self.centre, self.spreads) * likelihood[:, None]
        strays = _normal(at - self.centre, np.array(self.stray_width)) * likelihood
        # Each pair of spread and share counts by its weight, however well it fits this operator:
        # the weights have seen everybody already.
        fit = np.outer(usual.sum(axis=0), 1.0 - STRAY_SHARES) + strays.sum() * STRAY_SHARES
        weight = self.weight / np.maximum(fit, 1e-300)
        among_usual, among_strays = weight @ (1.0 - STRAY_SHARES), (weight @ STRAY_SHARES).sum()
        return np.asarray(usual @ among_usual + among_strays * strays)


def _population(own: _Own, stray_width: float) -> _People:
    """What the operators' means together say of the people they come from."""
    known = own.number > 0
    mean, variance = own.mean[known], own.variance[known]
    scale = float(np.sqrt(np.median(mean**2) + np.median(variance))) if len(mean) else 1.0
    middle, reach = float(np.median(mean)) if len(mean) else 0.0, 1.5 * scale
    grids = _Grids(
        np.geomspace(0.05, 4.0, SPREADS) * max(scale, 1e-6),
        middle + np.linspace(-1.0, 1.0, CENTRES) * max(reach, 1e-6),
        stray_width,
    )
    if len(mean) == 0:
        flat = np.full((SPREADS, len(STRAY_SHARES)), 1.0 / SPREADS / len(STRAY_SHARES))
        nothing = np.zeros((SPREADS, CENTRES, len(STRAY_SHARES)))
        return _People(0.0, grids.spreads, stray_width, flat, grids, nothing)
    return _people_of(grids, _fit(grids, mean, variance))


def _fit(grids: _Grids, mean: Floats, variance: Floats) -> Floats:
    """Log likelihood (S, C, E) of operators' means (K,)."""
    away = mean - grids.centres[:, None]
    usual = _normal(away, np.sqrt(grids.spreads[:, None, None] ** 2 + variance))
    strays = _normal(away, np.sqrt(grids.stray_width**2 + variance))
    return np.stack(
        [
            np.log(np.maximum((1 - share) * usual + share * strays, 1e-300)).sum(axis=2)
            for share in STRAY_SHARES
        ],
        axis=-1,
    )


def _people_of(grids: _Grids, fit: Floats) -> _People:
    # Every spread as likely as another beforehand, and their grid is geometric.
    weight = np.exp(fit - fit.max()) * grids.spreads[:, None, None]
    among = weight.sum(axis=(0, 2)) / weight.sum()
    centre = float((among * grids.centres).sum())
    doubt = float((among * (grids.centres - centre) ** 2).sum())
    over = weight.sum(axis=1)
    spreads = np.sqrt(grids.spreads**2 + doubt)
    return _People(centre, spreads, grids.stray_width, over / over.sum(), grids, fit)


def _posterior(own: _Own, k: int, people: _People) -> tuple[Floats, Floats]:
    """Places and probabilities of one operator's mean."""
    if not np.isfinite(own.variance[k]):
        at = people.centre + np.linspace(-4, 4, GRID) * people.stray_width
        density = people.density(at, np.ones(GRID))
        return at, density / density.sum()
    error = float(np.sqrt(own.variance[k]))
    low = min(people.centre, own.mean[k]) - 7 * error
    high = max(people.centre, own.mean[k]) + 7 * error
    # Finer where own mean and the others' lie far apart.
    points = max(GRID, min(int((high - low) / (0.25 * error)), 10 * GRID))
    at = np.linspace(low, high, points)
    density = people.density(at, _student(at - own.mean[k], error, own.freedom[k]))
    return at, density / density.sum()


def _normal(away: Floats, width: Floats) -> Floats:
    return np.asarray(np.exp(-0.5 * (away / width) ** 2) / (width * np.sqrt(2 * np.pi)))


def _student(away: Floats, scale: float, freedom: float) -> Floats:
    """Student's t up to a factor."""
    return np.asarray((1 + (away / scale) ** 2 / freedom) ** (-(freedom + 1) / 2))


def _quantiles(at: Floats, density: Floats, confidence: float) -> tuple[float, float, float]:
    running = np.cumsum(density) - density / 2
    tail = (1 - confidence) / 2
    low, high = (float(np.interp(p, running, at)) for p in (tail, 1 - tail))
    return low, float((at * density).sum()), high


__all__ = ["WORTH_SAYING", "PartEstimate", "PooledMeans", "pooled_means"]
