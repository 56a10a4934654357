"""Fields that are negative inside a body: superellipses, rounded unions and intersections."""

import numpy as np
from numpy.typing import NDArray

Floats = NDArray[np.float64]


def soft_max(one: Floats, other: Floats, round_mm: float) -> Floats:
    """The greater of two fields, the edge between rounded over a width: a body cut by another.

    Our model: a parabola that meets both fields where they differ by the width.

    Parameters
    ----------
    one, other : float arrays
        Of shapes that fit one another. [mm]
    round_mm : float
        Above 0. [mm]

    Returns
    -------
    float array
        Of the shape both make together. [mm]
    """
    near = np.maximum(1.0 - np.abs(one - other) / round_mm, 0.0)
    return np.asarray(np.maximum(one, other) + 0.25 * round_mm * near * near)


def soft_min(one: Floats, other: Floats, round_mm: float) -> Floats:
    """The lesser of two fields, the crease between filled over a width: two bodies joined.

    Parameters, shape and model as `soft_max`.
    """
    return -soft_max(-one, -other, round_mm)


def rise(share: Floats) -> Floats:
    """0 up to a share of 0, 1 from 1 on, smooth between: the cubic 3 t^2 - 2 t^3. Any shape."""
    t = np.clip(share, 0.0, 1.0)
    return np.asarray(t * t * (3.0 - 2.0 * t))


def superellipse(x: Floats, y: Floats, a: Floats, b: Floats, n: Floats) -> Floats:
    """Distance, nearly, to superellipses |x|^n + |y|^n = 1, negative inside.

    Our model: the radius less 1, over how steeply it rises there. Exact on the curve.

    Parameters
    ----------
    x, y : float arrays
        Places as shares of the half axes.
    a, b : float arrays
        Half axes. [mm]
    n : float array
        Exponents; 2 is an ellipse.

    Returns
    -------
    float array
        Of the shape all make together. [mm]
    """
    x, y = np.abs(x), np.abs(y)
    xn, yn = x ** (n - 1.0), y ** (n - 1.0)
    total = np.maximum(xn * x + yn * y, LEAST_TOTAL)
    rho = total ** (1.0 / n)
    slope = np.hypot(xn / a, yn / b) * rho / total
    return np.asarray((rho - 1.0) / np.maximum(slope, LEAST_SLOPE_PER_MM))


LEAST_TOTAL = 1e-9
"""Keeps the middle of a superellipse from a division by nothing."""

LEAST_SLOPE_PER_MM = 1e-6
"""The same for how steeply it rises there."""

__all__ = ["rise", "soft_max", "soft_min", "superellipse"]
