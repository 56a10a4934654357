"""Proportions and their differences, with intervals that hold for small numbers.

Sources: Wilson EB, J Am Stat Assoc 1927;22:209-12; Newcombe RG, Stat Med 1998;17:857-72 (one
proportion) and 873-90 (difference, method 10). The tests set both against statsmodels.
"""

from dataclasses import dataclass
from statistics import NormalDist

import numpy as np
from numpy.typing import ArrayLike, NDArray

Floats = NDArray[np.float64]

CONFIDENCE = 0.95
"""Used wherever no other confidence is named. Common practice, no source."""

FEWEST = 20
"""Fewer exposures than this are "too few to tell". Our choice: even with no event at all among
19, the interval still reaches 17%, above every target there is."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Share:
    """So many out of so many, with an interval.

    ``low`` and ``high`` are the ends of the interval at ``confidence``.
    """

    count: int
    total: int
    low: float
    high: float
    confidence: float = CONFIDENCE

    @property
    def share(self) -> float:
        """The plain proportion; NaN of nothing."""
        return self.count / self.total if self.total else float("nan")

    @property
    def enough(self) -> bool:
        """Whether there are enough to say anything at all."""
        return self.total >= FEWEST


@dataclass(frozen=True, slots=True, kw_only=True)
class ShareDifference:
    """The second share less the first, with Newcombe's interval."""

    first: Share
    second: Share
    low: float
    high: float
    confidence: float

    @property
    def difference(self) -> float:
        """Second less first."""
        return self.second.share - self.first.share

    @property
    def settled(self) -> bool:
        """Whether the interval leaves out nought."""
        return not self.low <= 0.0 <= self.high


def wilson(
    counts: ArrayLike,
    totals: ArrayLike,
    *,
    confidence: float = CONFIDENCE,
    design_effect: float = 1.0,
) -> tuple[Floats, Floats]:
    """Ends of Wilson's score interval; 0 to 1 of nothing.

    Source: Wilson EB, J Am Stat Assoc 1927;22:209-12.

    Parameters
    ----------
    counts, totals : array_like
    confidence : float
    design_effect : float
        By how much exposures of one case are worth less than as many of as many cases: the
        interval is that of ``totals / design_effect`` exposures.
    """
    z = z_of(confidence)
    worth = np.asarray(totals, dtype=np.float64) / design_effect
    share = np.asarray(counts, dtype=np.float64) / np.maximum(np.asarray(totals), 1)
    middle = 2 * worth * share + z * z
    reach = z * np.sqrt(z * z + 4 * worth * share * (1.0 - share))
    below = 2 * (worth + z * z)
    low, high = (middle - reach) / below, (middle + reach) / below
    # Rounding leaves 1e-17 where the end is exactly 0 or 1.
    low = np.where(share <= 0.0, 0.0, low)
    return low, np.where((share >= 1.0) | (worth <= 0.0), 1.0, high)


def share_of(
    count: int, total: int, *, confidence: float = CONFIDENCE, design_effect: float = 1.0
) -> Share:
    """A share with Wilson's interval.

    Source: Wilson EB, J Am Stat Assoc 1927;22:209-12.
    """
    low, high = wilson(count, total, confidence=confidence, design_effect=design_effect)
    return Share(
        count=int(count), total=int(total), low=float(low), high=float(high), confidence=confidence
    )


def difference_of(
    first: tuple[int, int],
    second: tuple[int, int],
    *,
    confidence: float = CONFIDENCE,
    design_effect: float = 1.0,
) -> ShareDifference:
    """Second share less first, by Newcombe's method 10: both Wilson intervals joined.

    Source: Newcombe RG, Stat Med 1998;17:873-90.
    """
    before = share_of(*first, confidence=confidence, design_effect=design_effect)
    after = share_of(*second, confidence=confidence, design_effect=design_effect)
    p1, p2 = before.share, after.share
    down = np.hypot(p2 - after.low, before.high - p1)
    up = np.hypot(after.high - p2, p1 - before.low)
    return ShareDifference(
        first=before,
        second=after,
        low=float(max(p2 - p1 - down, -1.0)),
        high=float(min(p2 - p1 + up, 1.0)),
        confidence=confidence,
    )


def design_effect(
    events: NDArray[np.bool_], group: NDArray[np.int32], case: NDArray[np.int32]
) -> float:
    """How much the clustering of E exposures, (E,), in cases widens intervals; 1 or more.

    Between-case variance of a ratio (linearised) over that of independent exposures, pooled over
    the groups. Exposures without a case stand alone. Fewer than 30 cases give 1: no more can be
    learned from so few. Our choice.

    Source: Kish L, Survey Sampling, Wiley 1965 (from memory).
    """
    known = case >= 0
    if not known.any():
        return 1.0
    cell = np.where(known, case, case.max() + 1 + np.arange(len(case)))
    cell = cell * (int(group.max()) + 2) + group + 1
    _, place, size = np.unique(cell, return_inverse=True, return_counts=True)
    if len(size) < 30:
        return 1.0
    hits = np.bincount(place, weights=events)
    group_of = np.zeros(len(size), dtype=np.int64)
    group_of[place] = group + 1
    total = np.bincount(group_of, weights=size)
    share = np.bincount(group_of, weights=hits) / np.maximum(total, 1)
    between = ((hits - share[group_of] * size) ** 2).sum()
    alone = (total * share * (1 - share)).sum()
    return max(1.0, float(between / alone)) if alone > 0 else 1.0


def z_of(confidence: float) -> float:
    """The normal quantile of a two-sided confidence."""
    return NormalDist().inv_cdf(0.5 + confidence / 2)


__all__ = [
    "CONFIDENCE",
    "FEWEST",
    "Share",
    "ShareDifference",
    "design_effect",
    "difference_of",
    "share_of",
    "wilson",
    "z_of",
]
