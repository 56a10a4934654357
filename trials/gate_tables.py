"""Tables of what further exposures won, against what the gate had said."""

from collections.abc import Iterable, Sequence
from itertools import pairwise
from typing import Any

BINS = (0.0, 0.2, 0.4, 0.6, 0.8, 1.0001)


def gate_tables(kept: Sequence[dict[str, Any]]) -> str:
    """Both tables, as Markdown."""
    return f"{by_hand(kept)}\n\n{by_chance(kept)}"


def by_hand(kept: Sequence[dict[str, Any]]) -> str:
    """Places said to be won and won, by hand."""
    lines = [
        "| hand | further exposures | unread places | stated | won | all at once: stated | true |",
        "| --- | ---: | ---: | ---: | ---: | ---: | ---: |",
    ]
    hands = ["all", *dict.fromkeys(each["hand"] for each in kept)]
    for hand in hands:
        some = [
            decision
            for each in kept
            if hand in ("all", each["hand"])
            for decision in each["decisions"]
        ]
        places = [odd for decision in some for odd in decision["places"].values()]
        won = sum(len(decision["won"]) for decision in some)
        every = [len(decision["won"]) == len(decision["places"]) for decision in some]
        lines.append(
            f"| {hand} | {len(some)} | {len(places)} | {_mean(places)} | "
            f"{won / max(len(places), 1):.0%} | {_mean(each['all'] for each in some)} | "
            f"{_mean(every)} |"
        )
    return "\n".join(lines)


def by_chance(kept: Sequence[dict[str, Any]]) -> str:
    """How often a place was won, by the chance stated."""
    rows = [
        (odd, name in decision["won"])
        for each in kept
        for decision in each["decisions"]
        for name, odd in decision["places"].items()
    ]
    lines = ["| chance stated | places | stated | won |", "| --- | ---: | ---: | ---: |"]
    for low, high in pairwise(BINS):
        some = [row for row in rows if low <= row[0] < high]
        lines.append(
            f"| {low:.0%} to {high:.0%} | {len(some)} | {_mean(row[0] for row in some)} | "
            f"{_mean(row[1] for row in some)} |"
        )
    return "\n".join(lines)


def _mean(values: Iterable[float]) -> str:
    found = list(values)
    return f"{sum(found) / len(found):.0%}" if found else "none"


__all__ = ["gate_tables"]
