"""Proportions and their differences, with intervals that hold for small numbers.

Sources: Wilson EB, J Am Stat Assoc 1927;22:209-12; Newcombe RG, Stat Med 1998;17:857-72 (one
proportion) and 873-90 (difference, method 10). The tests set both against statsmodels.
"""

from dataclasses import dataclass
from statistics import NormalDist

import numpy as np
from numpy.typing import ArrayLike, NDArray

from bitewright.audit.design_effect import DesignEffect
from bitewright.audit.students_t import two_sided_quantile

Floats = NDArray[np.float64]

CONFIDENCE = 0.95
"""Used wherever no other confidence is named. Common practice, no source."""

FEWEST = 20
"""Fewer exposures than this are "too few to tell". Our choice: even with no event at all among
19, the interval still reaches 17%, above every target there is."""

MOST_MOVED = 0.25
"""An interval is moved for a leaning count by no more than this share. Our choice."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Proportion:
    """So many out of so many, told without an interval."""

    count: int
    total: int

    @property
    def share(self) -> float:
        """The plain proportion; NaN of nothing."""
        return self.count / self.total if self.total else float("nan")

    @property
    def enough(self) -> bool:
        """Whether there are enough to say anything at all."""
        return self.total >= FEWEST


@dataclass(frozen=True, slots=True, kw_only=True)
class Share(Proportion):
    """So many out of so many, with an interval.

    ``low`` and ``high`` are the ends of the interval at ``confidence``.
    """

    low: float
    high: float
    confidence: float = CONFIDENCE


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
    design_effect: DesignEffect | float = 1.0,
) -> tuple[Floats, Floats]:
    """Ends of Wilson's score interval; 0 to 1 of nothing.

    Sources: Wilson EB, J Am Stat Assoc 1927;22:209-12; for what clustering makes a count lean, Hall
    P, Biometrika 1982;69:647-52 (second-order correction, from memory).

    Parameters
    ----------
    counts, totals : array_like
    confidence : float
    design_effect : DesignEffect or float
        By how much exposures of one case are worth less than as many of as many cases: the
        interval is that of ``totals / design_effect`` exposures, by Student's t where the effect is
        itself in doubt, and moved by its lean. A number has neither doubt nor lean.
    """
    known = effect_of(design_effect)
    size = np.asarray(totals, dtype=np.float64)
    z = two_sided_quantile(confidence, known.freedom)
    worth = size / known.value
    share = np.asarray(counts, dtype=np.float64) / np.maximum(size, 1)
    # The truth p solves (share - p - moved (1 - 2 p))^2 = z^2 p (1 - p) / worth.
    moved = np.minimum(known.lean * (z * z - 1.0) / 6.0 / np.maximum(size, 1), MOST_MOVED)
    left, within = 1.0 - 2.0 * moved, z * z
    middle = 2 * worth * left * (share - moved) + within
    below = 2 * (worth * left * left + within)
    reach = np.sqrt(np.maximum(middle**2 - 2 * below * worth * (share - moved) ** 2, 0.0))
    low, high = (middle - reach) / below, (middle + reach) / below
    # Beyond these no truth solves it with the share on its other side: the end is 0 or 1.
    low = np.where(share <= moved, 0.0, np.minimum(low, share))
    return low, np.where((1.0 - share <= moved) | (worth <= 0.0), 1.0, np.maximum(high, share))


def share_of(
    count: int,
    total: int,
    *,
    confidence: float = CONFIDENCE,
    design_effect: DesignEffect | float = 1.0,
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
    design_effect: DesignEffect | float | tuple[DesignEffect, DesignEffect] = 1.0,
) -> ShareDifference:
    """Second share less first, by Newcombe's method 10: both Wilson intervals joined.

    Source: Newcombe RG, Stat Med 1998;17:873-90.
    """
    one, other = design_effect if isinstance(design_effect, tuple) else (design_effect,) * 2
    before = share_of(*first, confidence=confidence, design_effect=one)
    after = share_of(*second, confidence=confidence, design_effect=other)
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


def effect_of(given: DesignEffect | float) -> DesignEffect:
    """A design effect, also of one that is known as a number."""
    return given if isinstance(given, DesignEffect) else DesignEffect(value=np.array(float(given)))


def z_of(confidence: float) -> float:
    """The normal quantile of a two-sided confidence."""
    return NormalDist().inv_cdf(0.5 + confidence / 2)


__all__ = [
    "CONFIDENCE",
    "FEWEST",
    "Proportion",
    "Share",
    "ShareDifference",
    "difference_of",
    "share_of",
    "wilson",
    "z_of",
]
