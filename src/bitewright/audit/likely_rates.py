"""What is most likely true of each person's rate, learned from all of them together.

Each person's true share is taken to be beta distributed about a common one. Neither that common
share nor how far people differ is known: both are summed over, as far as the counts leave them
open. So few people, or few films, give wide intervals, and a spread that happens to come out as
nothing is not taken for the truth.

Source: Gelman A et al., Bayesian Data Analysis, chapter 5 (the beta-binomial with a distribution
over its own figures, from memory).
"""

from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike, NDArray
from scipy.special import betainc, betaln, expit, logit

from bitewright.audit.proportions import CONFIDENCE
from bitewright.audit.usual_spread import usual_spread

Floats = NDArray[np.float64]

LEAST_SPREAD, MOST_SPREAD = 0.02, 1.6
"""Of the log odds between people; beyond the second a beta distribution has two humps."""
SPREADS = 14
CENTRES = 15
REACH = 4.0
"""Common shares reach so many standard deviations either way."""
NEGLIGIBLE = 1e-3
"""Pairs of common share and spread less likely than this, beside the likeliest, are left out."""
HALVINGS = 20


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class LikelyRates:
    """Likely odds ratio of each of K people to what is expected of them, and interval ends; (K,).

    ``spread``: standard deviation of the log odds between people, its mean over what is likely.
    """

    likely: Floats
    low: Floats
    high: Floats
    spread: float

    def at(self, share: float) -> tuple[Floats, Floats, Floats]:
        """The likely shares, low and high ends, (K,), where the expected one is ``share``."""
        odds = logit(share)
        likely, low, high = (expit(odds + np.log(r)) for r in (self.likely, self.low, self.high))
        return likely, low, high


def likely_rates(
    rejects: ArrayLike,
    exposures: ArrayLike,
    expected: ArrayLike,
    *,
    confidence: float = CONFIDENCE,
    design_effect: ArrayLike = 1.0,
) -> LikelyRates:
    """Each person's likely rate against the expected one.

    Source: Gelman A et al., Bayesian Data Analysis, chapter 5 (from memory); how likely each spread
    is beforehand: `usual_spread`.

    Parameters
    ----------
    rejects, exposures, expected : (K,) array_like
        Rejects, among how many exposures, and how many are expected of such work.
    confidence : float
    design_effect : (K,) array_like
        By how much a person's exposures of one case are worth less than as many of as many cases.
    """
    worth = np.asarray(design_effect, dtype=np.float64)
    hits = np.asarray(rejects, dtype=np.float64) / worth
    size = np.asarray(exposures, dtype=np.float64) / worth
    share = np.asarray(expected, dtype=np.float64) / np.asarray(exposures, dtype=np.float64)
    usual = np.clip(share, 1e-6, 1 - 1e-6)
    alpha, beta, weight, spread = _people(hits, size, logit(usual))
    alpha, beta = alpha + hits[:, None], beta + (size - hits)[:, None]
    tail = (1 - confidence) / 2
    shares = (
        (alpha / (alpha + beta)) @ weight,
        _quantile(alpha, beta, weight, tail),
        _quantile(alpha, beta, weight, 1 - tail),
    )
    likely, low, high = (np.exp(_log_odds(each) - logit(usual)) for each in shares)
    return LikelyRates(likely=likely, low=low, high=high, spread=spread)


def _people(hits: Floats, size: Floats, offsets: Floats) -> tuple[Floats, Floats, Floats, float]:
    """Beta distributions (K, G) of people's shares, the likelihood (G,) of each, and the spread.

    ``offsets``: log odds expected of each, (K,). The common share has Jeffreys' distribution
    beforehand, the spread a half normal one.
    """
    usual = float(np.average(offsets, weights=size))
    middle = float(logit((hits.sum() + 0.5) / (size.sum() + 1.0))) - usual
    share = expit(middle + offsets)
    doubt = 1.0 / max(float((size * share * (1 - share)).sum()), 0.25)
    spreads = np.geomspace(LEAST_SPREAD, MOST_SPREAD, SPREADS)
    widths = np.sqrt(doubt + spreads**2 / len(hits))
    centre = (middle + widths[:, None] * np.linspace(-REACH, REACH, CENTRES)).ravel()
    spread, width = np.repeat(spreads, CENTRES), np.repeat(widths, CENTRES)
    share = expit(centre + offsets[:, None])
    whole = 1.0 / (share * (1 - share) * spread**2) - 1.0
    alpha, beta = share * whole, (1 - share) * whole
    fit = betaln(alpha + hits[:, None], beta + (size - hits)[:, None]) - betaln(alpha, beta)
    common = expit(centre + usual)
    before = np.sqrt(common * (1 - common)) * np.exp(
        -0.5 * (spread / usual_spread().log_odds_sd_scale) ** 2
    )
    # Both grids are uneven: the spreads' steps grow with them, the centres' with their width.
    evidence = fit.sum(axis=0) + np.log(before * spread * width)
    weight = np.exp(evidence - evidence.max())
    kept = weight > NEGLIGIBLE
    weight = weight[kept] / weight[kept].sum()
    return alpha[:, kept], beta[:, kept], weight, float(weight @ spread[kept])


def _quantile(alpha: Floats, beta: Floats, weight: Floats, probability: float) -> Floats:
    """Share (K,) below which a mixture of beta distributions (K, G) has a probability."""
    low, high = np.zeros(len(alpha)), np.ones(len(alpha))
    for _ in range(HALVINGS):
        middle = (low + high) / 2
        below = betainc(alpha, beta, middle[:, None]) @ weight < probability
        low, high = np.where(below, middle, low), np.where(below, high, middle)
    return np.asarray((low + high) / 2, dtype=np.float64)


def _log_odds(share: Floats) -> Floats:
    return np.asarray(logit(np.clip(share, 1e-12, 1 - 1e-12)), dtype=np.float64)


__all__ = ["LikelyRates", "likely_rates"]
