"""Tables of what was said of invented learners, each share with its own interval."""

from collections.abc import Callable, Iterable, Mapping, Sequence
from typing import Any

from bitewright.audit.proportions import share_of
from bitewright.competence.judging import Judgement
from bitewright.competence.school_bar import BAR
from bitewright.words.skills import SKILLS
from trials.geometric_learners import SKILLS as ASKED
from trials.judged_learners import LOOKS, ONE_SET, OWN

Line = Mapping[str, Any]
SHOWN = (10, 20, 40, 60)
"""Items after which the page tells how intervals held."""


def learner_tables(lines: Sequence[Line]) -> dict[str, str]:
    """Every table of the page by its name."""
    return {"intervals": _intervals(lines), "judgements": _judgements(lines)}


def _intervals(lines: Sequence[Line]) -> str:
    rows = [
        f"| skill, exercises given | {' | '.join(f'after {look} exercises' for look in SHOWN)} |",
        f"| --- |{' ---: |' * len(SHOWN)}",
    ]
    for title, some in _kinds(lines):
        cells = [_held(some, LOOKS.index(look)) for look in SHOWN]
        rows.append(f"| {title} | {' | '.join(cells)} |")
    return "\n".join(rows) + "\n"


def _held(lines: Iterable[Line], look: int) -> str:
    """How often the 90% interval held the true level, and how wide it is on average."""
    ends = [
        (low[look], high[look], true)
        for line in lines
        for low, high, true in zip(line["low"], line["high"], line["true"], strict=True)
    ]
    held = sum(low <= true <= high for low, high, true in ends)
    width = sum(high - low for low, high, _ in ends) / len(ends)
    return f"{_share(held, len(ends))}, {100 * width:.0f} points wide"


def _judgements(lines: Sequence[Line]) -> str:
    head = (
        "| skill, exercises given | below the bar, told they can | above it, told not yet | above "
        "it, told they can by 20, 40, 60 exercises | below it, told not yet by 20, 40, 60 | "
        "exercises until told, half of those told |"
    )
    rows = [head, "| --- | ---: | ---: | ---: | ---: | ---: |"]
    for title, some in _kinds(lines):
        people = list(_people(some))
        below = [told for true, told in people if true < BAR]
        above = [told for true, told in people if true >= BAR]
        firsts = sorted(
            min(LOOKS[look] for look, each in enumerate(told) if each != Judgement.CANNOT_TELL)
            for _, told in people
            if set(told) != {Judgement.CANNOT_TELL.value}
        )
        cells = [
            _ever(below, Judgement.CAN),
            _ever(above, Judgement.NOT_YET),
            _by(above, Judgement.CAN),
            _by(below, Judgement.NOT_YET),
            str(firsts[len(firsts) // 2]) if firsts else "none told",
        ]
        rows.append(f"| {title} | {' | '.join(cells)} |")
    return "\n".join(rows) + "\n"


def _kinds(lines: Sequence[Line]) -> list[tuple[str, list[Line]]]:
    found = [
        (f"{SKILLS[skill]}, {way}", _of(lines, lambda e, s=skill, w=way: _is(e, s.value, w)))  # type: ignore[misc]
        for skill in ASKED
        for way in (ONE_SET, OWN)
    ]
    found.append(("all", list(lines)))
    return [(title, some) for title, some in found if some]


def _of(lines: Iterable[Line], wanted: Callable[[Line], bool]) -> list[Line]:
    return [line for line in lines if wanted(line)]


def _is(line: Line, skill: str, way: str) -> bool:
    return bool(line["skill"] == skill and line["way"] == way)


def _people(lines: Iterable[Line]) -> Iterable[tuple[float, list[str]]]:
    for line in lines:
        yield from zip(line["true"], line["answer"], strict=True)


def _ever(told: Sequence[list[str]], judgement: Judgement) -> str:
    return _share(sum(judgement.value in each for each in told), len(told))


def _by(told: Sequence[list[str]], judgement: Judgement) -> str:
    """Shares told so at the looks of 20, 40 and 60 exercises, as it stood then."""
    if not told:
        return "nobody"
    looks = [LOOKS.index(items) for items in (20, 40, 60)]
    shares = [sum(each[look] == judgement.value for each in told) / len(told) for look in looks]
    return ", ".join(f"{share:.0%}" for share in shares)


def _share(count: int, total: int) -> str:
    if not total:
        return "nobody"
    found = share_of(count, total)
    return f"{100 * found.share:.1f}% ({100 * found.low:.1f} to {100 * found.high:.1f})"


__all__ = ["learner_tables"]
