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
        Share over all subgroups.
    centres : (G,) float array
        What each subgroup is set against: that of its own phase where the chart has phases, known
        courses allowed for where there are any.
    spread : float
        How many times wider the limits are than chance and clustering in cases make them; 1 or
        more.
    out : tuple of int
        Subgroups beyond their limits.
    """

    shares: Floats
    totals: Floats
    centre: float
    centres: Floats
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
    phases: ArrayLike | None = None,
    design_effects: ArrayLike = 1.0,
    usual: ArrayLike | None = None,
) -> ControlChart:
    """A chart of shares with limits for each subgroup's own size.

    Source: NIST/SEMATECH e-Handbook of Statistical Methods 6.3.3.2; for ``widen``, Laney DB, Qual
    Eng 2002;14:531-7 (from memory).

    Parameters
    ----------
    counts, totals : (G,) array_like
        Every total above 0.
    z : float
        Width of the limits in standard deviations.
    widen : bool
        Take account of variation from subgroup to subgroup beyond chance (Laney's p'). Limits are
        never made narrower than chance allows: our choice.
    phases : (G,) array_like of int, optional
        Known changes cut the chart: each phase has a centre of its own. One for all if left out.
    design_effects : (G,) array_like
        Of exposures of one case, in each subgroup.
    usual : (G,) array_like, optional
        Rate that each subgroup is set against, where known courses move it (`usual_rates`); the
        share of its phase if left out.
    """
    hits, size = np.asarray(counts, dtype=np.float64), np.asarray(totals, dtype=np.float64)
    phase = np.zeros(len(size), dtype=np.int64) if phases is None else np.asarray(phases)
    all_hits, all_size = float(hits.sum()), float(size.sum())
    centre = all_hits / all_size if all_size else float("nan")
    centres = _centres(hits, size, phase) if usual is None else np.asarray(usual, dtype=np.float64)
    spread = spread_beyond_chance(hits, size, phase, design_effects, centres) if widen else 1.0
    reach = z * spread * np.sqrt(centres * (1 - centres) * np.asarray(design_effects) / size)
    shares, lows, highs = hits / size, centres - reach, centres + reach
    out = np.flatnonzero((shares < lows) | (shares > highs))
    return ControlChart(
        shares=shares,
        totals=size,
        centre=centre,
        centres=centres,
        lows=np.clip(lows, 0.0, 1.0),
        highs=np.clip(highs, 0.0, 1.0),
        spread=spread,
        z=z,
        out=tuple(int(k) for k in out),
    )


def spread_beyond_chance(
    counts: ArrayLike,
    totals: ArrayLike,
    phases: ArrayLike | None = None,
    design_effects: ArrayLike = 1.0,
    usual: ArrayLike | None = None,
) -> float:
    """Laney's sigma of G standardised shares, (G,), from their moving ranges, at least 1.

    Standardised by what chance and clustering in cases make, so it is what neither explains. Ranges
    of neighbours hardly feel a shift or a drift, so these do not widen the limits; those across a
    known change are left out.

    Source: Laney DB, Qual Eng 2002;14:531-7 (from memory); 1.128, the mean range of two standard
    normal values, from the handbook's 6.3.2 (from memory).
    """
    hits, size = np.asarray(counts, dtype=np.float64), np.asarray(totals, dtype=np.float64)
    phase = np.zeros(len(size), dtype=np.int64) if phases is None else np.asarray(phases)
    near = phase[1:] == phase[:-1]
    if near.sum() < 2 or not 0 < hits.sum() < size.sum():
        return 1.0
    centre = _centres(hits, size, phase) if usual is None else np.asarray(usual, dtype=np.float64)
    sigma = np.sqrt(np.maximum(centre * (1 - centre), 1e-12) * np.asarray(design_effects) / size)
    standard = (hits / size - centre) / sigma
    return max(1.0, float(np.abs(np.diff(standard))[near].mean() / RANGE_OF_TWO))


def _centres(hits: Floats, size: Floats, phase: NDArray[np.int64]) -> Floats:
    """Share of each subgroup's phase, (G,)."""
    _, place = np.unique(phase, return_inverse=True)
    total = np.bincount(place, weights=size)
    share = np.bincount(place, weights=hits) / np.maximum(total, 1e-12)
    share = np.where(total > 0, share, hits.sum() / max(size.sum(), 1e-12))
    return np.asarray(share[place], dtype=np.float64)


def records_without_change(
    share: ArrayLike,
    totals: ArrayLike,
    spread: float,
    rng: np.random.Generator,
    *,
    draws: int,
    design_effects: ArrayLike = 1.0,
) -> Floats:
    """Counts (draws, G) of records whose true share stays, with as much variation beyond chance.

    Beta-binomial, so that standardised shares scatter ``spread`` times as widely as chance and
    clustering in cases make them. ``share``: one, or each subgroup's usual one, (G,).
    """
    size = np.asarray(totals, dtype=np.float64)
    usual = np.broadcast_to(np.asarray(share, dtype=np.float64), size.shape)
    variance = np.broadcast_to(spread**2 * np.asarray(design_effects, dtype=np.float64), size.shape)
    within = np.where(size > 1.0, (variance - 1.0) / np.maximum(size - 1.0, 1.0), 0.0)
    rates = np.broadcast_to(usual, (draws, len(size)))
    if within.max(initial=0.0) > 1e-9:
        weight = 1.0 / np.clip(within, 1e-9, 0.99) - 1.0
        rates = rng.beta(usual * weight, (1 - usual) * weight, size=(draws, len(size)))
    return rng.binomial(size.astype(np.int64), rates).astype(np.float64)


def z_for_family(tests: int, chance: float = 0.05) -> float:
    """Limits so wide that any of so many points lies beyond them by chance only this often.

    Sidak's correction, for independent points.

    Source: Sidak Z, J Am Stat Assoc 1967;62:626-33 (from memory).
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
