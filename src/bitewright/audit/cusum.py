"""Slow drift: small departures added up until they cannot be chance, and when they began.

Sources: Montgomery DC, Introduction to Statistical Quality Control, chapter 9 (sums that never fall
below nought); Steiner SH et al., Biostatistics 2000;1:441-52 (scores for a yes or no, from memory).
"""

from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike, NDArray

from bitewright.audit.control_chart import records_without_change, spread_beyond_chance
from bitewright.audit.usual_course import UsualCourse

Floats = NDArray[np.float64]

WORTH_SEEING = 1.5
"""The odds ratio a drift watch is tuned for. Our choice: from 11% to 16%, or to 8%."""
DRAWS = 2000


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Cusum:
    """Sums upward and downward at G steps.

    Parameters
    ----------
    up, down : (G,) float arrays
    limit : float
    signal_up, signal_down : int or None
        First step at which the sum passes the limit.
    began_up, began_down : int or None
        First step of the climb that led there: the change is dated just before it.
    """

    up: Floats
    down: Floats
    limit: float
    signal_up: int | None
    signal_down: int | None
    began_up: int | None
    began_down: int | None


def bernoulli_cusum(
    counts: ArrayLike, totals: ArrayLike, *, usual: float | Floats, odds: float, limit: float
) -> Cusum:
    """Sums of log likelihood ratios, upward for odds times as high and downward for as low.

    ``counts`` and ``totals`` are (G,), a value a step; ``usual`` is one rate, or one a step.

    Source: Steiner SH et al., Biostatistics 2000;1:441-52 (from memory).
    """
    hits, size = np.asarray(counts, dtype=np.float64), np.asarray(totals, dtype=np.float64)
    up = _path(hits, size, usual, odds)
    down = _path(hits, size, usual, 1.0 / odds)
    return _judged(up, down, limit)


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class DriftWatch:
    """A cusum of rejects against the rate of a reference stretch.

    ``first_count`` of ``first_total`` exposures are those of the first ``reference`` steps;
    ``usual``: their rate, kept off 0 and 1 by half an exposure. ``spread``: variation beyond chance
    that the limit allows for. ``false_alarm``: chance that a record without change passes the
    limit.
    """

    cusum: Cusum
    first_count: int
    first_total: int
    usual: float
    reference: int
    spread: float
    false_alarm: float


def drift_watch(
    counts: ArrayLike,
    totals: ArrayLike,
    *,
    reference: int,
    rng: np.random.Generator,
    odds: float = WORTH_SEEING,
    false_alarm: float = 0.05,
    design_effects: ArrayLike = 1.0,
    course: UsualCourse | None = None,
) -> DriftWatch:
    """Watch the steps after a reference stretch for drift, with a limit worked out for this record.

    The limit is the value that a record of these sizes without change passes with the chance
    ``false_alarm``, in either direction; records are drawn with the same variation beyond chance
    and each takes its own usual rate from its own reference stretch, which goes on as the known
    ``course`` of the record goes on. Our choice. ``counts``,
    ``totals`` and the ``design_effects`` of exposures of one case are (G,), a value a step.
    """
    hits, size = np.asarray(counts, dtype=np.float64), np.asarray(totals, dtype=np.float64)
    usual = _usual(hits[:reference].sum(), size[:reference].sum())
    spread = spread_beyond_chance(hits, size, design_effects=design_effects)
    # Of the whole record: its first part alone may by chance hold no event at all.
    share: ArrayLike = _usual(hits.sum(), size.sum())
    moves = course is not None and course.has_courses
    drawn = records_without_change(
        course.rates if course is not None and moves else share,
        size,
        spread,
        rng,
        draws=DRAWS,
        design_effects=design_effects,
    )
    base = _usual(drawn[:, :reference].sum(axis=1), size[:reference].sum())
    if course is not None and moves:
        expected = course.usual_after(drawn, reference, base)[:, reference:]
        own = course.usual_after(hits, reference, usual)[reference:]
    else:
        expected, own = base[:, None], usual
    later, after = drawn[:, reference:], size[reference:]
    highest = np.maximum(
        _path(later, after, expected, odds).max(axis=1, initial=0.0),
        _path(later, after, expected, 1.0 / odds).max(axis=1, initial=0.0),
    )
    limit = float(np.quantile(highest, 1.0 - false_alarm))
    found = bernoulli_cusum(hits[reference:], after, usual=own, odds=odds, limit=max(limit, 1e-9))
    return DriftWatch(
        cusum=found,
        first_count=int(hits[:reference].sum()),
        first_total=int(size[:reference].sum()),
        usual=float(usual),
        reference=reference,
        spread=spread,
        false_alarm=false_alarm,
    )


def _usual(hits: ArrayLike, size: ArrayLike) -> Floats:
    """A rate kept off 0 and 1 by half an exposure."""
    return np.asarray((np.asarray(hits) + 0.5) / (np.asarray(size) + 1.0), dtype=np.float64)


def _path(hits: Floats, size: Floats, usual: float | Floats, odds: float) -> Floats:
    changed = odds * usual / (1 - usual + odds * usual)
    hit, miss = np.log(changed / usual), np.log((1 - changed) / (1 - usual))
    return _kept_above_nought(hits * hit + (size - hits) * miss)


def _kept_above_nought(steps: Floats) -> Floats:
    """max(0, last + step) along the last axis."""
    total = np.cumsum(steps, axis=-1)
    return np.asarray(total - np.minimum(np.minimum.accumulate(total, axis=-1), 0.0))


def _judged(up: Floats, down: Floats, limit: float) -> Cusum:
    signal_up, signal_down = _first(up > limit), _first(down > limit)
    return Cusum(
        up=up,
        down=down,
        limit=limit,
        signal_up=signal_up,
        signal_down=signal_down,
        began_up=_began(up, signal_up),
        began_down=_began(down, signal_down),
    )


def _first(flags: NDArray[np.bool_]) -> int | None:
    found = np.flatnonzero(flags)
    return int(found[0]) if len(found) else None


def _began(path: Floats, signal: int | None) -> int | None:
    if signal is None:
        return None
    still = np.flatnonzero(path[:signal] <= 1e-12)
    return int(still[-1]) + 1 if len(still) else 0


__all__ = [
    "Cusum",
    "DriftWatch",
    "bernoulli_cusum",
    "drift_watch",
]
