"""Which exposures count as like work when people are set side by side."""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from bitewright.audit.counted_by import Dimension, Period
from bitewright.audit.groupings import period_number
from bitewright.audit.logged_exposures import LoggedExposures

LEAST_TOGETHER = 20
"""Exposures that a kind of work has on average. Our choice: with fewer, a person's own films make
up much of what is expected of them, and nobody is told apart."""


@dataclass(frozen=True, slots=True, kw_only=True)
class LikeWork:
    """What tells kinds of work apart.

    Parameters
    ----------
    dimensions : tuple of Dimension
    months : bool
        Whether exposures of different months are different work.
    """

    dimensions: tuple[Dimension, ...] = ()
    months: bool = False


def like_work(log: LoggedExposures) -> tuple[LikeWork, NDArray[np.int64]]:
    """Kinds of work by view, receptor and month, as many of these as the record has films for.

    `LEAST_TOGETHER`, and in which order these are taken in, is our choice.

    Returns
    -------
    LikeWork
    (N,) int array
        Kind of work of each exposure, by running number.
    """
    kinds = np.zeros(len(log), dtype=np.int64)
    if not len(log):
        return LikeWork(), kinds
    taken = []
    for dimension in (Dimension.VIEW, Dimension.RECEPTOR):
        finer = _within(kinds, log.code(dimension).astype(np.int64))
        if _enough(finer) and int(log.code(dimension).max()) >= 0:
            kinds = finer
            taken.append(dimension)
    finer = _within(kinds, period_number(log.day, Period.MONTH))
    months = _enough(finer)
    return LikeWork(dimensions=tuple(taken), months=months), finer if months else kinds


def expected_rejects(
    rejected: NDArray[np.bool_], operator: NDArray[np.int32], stratum: NDArray[np.int64], count: int
) -> NDArray[np.float64]:
    """What each of ``count`` operators would have had at the rate of each stratum, (count,).

    Indirect standardisation, each operator's exposures at everybody's rates (Spiegelhalter 2005).
    """
    place = _numbered(stratum)
    rate = np.bincount(place, weights=rejected) / np.bincount(place)
    known = operator >= 0
    wanted = np.bincount(operator[known], weights=rate[place[known]], minlength=count)
    return np.asarray(wanted, dtype=np.float64)


def _within(kinds: NDArray[np.int64], code: NDArray[np.int64]) -> NDArray[np.int64]:
    """Every code within every kind, numbered afresh."""
    low = int(code.min())
    return _numbered(kinds * (int(code.max()) - low + 1) + code - low)


def _numbered(kinds: NDArray[np.int64]) -> NDArray[np.int64]:
    """Kinds (N,), 0 or more, by running numbers without gaps, in the same order."""
    if int(kinds.max(initial=0)) > len(kinds):  # so many that sorting takes less room
        return np.asarray(np.unique(kinds, return_inverse=True)[1], dtype=np.int64)
    there = np.bincount(kinds) > 0
    return (np.cumsum(there) - 1)[kinds]


def _enough(kinds: NDArray[np.int64]) -> bool:
    return len(kinds) >= LEAST_TOGETHER * (int(kinds.max()) + 1)


__all__ = ["LEAST_TOGETHER", "LikeWork", "expected_rejects", "like_work"]
