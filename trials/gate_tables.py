"""Tables of what further exposures won against what was said, and of what other ways do."""

from collections.abc import Iterable, Sequence
from itertools import pairwise
from typing import Any

import numpy as np
from numpy.typing import NDArray

from bitewright.audit.proportions import wilson

Floats = NDArray[np.float64]

BINS = (0.0, 0.2, 0.4, 0.6, 0.8, 1.0001)
RESAMPLES = 2000
WAYS = {
    "never": "no further film",
    "gate": "what the gate offers, at most two a side",
    "once": "each film rated N once more",
    "until-not-n": "each film rated N until it is not, at most twice",
}
HAND_HEAD = (
    "| further exposures | how many | unread places | stated | won | 95% interval "
    "| all at once: stated | true | 95% interval |"
)
WAY_HEAD = (
    "| after the films | visits | films each | further exposures in 100 visits | 95% interval "
    "| surfaces left unread in 100 visits | 95% interval |"
)

Visit = dict[str, Any]
Decision = dict[str, Any]


def gate_tables(kept: Sequence[Visit]) -> str:
    """All tables, as Markdown."""
    return "\n\n".join(made(kept) for made in (by_hand, by_chance, by_way))


def by_hand(kept: Sequence[Visit]) -> str:
    """Places said to be won and won, of all further exposures and of some."""
    lines = [
        HAND_HEAD,
        "| --- | ---: | ---: | ---: | ---: | --- | ---: | ---: | --- |",
    ]
    for label, some in _groups(kept):
        decisions = [each for visit in some for each in visit]
        places = [odd for each in decisions for odd in each["places"].values()]
        won = _interval([(sum(map(_won, visit)), sum(map(_asked, visit))) for visit in some])
        whole = _interval([(sum(map(_all_won, visit)), len(visit)) for visit in some])
        lines.append(
            f"| {label} | {len(decisions)} | {len(places)} | {_mean(places)} | {won} | "
            f"{_mean(each['all'] for each in decisions)} | {whole} |"
        )
    return "\n".join(lines)


def _groups(kept: Sequence[Visit]) -> list[tuple[str, list[list[Decision]]]]:
    """Decisions by visit: all, and of each kind."""
    groups = [("all", [each["decisions"] for each in kept])]
    groups += [
        (hand, [each["decisions"] for each in kept if each["hand"] == hand])
        for hand in dict.fromkeys(each["hand"] for each in kept)
    ]
    groups += [
        (
            f"after films with {times:g} times the slips",
            [each["decisions"] for each in kept if each["times"] == times],
        )
        for times in sorted({each["times"] for each in kept})
    ]
    groups += [
        (label, [[one for one in each["decisions"] if bool(one[what]) is is_so] for each in kept])
        for label, what, is_so in (
            ("of a view not taken before", "repeats", False),
            ("of a view taken before", "repeats", True),
            ("the second of a side", "again", True),
        )
    ]
    return groups


def _won(of: Decision) -> int:
    return len(of["won"])


def _asked(of: Decision) -> int:
    return len(of["places"])


def _all_won(of: Decision) -> bool:
    return _won(of) == _asked(of)


def by_chance(kept: Sequence[Visit]) -> str:
    """How often a place was won, by the chance stated."""
    lines = [
        "| chance stated | places | stated | won | 95% interval |",
        "| --- | ---: | ---: | ---: | --- |",
    ]
    for low, high in pairwise(BINS):
        visits = [
            [
                (odd, name in decision["won"])
                for decision in each["decisions"]
                for name, odd in decision["places"].items()
                if low <= odd < high
            ]
            for each in kept
        ]
        odds = [odd for visit in visits for odd, _ in visit]
        won = _interval([(sum(won for _, won in visit), len(visit)) for visit in visits])
        lines.append(f"| {low:.0%} to {high:.0%} | {len(odds)} | {_mean(odds)} | {won} |")
    return "\n".join(lines)


def by_way(kept: Sequence[Visit]) -> str:
    """Further exposures made and needed surfaces left unread, by what is done after the films."""
    lines = [
        WAY_HEAD,
        "| --- | ---: | ---: | ---: | --- | ---: | --- |",
    ]
    for films in sorted({each["films"] for each in kept}, reverse=True):
        some = [each for each in kept if each["films"] == films]
        for way, title in WAYS.items():
            made, unread = (
                _per_hundred([each["ways"][way][what] for each in some])
                for what in ("exposures", "unread")
            )
            lines.append(f"| {title} | {len(some)} | {films} | {made} | {unread} |")
    return "\n".join(lines)


def _interval(of_visits: Sequence[tuple[int, int]]) -> str:
    """A share and its interval, visits drawn anew with what was won in each, as two cells.

    Places of one visit are won or lost together, so visits are drawn, not places; where all or none
    were won, Wilson's interval of as many visits.
    """
    counts = np.array([each for each in of_visits if each[1]], dtype=float).reshape(-1, 2)
    if not len(counts):
        return "none | "
    won, asked = _drawn_sums(counts).T
    low, high = np.quantile(won / asked, (0.025, 0.975))
    if low == high:
        low, high = wilson(float(low) * len(counts), len(counts))
    return f"{counts[:, 0].sum() / counts[:, 1].sum():.0%} | {low:.0%} to {high:.0%}"


def _per_hundred(values: Sequence[int]) -> str:
    """A mean of visits and its interval, of a hundred visits, as two cells."""
    counts = 100.0 * np.array(values, dtype=float)[:, np.newaxis]
    low, high = np.quantile(_drawn_sums(counts)[:, 0] / len(counts), (0.025, 0.975))
    return f"{counts.mean():.0f} | {low:.0f} to {high:.0f}"


def _drawn_sums(counts: Floats) -> Floats:
    """Sums over as many visits as there are, each drawn anew, (RESAMPLES, columns)."""
    times = np.random.default_rng(0).multinomial(
        len(counts), np.full(len(counts), 1.0 / len(counts)), size=RESAMPLES
    )
    return np.asarray(times @ counts)


def _mean(values: Iterable[float]) -> str:
    found = list(values)
    return f"{sum(found) / len(found):.0%}" if found else "none"


__all__ = ["by_chance", "by_hand", "by_way", "gate_tables"]
