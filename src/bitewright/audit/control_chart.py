"""Is a stretch of time out of line with the others? The p-chart, with limits that can widen.

Sources: NIST/SEMATECH e-Handbook of Statistical Methods 6.3.3.2 (limits); Laney DB, Qual Eng
2002;14:531-7 (over-dispersion, from memory).
"""

from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike, NDArray
from scipy.special import ndtri

Floats = NDArray[np.float64]

THREE_SIGMA = 3.0
RANGE_OF_TWO = 1.128
"""Mean range of two standard normal values."""


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class ControlChart:
    """A p-chart of G subgroups.

    Parameters
    ----------
    shares, lows, highs : (G,) float arrays
        Share of each subgroup and its own limits, cut to 0 and 1.
    totals : (G,) float array
    centre : float
        Share over the subgroups taken as a base.
    spread : float
        How many times wider the limits are than chance alone makes them; 1 or more.
    out : tuple of int
        Subgroups beyond their limits.
    """

    shares: Floats
    totals: Floats
    centre: float
    lows: Floats
    highs: Floats
    spread: float
    z: float
    out: tuple[int, ...]


def p_chart(
    counts: ArrayLike,
    totals: ArrayLike,
    *,
    z: float = THREE_SIGMA,
    widen: bool = False,
    base: ArrayLike | None = None,
) -> ControlChart:
    """A chart of shares with limits for each subgroup's own size.

    Parameters
    ----------
    counts, totals : (G,) array_like
        Every total above 0.
    z : float
        Width of the limits in standard deviations.
    widen : bool
        Take account of variation from subgroup to subgroup beyond chance (Laney's p'). Limits are
        never made narrower than chance allows: our choice.
    base : (G,) array_like of bool, optional
        Subgroups the centre and the spread come from; all of them if left out.
    """
    hits, size = np.asarray(counts, dtype=np.float64), np.asarray(totals, dtype=np.float64)
    taken = np.ones(len(size), dtype=np.bool_) if base is None else np.asarray(base, dtype=np.bool_)
    if not len(size) or not taken.any():
        nothing = np.empty(0)
        return ControlChart(
            shares=nothing, totals=nothing, centre=float("nan"), lows=nothing, highs=nothing,
            spread=1.0, z=z, out=(),
        )  # fmt: skip
    centre = float(hits[taken].sum() / size[taken].sum())
    shares = hits / size
    sigma = np.sqrt(centre * (1 - centre) / size)
    spread = spread_beyond_chance(hits[taken], size[taken]) if widen else 1.0
    lows = np.clip(centre - z * spread * sigma, 0.0, 1.0)
    highs = np.clip(centre + z * spread * sigma, 0.0, 1.0)
    out = np.flatnonzero((shares < lows) | (shares > highs))
    return ControlChart(
        shares=shares,
        totals=size,
        centre=centre,
        lows=lows,
        highs=highs,
        spread=spread,
        z=z,
        out=tuple(int(k) for k in out),
    )


def spread_beyond_chance(counts: ArrayLike, totals: ArrayLike) -> float:
    """Laney's sigma of standardised shares from their moving ranges, at least 1.

    Ranges of neighbours hardly feel a shift or a drift, so these do not widen the limits.
    """
    hits, size = np.asarray(counts, dtype=np.float64), np.asarray(totals, dtype=np.float64)
    if len(size) < 3 or size.sum() == 0:
        return 1.0
    centre = hits.sum() / size.sum()
    if not 0.0 < centre < 1.0:
        return 1.0
    standard = (hits / size - centre) / np.sqrt(centre * (1 - centre) / size)
    return max(1.0, float(np.abs(np.diff(standard)).mean() / RANGE_OF_TWO))


def records_without_change(
    share: float, totals: ArrayLike, spread: float, rng: np.random.Generator, *, draws: int
) -> Floats:
    """Counts (draws, G) of records whose true share stays, with as much variation beyond chance.

    Beta-binomial, so that standardised shares scatter ``spread`` times as widely as chance alone.
    """
    size = np.asarray(totals, dtype=np.float64)
    within = (spread**2 - 1.0) / max(float(size.mean()) - 1.0, 1.0)
    rates = np.broadcast_to(share, (draws, len(size)))
    if within > 1e-9:
        weight = 1.0 / min(within, 0.99) - 1.0
        rates = rng.beta(share * weight, (1 - share) * weight, size=(draws, len(size)))
    return rng.binomial(size.astype(np.int64), rates).astype(np.float64)


def z_for_family(tests: int, chance: float = 0.05) -> float:
    """Limits so wide that any of so many points lies beyond them by chance only this often.

    Sidak's correction, for independent points.
    """
    each = 1.0 - (1.0 - chance) ** (1.0 / max(tests, 1))
    return float(-ndtri(each / 2))


__all__ = [
    "THREE_SIGMA",
    "ControlChart",
    "p_chart",
    "records_without_change",
    "spread_beyond_chance",
    "z_for_family",
]
