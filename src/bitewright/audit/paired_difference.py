"""How much more often one says something than another of the same things, with an interval.

Source: Newcombe RG, Stat Med 1998;17:2635-50 (differences of paired proportions, method 10: both
Wilson intervals joined, the correlation of the pair allowed for; from memory).
"""

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from bitewright.audit.proportions import CONFIDENCE, Share, share_of


@dataclass(frozen=True, slots=True, kw_only=True)
class PairedDifference:
    """The first's share less the second's, of the same things; ``low`` and ``high``: interval."""

    first: Share
    second: Share
    low: float
    high: float

    @property
    def difference(self) -> float:
        """First less second."""
        return self.first.share - self.second.share

    @property
    def settled(self) -> bool:
        """Whether the interval leaves out nought."""
        return not self.low <= 0.0 <= self.high


def paired_difference(
    first: Sequence[bool], second: Sequence[bool], *, confidence: float = CONFIDENCE
) -> PairedDifference:
    """How much more often the first says it.

    Parameters
    ----------
    first, second : sequence of bool
        Whether each says it, of the same things in the same order; one at least.
    """
    one, other = np.asarray(first, dtype=bool), np.asarray(second, dtype=bool)
    both, neither = int((one & other).sum()), int((~one & ~other).sum())
    alone, instead = int((one & ~other).sum()), int((~one & other).sum())
    a = share_of(both + alone, len(one), confidence=confidence)
    b = share_of(both + instead, len(one), confidence=confidence)
    sides = (both + alone) * (instead + neither) * (both + instead) * (alone + neither)
    alike = _corrected(both * neither - alone * instead, len(one)) / np.sqrt(sides or 1)
    down = _joined(a.share - a.low, b.high - b.share, alike)
    up = _joined(b.share - b.low, a.high - a.share, alike)
    difference = a.share - b.share
    return PairedDifference(
        first=a, second=b, low=max(difference - down, -1.0), high=min(difference + up, 1.0)
    )


def _corrected(covariance: int, things: int) -> float:
    """Corrected for continuity where positive, so that wholly alike answers are not certain."""
    return max(covariance - things / 2, 0.0) if covariance > 0 else float(covariance)


def _joined(one: float, other: float, alike: float) -> float:
    """Length of two reaches put together, as alike as they are."""
    return float(np.sqrt(max(one**2 - 2.0 * alike * one * other + other**2, 0.0)))


__all__ = ["PairedDifference", "paired_difference"]
