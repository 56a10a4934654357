"""Tables of simulated recall pairs: change by angulation alone, and the geometry repeated."""

from collections.abc import Sequence
from typing import Any

import numpy as np

APART_DEG = ((0.0, 4.0), (4.0, 7.0), (7.0, 20.0))


REPEATED_HEAD = (
    "| pairs | central ray off, median | at 90% | swing alone, median | at 90% "
    "| vertical angle alone, median | at 90% |"
)


def all_tables(kept: Sequence[dict[str, Any]]) -> str:
    """All tables, as Markdown."""
    tables = (angulation_table, repeated_table, from_later_table)
    return "\n\n".join(made(kept) for made in tables if kept)


def angulation_table(kept: Sequence[dict[str, Any]]) -> str:
    """How often the true change by angulation alone lies in its interval, by how far apart."""
    lines = [
        (
            "| central rays apart | pairs | sites | true change, median size | at 90% "
            "| error, median | at 90% | half an interval, median | in its 90% interval "
            "| said comparable | of these truly under 0.5 mm |"
        ),
        f"| --- |{' ---: |' * 10}",
    ]
    for low, high in ((0.0, 90.0), *APART_DEG):
        some = [each for each in kept if low <= each["apart_deg"] < high]
        title = "all" if high > APART_DEG[-1][1] else f"{low:g} to {high:g} degrees"
        if some:
            lines.append(_angulation_row(title, some))
    return "\n".join(lines)


def _angulation_row(title: str, pairs: Sequence[dict[str, Any]]) -> str:
    sites = [site for pair in pairs for site in pair["sites"]]
    true, said, low, high = (
        np.array([site[name] for site in sites])
        for name in ("true_mm", "said_mm", "low_mm", "high_mm")
    )
    held = (low <= true) & (true <= high)
    told = np.array([site["is_comparable"] for site in sites], dtype=bool)
    small = np.abs(true[told]) < 0.5
    sizes = (np.abs(true), np.abs(said - true))
    figures = [f"{np.quantile(each, q):.2f} mm" for each in sizes for q in (0.5, 0.9)]
    cells = [
        title,
        str(len(pairs)),
        str(len(sites)),
        *figures,
        f"{np.median(0.5 * (high - low)):.2f} mm",
        f"{held.mean():.0%}",
        f"{told.mean():.0%}",
        f"{small.mean():.1%}" if len(small) else "-",
    ]
    return f"| {' | '.join(cells)} |"


def repeated_table(kept: Sequence[dict[str, Any]]) -> str:
    """How far the card's central ray lies from the earlier film's."""
    return _off_table(kept, "repeated_off")


def from_later_table(kept: Sequence[dict[str, Any]]) -> str:
    """The same where the tube goes from where it truly stood for the later film."""
    return _off_table(kept, "from_later_off")


def _off_table(kept: Sequence[dict[str, Any]], name: str) -> str:
    off = np.array([each[f"{name}_deg"] for each in kept])
    swing, vertical = np.abs([each[f"{name}_parts_deg"] for each in kept]).T
    cells = [
        f"{np.quantile(each, q):.1f} degrees" for each in (off, swing, vertical) for q in (0.5, 0.9)
    ]
    return "\n".join(
        [
            REPEATED_HEAD,
            f"|{' ---: |' * 7}",
            f"| {len(off)} | {' | '.join(cells)} |",
        ]
    )


__all__ = ["REPEATED_HEAD", "all_tables", "angulation_table", "from_later_table", "repeated_table"]
