"""Quantiles of Student's t, in closed form: a rate table should not wait for a library of them.

Source: Hill GW, Commun ACM 1970;13:619-20 (Algorithm 396, from memory).
"""

from statistics import NormalDist

import numpy as np
from numpy.typing import ArrayLike, NDArray

Floats = NDArray[np.float64]

FEWEST_FREEDOM = 2.0
"""The series is good to 4 figures from here on; fewer degrees of freedom count as so many."""


def two_sided_quantile(confidence: float, freedom: ArrayLike) -> Floats:
    """How many deviations a two-sided interval reaches, (G,) as ``freedom``; normal where infinite.

    Parameters
    ----------
    confidence : float
        0.5 to 0.999.
    freedom : array_like
        Degrees of freedom, whole or not.
    """
    normal = NormalDist().inv_cdf(0.5 + confidence / 2)
    given = np.asarray(freedom, dtype=np.float64)
    n = np.maximum(np.where(np.isinf(given), 1e9, given), FEWEST_FREEDOM)
    a = 1.0 / (n - 0.5)
    b = 48.0 / a**2
    c = ((20700.0 * a / b - 98.0) * a - 16.0) * a + 96.36
    d = ((94.5 / (b + c) - 3.0) / b + 1.0) * np.sqrt(a * np.pi / 2.0) * n
    tail = (d * (1.0 - confidence)) ** (2.0 / n)
    x = -normal
    c = c + np.where(n < 5.0, 0.3 * (n - 4.5) * (x + 0.6), 0.0)
    c = (((0.05 * d * x - 5.0) * x - 7.0) * x - 2.0) * x + b + c
    square = x * x
    middle = ((((0.4 * square + 6.3) * square + 36.0) * square + 94.5) / c - square - 3.0) / b + 1.0
    near = np.expm1(a * (middle * x) ** 2)
    far = 1.0 / (((n + 6.0) / (n * tail) - 0.089 * d - 0.822) * (n + 2.0) * 3.0) + 0.5 / (n + 4.0)
    far = (far * tail - 1.0) * (n + 1.0) / (n + 2.0) + 1.0 / tail
    found = np.sqrt(n * np.where(tail > 0.05 + a, near, far))
    return np.asarray(np.where(np.isinf(given), normal, found), dtype=np.float64)


__all__ = ["two_sided_quantile"]
