"""Tables of what became of plans' exposures: odds said beside those come true, and plans' worth."""

from collections.abc import Iterable, Sequence
from itertools import pairwise
from typing import Any

import numpy as np

KNOWLEDGE = ("mouth known", "mouth not known")
PLANS = (*KNOWLEDGE, "best aim, mouth not known", "straight across")
TENTHS = tuple(round(0.1 * k, 1) for k in range(11))
NORMAL_95 = 1.96
Row = dict[str, Any]


def odds_tables(kept: Sequence[Row]) -> str:
    """All tables, as Markdown."""
    return "\n\n".join(made(kept) for made in (by_tenth, by_group, worth))


def by_tenth(kept: Sequence[Row]) -> str:
    """Said and come true by tenth of the chance said, the mouth known or not."""
    lines = [_HEAD.format("chance said"), _RULE]
    for plan in KNOWLEDGE:
        some = [(each, one) for each, one in _said(kept) if one["plan"] == plan]
        for low, high in pairwise(TENTHS):
            top = high if high < 1.0 else 1.01
            here = [(each, one) for each, one in some if low <= one["said"] < top]
            lines.append(_row(here, f"{plan} | {low:.0%} to {high:.0%}"))
    return "\n".join(lines)


def by_group(kept: Sequence[Row]) -> str:
    """The same by hand, kind of mouth, receptor and purpose."""
    lines = [_HEAD.format("of"), _RULE]
    for plan in KNOWLEDGE:
        some = [(each, one) for each, one in _said(kept) if one["plan"] == plan]
        lines.append(_row(some, f"{plan} | all"))
        for hand in dict.fromkeys(one["hand"] for _, one in some):
            here = [pair for pair in some if pair[1]["hand"] == hand]
            lines.append(_row(here, f"{plan} | {hand}"))
        for key in ("kind", "receptor", "purpose"):
            for value in dict.fromkeys(each[key] for each, _ in some):
                title = f"{value} mouths" if key == "kind" else value
                here = [pair for pair in some if pair[0][key] == value]
                lines.append(_row(here, f"{plan} | {title}"))
    return "\n".join(lines)


def _said(kept: Sequence[Row]) -> list[tuple[Row, Row]]:
    """Each mouth with each of its plans whose odds were said."""
    return [(each, one) for each in kept for one in each["plans"] if one["said"] is not None]


_HEAD = (
    "| plan | {} | mouths | films | said | came true | true less said, points (95%) "
    "| by outlines alone |"
)
_RULE = "| --- | --- | ---: | ---: | ---: | ---: | --- | ---: |"


def _row(some: Sequence[tuple[Row, Row]], start: str) -> str:
    by_mouth: dict[int, list[float]] = {}
    for each, one in some:
        sums = by_mouth.setdefault(each["number"], [0.0] * 4)
        said = one["said"] * one["films"]
        for place, more in enumerate(
            (one["films"], said, one["served"], one["served_by_outlines"])
        ):
            sums[place] += more
    if not by_mouth:
        return f"| {start} | 0 | 0 | none | none | none | none |"
    films, said, true, outlined = np.array(list(by_mouth.values())).T
    off, half = _ratio(true - said, films)
    shown = f"{100 * off:+.1f}" + (f" ({100 * (off - half):+.1f} to {100 * (off + half):+.1f})")
    return (
        f"| {start} | {len(by_mouth)} | {films.sum():.0f} | {said.sum() / films.sum():.1%} "
        f"| {true.sum() / films.sum():.1%} | {shown if len(by_mouth) > 1 else f'{100 * off:+.1f}'} "
        f"| {outlined.sum() / films.sum():.1%} |"
    )


def worth(kept: Sequence[Row]) -> str:
    """Contacts readable a film and purposes served by plan and hand, and what each falls short."""
    every = [each for each in kept if {one["plan"] for one in each["plans"]} >= set(PLANS)]
    lines = [
        (
            "| hand | plan | contacts readable a film (95%) | less than with the mouth known "
            "| purpose served (95%) | less than with the mouth known |"
        ),
        "| --- | --- | --- | --- | --- | --- |",
    ]
    for hand in dict.fromkeys(one["hand"] for each in every for one in each["plans"]):
        best = _of(every, PLANS[0], hand)
        for plan in PLANS:
            here = _of(every, plan, hand)
            read, served = (here[name] / here["films"] for name in ("read", "served"))
            fewer, lost = ((best[name] - here[name]) / here["films"] for name in ("read", "served"))
            is_best = plan == PLANS[0]
            lines.append(
                f"| {hand} | {plan} | {_plain(read)} | {'' if is_best else _plain(fewer)} "
                f"| {_percent(served)} | {'' if is_best else _percent(lost)} |"
            )
    return "\n".join(lines)


def _of(every: Sequence[Row], plan: str, hand: str) -> dict[str, np.ndarray]:
    some = [
        one
        for each in every
        for one in each["plans"]
        if one["plan"] == plan and one["hand"] == hand
    ]
    return {
        name: np.array([one[name] for one in some], dtype=np.float64)
        for name in ("films", "read", "served")
    }


def _plain(values: np.ndarray) -> str:
    mean, half = _ratio(values, np.ones(len(values)))
    return f"{mean:.2f} ({mean - half:.2f} to {mean + half:.2f})"


def _percent(values: np.ndarray) -> str:
    mean, half = _ratio(values, np.ones(len(values)))
    return f"{mean:.1%} ({mean - half:.1%} to {mean + half:.1%})"


def _ratio(above: Iterable[float], below: Iterable[float]) -> tuple[float, float]:
    """A ratio of sums over mouths, and half its 95% interval; films of a mouth are not apart."""
    top, under = np.asarray(above), np.asarray(below)
    mean = float(top.sum() / under.sum())
    spread = float(((top - mean * under) ** 2).sum())
    several = len(top) / max(len(top) - 1, 1)
    return mean, NORMAL_95 * float(np.sqrt(several * spread)) / float(under.sum())


__all__ = ["by_group", "by_tenth", "odds_tables", "worth"]
