"""Tables of quick readings."""

from collections.abc import Mapping, Sequence
from typing import Any

import numpy as np
from scipy.stats import beta

from trials.explained_films import VIEWS
from trials.quick_readings import CANNOT_TELL, KEEP

Line = Mapping[str, Any]
KINDS = dict(zip(VIEWS, ("premolar", "molar", "upright premolar", "upright molar"), strict=True))
LEAST_DEG = 5.0


def agreement_table(lines: Sequence[Line]) -> str:
    """Advice from the contacts' edges beside that of all marks and beside the truth."""
    rows = [_agreement(KINDS[name], _of(lines, name)) for name in KINDS if _of(lines, name)]
    rows.append(_agreement("all", lines))
    head = (
        "| view | films | marks, of all | same as of all marks | tube the other way | "
        "swing apart, median | 90th percentile | right way, where 5 degrees or more are needed | "
        "by all marks |"
    )
    return "\n".join([head, "| --- " * 9 + "|", *rows])


def settled_table(lines: Sequence[Line]) -> str:
    """When the reading says that more marks change nothing, and how often they do."""
    rows = [_settled(KINDS[name], _of(lines, name)) for name in KINDS if _of(lines, name)]
    rows.append(_settled("all", lines))
    head = (
        "| view | films | said by the last contact edge | said at all | marks by then, median | "
        "changed by the rest | share, at most | in the truth another |"
    )
    return "\n".join([head, "| --- " * 8 + "|", *rows])


def _of(lines: Sequence[Line], name: str) -> list[Line]:
    return [line for line in lines if line["view"] == name]


def quick_step(line: Line) -> Line | None:
    """What was told once both edges at every contact were marked."""
    return next((step for step in line["steps"] if step["is_quick"]), None)


def said_settled(line: Line) -> Line | None:
    """The first time that more marks were called needless."""
    return next((step for step in line["steps"] if step["settled"]), None)


def _agreement(title: str, lines: Sequence[Line]) -> str:
    quick = [(line, step) for line in lines if (step := quick_step(line)) is not None]
    same = sum(step["told"] == line["whole"] for line, step in quick)
    other = sum(is_other_way(step["told"], line["whole"]) for line, step in quick)
    apart = [abs(step["swing"] - line["swing"]) for line, step in quick]
    needing = [(line, step) for line, step in quick if abs(line["true"]["swing"]) >= LEAST_DEG]
    right, right_of_all = (
        sum(np.sign(swing) == np.sign(line["true"]["swing"]) for line, swing in each)
        for each in (
            [(line, step["swing"]) for line, step in needing],
            [(line, line["swing"]) for line, _ in needing],
        )
    )
    marks = np.median([step["marks"] for _, step in quick])
    of_all = np.median([line["marks"] for line, _ in quick])
    count = len(needing)
    return (
        f"| {title} | {len(quick)} | {marks:.0f} of {of_all:.0f} | {same / len(quick):.0%} | "
        f"{other} | {np.median(apart):.1f} | {np.quantile(apart, 0.9):.1f} | "
        f"{right / count:.1%} of {count} | {right_of_all / count:.1%} |"
    )


def is_other_way(told: str, other: str) -> bool:
    """Whether both tell the same part to move, one way and the other."""
    return told != other and told[:-1] == other[:-1] and told not in (KEEP, CANNOT_TELL)


def _settled(title: str, lines: Sequence[Line]) -> str:
    said = [(line, step) for line in lines if (step := said_settled(line)) is not None]
    early = sum(bool((step := quick_step(line)) and _by(line, step["marks"])) for line in lines)
    shares = (
        f"| {title} | {len(lines)} | {early / len(lines):.0%} | {len(said) / len(lines):.0%} | "
    )
    if not said:
        return f"{shares}none | none | none | none |"
    changed = sum(step["told"] != line["whole"] for line, step in said)
    untrue = sum(step["told"] != line["truly"] for line, step in said)
    return (
        f"{shares}"
        f"{np.median([step['marks'] for _, step in said]):.0f} | {changed} of {len(said)} | "
        f"{changed / len(said):.1%}, {at_most(changed, len(said)):.0%} | {untrue / len(said):.0%} |"
    )


def at_most(found: int, of: int) -> float:
    """The share that so many found allow, one-sided 95%.

    Source: Clopper & Pearson, Biometrika 1934;26:404-413 (from memory).
    """
    return 1.0 if found == of else float(beta.ppf(0.95, found + 1, of - found))


def _by(line: Line, marks: int) -> bool:
    step = said_settled(line)
    return step is not None and step["marks"] <= marks


__all__ = ["agreement_table", "quick_step", "said_settled", "settled_table"]
