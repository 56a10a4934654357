"""Tables of what generated exercises came to, judged by computations of their own."""

from collections import Counter
from collections.abc import Mapping, Sequence
from typing import Any

from bitewright.teaching.fault_names import PlantedFault
from bitewright.teaching.item import ItemKind
from bitewright.words.exercises import KIND_TITLES, planted_fault_words
from bitewright.words.phrases import capital

Item = Mapping[str, Any]
VISIBLE_SHARE, VISIBLE_GREY = 0.02, 0.1
"""A film differs visibly where so much of it differs by a tenth of white and more. Our choice."""

JUDGED = {
    "agrees": "An explanation, in a mouth that is not known, names what was planted first",
    "wrong_is_right": "A choice counted as wrong is among the main causes of that explanation",
    "fans_agree": "The fans of open directions say the same of every marked contact",
    "marked_alike": "Marked with 0.15 mm of scatter, the films of a visit leave the same unread",
    "best_opens_more": "By the fans, the best aim opens more contacts than where aiming begins",
    "twin_accepted": "Both causes that no film tells apart are offered, and both are right",
}
QUICK = (
    *("kind", "fault", "visit", "twin_offered", "twin_accepted"),
    *("fans_agree", "marked_alike", "best_opens_more"),
)
"""What of an item is drawn again in seconds."""


def exercise_tables(items: Sequence[Item]) -> dict[str, str]:
    """Every table of the page by its name."""
    return {"exercises": _kinds(items), "judged": _judged(items), "planted": _faults(items)}


def _kinds(items: Sequence[Item]) -> str:
    counts = Counter(item["kind"] for item in items)
    rows = [f"| {KIND_TITLES[kind]} | {counts[kind.value]:,} |" for kind in ItemKind]
    return "\n".join(["| kind | exercises |", "| --- | ---: |", *rows, f"| all | {len(items):,} |"])


def _judged(items: Sequence[Item]) -> str:
    rows = ["| judged by | how often |", "| --- | ---: |"]
    for name, title in JUDGED.items():
        asked = items
        if name == "twin_accepted":
            asked = [item for item in items if item.get("twin_offered")]
        known = [item[name] for item in asked if name in item]
        rows.append(f"| {title} | {sum(known):,} of {len(known):,} |")
    shares = [item["changed_share"] for item in items if "changed_share" in item]
    hardly = sum(share < VISIBLE_SHARE for share in shares)
    rows.append(
        f"| The film hardly differs from the good one: by a tenth of white on less than "
        f"{VISIBLE_SHARE:.0%} of it | {hardly:,} of {len(shares):,} |"
    )
    return "\n".join(rows)


def _faults(items: Sequence[Item]) -> str:
    rows = [
        "| planted | exercises | named first | read as | least of a film that differs |",
        "| --- | ---: | ---: | --- | ---: |",
    ]
    for fault in PlantedFault:
        own = [item for item in items if item["fault"] == fault.value]
        agrees = [item["agrees"] for item in own if "agrees" in item]
        missed = Counter(item["found"] for item in own if item.get("agrees") is False)
        shares = [item["changed_share"] for item in own if "changed_share" in item]
        cells = (
            capital(planted_fault_words(fault)),
            f"{len(own):,}",
            f"{sum(agrees)} of {len(agrees)}" if agrees else "",
            ", ".join(f"{name.replace('-', ' ')} {count}" for name, count in missed.most_common(2)),
            f"{min(shares):.1%}" if shares else "",
        )
        rows.append(f"| {' | '.join(cells)} |")
    return "\n".join(rows)


__all__ = ["QUICK", "VISIBLE_GREY", "VISIBLE_SHARE", "exercise_tables"]
