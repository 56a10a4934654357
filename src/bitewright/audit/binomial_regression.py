"""Binomial regression: how the odds of an event go with what is known of each stretch of time.

Source: Nelder JA, Wedderburn RWM, J R Stat Soc A 1972;135:370-84 (from memory). The tests set it
against statsmodels.
"""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray
from scipy.special import expit, logit

Floats = NDArray[np.float64]

MOST_ROUNDS = 100
SETTLED = 1e-12
"""Change of the coefficients, as a share of the largest, at which they stand. Our choice."""

FURTHEST = 20.0
"""Log odds beyond this are on their way to no finite value. Our choice."""


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class BinomialFit:
    """A fitted regression of the log odds.

    Parameters
    ----------
    coefficients, errors : (P,) float array
        Of each column of the design, with standard errors as chance alone gives them.
    residuals : (G,) float array
        Pearson's: events less those expected, over their deviation by chance.
    """

    coefficients: Floats
    errors: Floats
    residuals: Floats


def binomial_regression(design: Floats, counts: Floats, totals: Floats) -> BinomialFit | None:
    """The likeliest coefficients, by iterated weighted least squares; None if none are finite.

    Parameters
    ----------
    design : (G, P) float array
        Columns that are independent of one another.
    counts, totals : (G,) float array
        Events among how many, above 0. Where events and what is none do not overlap in the design,
        no finite coefficients are likeliest.
    """
    odds = logit((counts + 0.5) / (totals + 1.0))
    found = np.zeros(design.shape[1])
    for _ in range(MOST_ROUNDS):
        chance = expit(odds)
        spread = totals * chance * (1.0 - chance)
        information = design.T @ (spread[:, None] * design)
        if not _sound(information):
            return None
        before = found
        found = np.linalg.solve(information, design.T @ (spread * odds + counts - totals * chance))
        odds = design @ found
        if np.abs(found - before).max() <= SETTLED * np.abs(found).max():
            break
    chance = expit(odds)
    spread = totals * chance * (1.0 - chance)
    information = design.T @ (spread[:, None] * design)
    if not _sound(information) or np.abs(odds).max() > FURTHEST:
        return None
    return BinomialFit(
        coefficients=found,
        errors=np.sqrt(np.diag(np.linalg.inv(information))),
        residuals=(counts - totals * chance) / np.sqrt(spread),
    )


def _sound(information: Floats) -> bool:
    """Whether a matrix (P, P) can be inverted with digits left."""
    return bool(np.isfinite(information).all() and np.linalg.cond(information) < 1e12)


__all__ = ["BinomialFit", "binomial_regression"]
