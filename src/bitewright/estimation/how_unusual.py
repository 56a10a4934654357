"""How unusual a mouth is: how far from the prior's middle, and whether beyond the prior at all."""

from collections.abc import Sequence

import numpy as np
from numpy.typing import NDArray
from scipy.linalg import block_diag
from scipy.special import chdtr, chdtrc

from bitewright.estimation.allowances import kind_of
from bitewright.estimation.seen_marks import SeenMarks

Floats = NDArray[np.float64]

TOLD = 0.5
"""Share of a way's spread that marks take off, from which its amount counts. Our choice."""

CUSPS_TIMES = 2.0
"""So many times as wide is what is allowed to each cusp here: real crowns' cusps stand off a
standard crown by tooth and by cusp, which else would look like an unusual mouth. Chosen, as the
next, on films of runs 960 and 961."""

MOST = 5.0
"""No way in which mouths differ speaks for more than a square of so many deviations: one tooth that
stands out makes no unusual mouth."""

LEAST = 1e-9
"""Of a way of which the marks tell less, they tell nothing."""


def strangeness(away: Floats, covariance: Floats, precision: Floats) -> float:
    """Mean square of what is learned of a mouth, over what the prior lets one expect.

    Of those ways alone of which marks tell more than `TOLD`. Our model: linear and normal, so that
    what is learned has the prior's covariance less what is left (textbook algebra).

    Parameters
    ----------
    away : (N,) float array
        The mouth less the prior's mean.
    covariance, precision : (N, N) float arrays
        Of what is believed of the mouth after the marks, and of the prior.

    Returns
    -------
    float
        About 1 for mouths of the prior's spread, 4 where they differ twice as much; 1 where the
        marks tell of no way.
    """
    root = np.linalg.cholesky(precision)
    told, ways = np.linalg.eigh(np.eye(len(away)) - root.T @ covariance @ root)
    well = told > TOLD
    if not well.any():
        return 1.0
    return float(np.mean((ways[:, well].T @ (root.T @ away)) ** 2 / told[well]))


def unlikeness(
    seen: Sequence[SeenMarks],
    residuals: Sequence[Floats],
    jacobian: Floats,
    away: Floats,
    prior: Floats,
    exposures: int,
) -> float:
    """By how much marks would be likelier, were mouths to differ more in every way at once.

    Our model: linear about the estimate and normal, no mark weighing less. The slope of the marks'
    log likelihood, exposure and mouth integrated out, by the variance that all ways have together,
    over its standard deviation; what each way adds is held at `MOST`. That slope is the likelihood
    ratio for a spread little wider (Rao, Proc Camb Philos Soc 1948;44:50-57, from memory).

    Parameters
    ----------
    seen : sequence of F SeenMarks
        One film's each.
    residuals : sequence of F (size,) float arrays
        Whitened, at the estimate.
    jacobian : (sum of sizes, N) float array
        Of the whitened projections by the N unknowns.
    away : (N,) float array
        The estimate less the prior's mean.
    prior : (N, N) float array
        The prior's covariance.
    exposures : int
        How many of the unknowns are the films' exposures; the others are the mouth's.

    Returns
    -------
    float
        About nought for marks and mouths as assumed, some 2 where mouths differ twice as much;
        nought where no mouth is sought, or nothing is marked.
    """
    if exposures == len(away) or not any(len(each.points) for each in seen):
        return 0.0
    slopes, apart, noise, row = [], [], [], 0
    for film, left in zip(seen, residuals, strict=True):
        count = len(film.points)
        steep = np.linalg.solve(film.whitening, jacobian[row : row + count])
        row += film.size
        slopes.append(steep)
        apart.append(film.unwhitened(left) + steep @ away)
        noise.append(_noise(film))
    every = np.concatenate(slopes)
    spread = every @ prior @ every.T + block_diag(*noise)
    ways = every[:, exposures:] @ np.linalg.cholesky(prior[exposures:, exposures:])
    root = np.linalg.cholesky(spread)
    told = np.linalg.solve(root, ways)
    far = told.T @ np.linalg.solve(root, np.concatenate(apart))
    together = told.T @ told
    share = np.diag(together)
    squares = far**2 / np.maximum(share, LEAST)
    slope = share @ (np.minimum(squares, MOST) - _expected_square())
    return float(slope / np.sqrt(2.0 * (together**2).sum()))


def _expected_square() -> float:
    """Mean of a standard normal's square, held at `MOST`."""
    return float(chdtr(3, MOST) + MOST * chdtrc(1, MOST))


def _noise(film: SeenMarks) -> Floats:
    """Covariance (2L, 2L) of one film's marks, what is allowed to each cusp wider. [mm2]"""
    times = np.repeat([CUSPS_TIMES if kind_of(name) == "cusp" else 1.0 for name in film.names], 2)
    return np.asarray(film.own * np.outer(times, times) + film.together)


__all__ = ["strangeness", "unlikeness"]
