"""Rounded unions and intersections of fields that are negative inside a body."""

import numpy as np
from numpy.typing import NDArray

Floats = NDArray[np.float64]


def soft_max(one: Floats, other: Floats, round_mm: float) -> Floats:
    """The greater of two fields, the edge between rounded over a width: a body cut by another."""
    near = np.maximum(1.0 - np.abs(one - other) / round_mm, 0.0)
    return np.asarray(np.maximum(one, other) + 0.25 * round_mm * near * near)


def soft_min(one: Floats, other: Floats, round_mm: float) -> Floats:
    """The lesser of two fields, the crease between filled: two bodies joined."""
    return -soft_max(-one, -other, round_mm)


def rise(share: Floats) -> Floats:
    """0 up to 0, 1 from 1 on, smooth between."""
    t = np.clip(share, 0.0, 1.0)
    return np.asarray(t * t * (3.0 - 2.0 * t))


__all__ = ["rise", "soft_max", "soft_min"]
