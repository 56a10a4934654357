"""Tables of what the ledger of simulated visits was worth: right, doubtful, chances kept."""

from collections.abc import Sequence
from itertools import pairwise
from typing import Any

from bitewright.visit.ledger import SURE, Reading

KINDS = {"true": "exact marks", "noisy": "marks with 0.15 mm"}
HEAD = (
    "| marks | visits | films each | hand | surfaces | said plainly, and right "
    "| said readable, is not | said unread, is not | truly unread: said so | doubtful |"
)
BINS = (0.0, 0.2, 0.4, 0.6, 0.8, 1.0)


def all_tables(kept: Sequence[dict[str, Any]]) -> str:
    """All tables, as Markdown."""
    return "\n\n".join(made(kept) for made in (right_table, hard_table, chances_table))


def right_table(kept: Sequence[dict[str, Any]]) -> str:
    """How often what is said plainly is true, and how much is left doubtful."""
    lines = [
        HEAD,
        "| --- | ---: | ---: | --- | ---: | ---: | ---: | ---: | ---: | ---: |",
    ]
    for kind in KINDS:
        for label, some in _groups(kept):
            lines.append(_right_row(kind, label, some))
    return "\n".join(lines)


def _groups(kept: Sequence[dict[str, Any]]) -> list[tuple[tuple[str, str], list[dict[str, Any]]]]:
    groups = [(("all", "all"), list(kept))]
    groups += [((str(n), "all"), [e for e in kept if e["films"] == n]) for n in (2, 4)]
    hands = dict.fromkeys(each["hand"] for each in kept)
    groups += [(("all", hand), [e for e in kept if e["hand"] == hand]) for hand in hands]
    return [(label, some) for label, some in groups if some]


def _right_row(kind: str, label: tuple[str, str], some: Sequence[dict[str, Any]]) -> str:
    rows = [row for each in some for row in each[kind]]
    plain = [row for row in rows if row[2] != Reading.DOUBTFUL]
    says = [(row[2] == Reading.READABLE, row[3]) for row in plain]
    right = sum(said is true for said, true in says) / max(len(says), 1)
    too_good = sum(said and not true for said, true in says)
    too_bad = sum(true and not said for said, true in says)
    doubtful = (len(rows) - len(plain)) / max(len(rows), 1)
    unread = [row for row in rows if not row[3]]
    found = sum(row[2] not in (Reading.READABLE, Reading.DOUBTFUL) for row in unread)
    return (
        f"| {KINDS[kind]} | {len(some)} | {label[0]} | {label[1]} | {len(rows)} | {right:.1%} "
        f"| {too_good} | {too_bad} | {found} of {len(unread)} | {doubtful:.1%} |"
    )


def hard_table(kept: Sequence[dict[str, Any]]) -> str:
    """What is said of surfaces that lie on a film and that truly none shows."""
    said = (Reading.HIDDEN, Reading.DOUBTFUL, Reading.READABLE)
    lines = [
        f"| marks | on a film, truly shown by none | {' | '.join(each.value for each in said)} |",
        f"| --- | ---: |{' ---: |' * len(said)}",
    ]
    for kind, title in KINDS.items():
        unread = [row[2] for each in kept for row in each[kind] if not row[3]]
        counts = [unread.count(each) for each in said]
        lines.append(f"| {title} | {sum(counts)} | {' | '.join(map(str, counts))} |")
    return "\n".join(lines)


def chances_table(kept: Sequence[dict[str, Any]]) -> str:
    """Chances stated against how often they came true, surfaces that some film may show."""
    lines = [
        "| chance stated | "
        + " | ".join(f"{title}: stated, true" for title in KINDS.values())
        + " |",
        "| --- | --- | --- |",
    ]
    for low, high in pairwise(BINS):
        cells = []
        for kind in KINDS:
            rows = [
                row
                for each in kept
                for row in each[kind]
                if 0.0 < row[1] < 1.0 and low <= row[1] < high
            ]
            if not rows:
                cells.append("none")
                continue
            stated = sum(row[1] for row in rows) / len(rows)
            true = sum(row[3] for row in rows) / len(rows)
            cells.append(f"{stated:.0%}, {true:.0%} ({len(rows)})")
        lines.append(f"| {low:.0%} to {high:.0%} | " + " | ".join(cells) + " |")
    return "\n".join(lines) + f"\n\nPlainly: {SURE:.0%} sure or more, either way."


__all__ = ["all_tables", "chances_table", "hard_table", "right_table"]
