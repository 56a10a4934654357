"""Has the rate changed on a day nobody named? The most likely days, and the chance of nothing.

A stretch of the series is split where the two sides differ most. Whether so large a difference is
chance is found from records drawn without a change, of the same sizes and with the variation beyond
chance that neighbouring weeks show. Each part is then searched again, at half the chance. Our
choice of method: binary splitting (Scott AJ, Knott M, Biometrics 1974;30:507-12, from memory) with
a simulated reference.
"""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray
from scipy.special import xlogy

from bitewright.audit.control_chart import records_without_change, spread_beyond_chance
from bitewright.audit.dated_change import LEAST_STEPS, Series
from bitewright.audit.proportions import CONFIDENCE, ShareDifference, difference_of
from bitewright.audit.usual_course import UsualCourse, usual_course

Floats = NDArray[np.float64]

DRAWS = 1999
PLACINGS = 10
"""So often at most is every change placed again; more than two or three are hardly needed."""


@dataclass(frozen=True, slots=True, kw_only=True)
class ChangePoint:
    """A day the rate changed.

    Parameters
    ----------
    day : int
        First day of the first week after it. [days since 1970-01-01]
    first_day, last_day : int
        The days it may as well have been, together 95% likely.
    shares : ShareDifference
        From the change before it to the change after it.
    chance : float
        How often records without a change show one as large somewhere.
    """

    day: int
    first_day: int
    last_day: int
    shares: ShareDifference
    chance: float


def change_points(
    series: Series,
    *,
    rng: np.random.Generator,
    false_alarm: float = 0.05,
    most: int = 4,
) -> tuple[ChangePoint, ...]:
    """Days on which the rate changed, in order of time; none where chance explains all.

    Sources: Scott AJ, Knott M, Biometrics 1974;30:507-12 (binary splitting) and Bai J, Econom
    Theory 1997;13:315-52 (each change placed again between its neighbours), both from memory; the
    simulated reference is our choice.

    Parameters
    ----------
    series : Series
    rng : numpy Generator
    false_alarm : float
        Chance that a record without any change gives one.
    most : int
        Changes looked for.
    """
    found: list[tuple[int, float]] = []
    _search(series, 0, len(series.starts), false_alarm, found, most, rng)
    places = _placed_again(series, sorted(found))
    edges = [0, *(place for place, _ in places), len(series.starts)]
    return tuple(
        _described(series, edges[k], place, edges[k + 2], chance)
        for k, (place, chance) in enumerate(places)
    )


def _search(
    series: Series,
    start: int,
    end: int,
    false_alarm: float,
    found: list[tuple[int, float]],
    most: int,
    rng: np.random.Generator,
) -> None:
    """Split one stretch, then its parts."""
    if end - start < 2 * LEAST_STEPS or len(found) >= most:
        return
    counts, totals = series.counts[start:end], series.totals[start:end]
    usual, effects = usual_course(series.part(start, end)), series.effects[start:end]
    gains = _gains(counts, totals, usual)
    best = float(gains.max())
    spread = spread_beyond_chance(counts, totals, design_effects=effects)
    drawn = records_without_change(
        usual.rates, totals, spread, rng, draws=DRAWS, design_effects=effects
    )
    chance = float((1 + (_gains(drawn, totals, usual).max(axis=1) >= best).sum()) / (DRAWS + 1))
    if chance > false_alarm:
        return
    place = start + LEAST_STEPS + int(gains.argmax())
    found.append((place, chance))
    _search(series, start, place, false_alarm / 2, found, most, rng)
    _search(series, place, end, false_alarm / 2, found, most, rng)


def _placed_again(series: Series, found: list[tuple[int, float]]) -> list[tuple[int, float]]:
    """Each change once more where its two parts differ most, until none moves any more.

    The first split of a stretch is placed while the others still lie in its parts, and a change
    that moves is another neighbour to those beside it.

    Source: Bai J, Econom Theory 1997;13:315-52 (repartition, from memory).
    """
    places = [0, *(place for place, _ in found), len(series.starts)]
    for _ in range(PLACINGS if len(found) > 1 else 0):
        before = tuple(places)
        for k in range(1, len(places) - 1):
            start, end = places[k - 1], places[k + 1]
            if end - start >= 2 * LEAST_STEPS:
                part = series.part(start, end)
                gains = _gains(part.counts, part.totals, usual_course(part))
                places[k] = start + LEAST_STEPS + int(gains.argmax())
        if tuple(places) == before:
            break
    return [(place, chance) for place, (_, chance) in zip(places[1:-1], found, strict=True)]


def _gains(counts: Floats, totals: Floats, usual: UsualCourse) -> Floats:
    """Twice the gain in log likelihood of a split before each week that may begin a part.

    With known courses beside it, the score statistic, which comes to the same for small splits.
    """
    if usual.has_courses:
        return usual.gains(counts, slice(LEAST_STEPS - 1, counts.shape[-1] - LEAST_STEPS))
    hits, size = np.cumsum(counts, axis=-1), np.cumsum(totals, axis=-1)
    all_hits, all_size = hits[..., -1:], size[..., -1:]
    inside = slice(LEAST_STEPS - 1, counts.shape[-1] - LEAST_STEPS)
    left, left_size = hits[..., inside], size[..., inside]
    whole = _likelihood(all_hits, all_size)
    parts = _likelihood(left, left_size) + _likelihood(all_hits - left, all_size - left_size)
    return np.asarray(2 * (parts - whole), dtype=np.float64)


def _likelihood(hits: Floats, size: Floats) -> Floats:
    share = hits / size
    return np.asarray(xlogy(hits, share) + xlogy(size - hits, 1 - share), dtype=np.float64)


def _described(series: Series, start: int, place: int, end: int, chance: float) -> ChangePoint:
    counts, totals = series.counts[start:end], series.totals[start:end]
    cut = place - start
    clustered = series.part(start, end).design_effect()
    dispersion = max(float(clustered.value), _dispersion(counts, totals, cut))
    first, last = place, place
    if end - start >= 2 * LEAST_STEPS:
        gains = _gains(counts, totals, usual_course(series.part(start, end))) / dispersion
        weight = np.exp((gains - gains.max()) / 2)
        likely = np.flatnonzero(_most_likely(weight / weight.sum()))
        first, last = (start + LEAST_STEPS + int(likely[k]) for k in (0, -1))
    return ChangePoint(
        day=int(series.starts[place]),
        first_day=int(series.starts[first]),
        last_day=int(series.starts[last]),
        shares=difference_of(
            (int(counts[:cut].sum()), int(totals[:cut].sum())),
            (int(counts[cut:].sum()), int(totals[cut:].sum())),
            confidence=CONFIDENCE,
            design_effect=clustered.times(dispersion / float(clustered.value)),
        ),
        chance=chance,
    )


def _dispersion(counts: Floats, totals: Floats, cut: int) -> float:
    """Variance beyond chance about the two parts' own shares, at least 1."""
    share = np.empty(len(counts))
    for part in (slice(None, cut), slice(cut, None)):
        share[part] = counts[part].sum() / totals[part].sum()
    variance = totals * share * (1 - share)
    known = variance > 0
    if known.sum() < 4:
        return 1.0
    squares = (counts - totals * share)[known] ** 2 / variance[known]
    return max(1.0, float(squares.sum() / (known.sum() - 2)))


def _most_likely(weight: Floats) -> NDArray[np.bool_]:
    """The fewest places that hold 95% of the weight."""
    order = np.argsort(-weight)
    needed = int(np.searchsorted(np.cumsum(weight[order]), 0.95)) + 1
    kept = np.zeros(len(weight), dtype=np.bool_)
    kept[order[:needed]] = True
    return kept


__all__ = ["ChangePoint", "change_points"]
