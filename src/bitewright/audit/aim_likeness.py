"""How alike an operator's errors of aim are within one case: one mouth, one visit.

Sources: as `design_effect`, with errors in the place of events.
"""

import numpy as np
from numpy.typing import NDArray

from bitewright.audit.design_effect import CORRELATION_SD, USUAL_CORRELATION, Likeness

Floats = NDArray[np.float64]


def likeness_of_errors(
    value: Floats, operator: NDArray[np.int64], case: NDArray[np.int32]
) -> Likeness:
    """How alike errors (N,) of one operator (N,) in one case (N,), -1 where not given, are.

    The mean product of two errors' departures from their operator's mean, over all pairs within
    cases, weighted with the usual correlation by the doubts of both: `likeness_of` for numbers.

    Source: Buhlmann H, Astin Bull 1967;4:199-207 (from memory).
    """
    known = case >= 0
    usual = Likeness(
        correlation=USUAL_CORRELATION,
        sd=CORRELATION_SD,
        cases=len(np.unique(case[known])),
        not_given=int((~known).sum()),
    )
    films = np.bincount(operator)[operator] if len(operator) else operator
    # One film says nothing of how far it lies from its operator's others.
    within = known & (films > 1)
    if not within.any():
        return usual
    total = np.bincount(operator, value)
    away = (value - (total / np.maximum(np.bincount(operator), 1))[operator])[within]
    cell = operator[within] * (int(case.max()) + 1) + case[within]
    _, place, size = np.unique(cell, return_inverse=True, return_counts=True)
    pairs = size * (size - 1.0)
    variance = float((away**2).mean())
    if not pairs.sum() or variance <= 0.0:
        return usual
    # What departures from a mean made of so many films, themselves alike, come to less.
    shared = np.bincount(place, _shared(size, place, films[within])) / size
    sums, squares = np.bincount(place, away), np.bincount(place, away**2)
    variance /= 1.0 - float(shared[place].mean())
    products = sums**2 - squares + pairs * shared * variance
    own = float(products.sum() / (pairs.sum() * variance))
    doubt = (1.0 + USUAL_CORRELATION**2) * float((pairs**2).sum() / pairs.sum() ** 2)
    weight = CORRELATION_SD**2 / (CORRELATION_SD**2 + doubt)
    return Likeness(
        correlation=float(np.clip(weight * own + (1.0 - weight) * USUAL_CORRELATION, 0.0, 0.99)),
        sd=float(CORRELATION_SD * np.sqrt(1.0 - weight)),
        cases=usual.cases,
        not_given=usual.not_given,
    )


def _shared(size: NDArray[np.int64], place: NDArray[np.int64], films: NDArray[np.int64]) -> Floats:
    """Variance of an operator's mean over that of a film, at the usual correlation, by film."""
    return (1.0 + (size[place] - 1.0) * USUAL_CORRELATION) / films


__all__ = ["likeness_of_errors"]
