"""Tables of what generated exercises came to, judged by computations of their own."""

from collections import Counter
from collections.abc import Mapping, Sequence
from typing import Any

from bitewright.teaching.fault_names import PlantedFault
from bitewright.teaching.handled import HANDLED
from bitewright.teaching.item import ItemKind
from bitewright.words.exercises import planted_fault_words
from bitewright.words.phrases import capital
from bitewright.words.skills import KIND_TITLES

Item = Mapping[str, Any]
VISIBLE_SHARE, VISIBLE_GREY = 0.02, 0.1
"""A film differs visibly where so much of it differs by a tenth of white and more. Our choice."""

LINES_SHARE = 0.003
"""Of a scratch or a crease, which are narrow and bright or dark, so much is enough. Our choice."""

JUDGED = {
    "agrees": "An explanation, in a mouth that is not known, names what was planted first",
    "seen": "A reader of the films' pixels names the fault of handling that was planted",
    "wrong_is_right": "A choice counted as wrong is among the main causes of that explanation",
    "fans_agree": "The fans of open directions say the same of every marked contact",
    "marked_alike": "Marked with 0.15 mm of scatter, the films of a visit leave the same unread",
    "best_opens_more": "By the fans, the best aim opens more contacts than where aiming begins",
    "twin_accepted": "Both causes that no film tells apart are offered, and both are right",
}
QUICK = (
    *("kind", "fault", "films", "visit", "twin_offered", "twin_accepted"),
    *("fans_agree", "marked_alike", "best_opens_more"),
)
"""What of an item is drawn again in seconds."""


def exercise_tables(items: Sequence[Item]) -> dict[str, str]:
    """Every table of the page by its name."""
    return {"exercises": _kinds(items), "judged": _judged(items), "planted": _faults(items)}


def _kinds(items: Sequence[Item]) -> str:
    counts = Counter(item["kind"] for item in items)
    rows = [f"| {KIND_TITLES[kind]} | {counts[kind.value]:,} |" for kind in ItemKind]
    visits = Counter(item["films"] for item in items if "films" in item)
    rows += [f"| of these, visits of {count} films | {visits[count]:,} |" for count in (2, 4)]
    none = sum(item.get("visit") == "nothing unread" for item in items)
    rows.append(f"| of these, visits after which no further film is right | {none:,} |")
    return "\n".join(["| kind | exercises |", "| --- | ---: |", *rows, f"| all | {len(items):,} |"])


def _judged(items: Sequence[Item]) -> str:
    rows = ["| judged by | how often |", "| --- | ---: |"]
    for name, title in JUDGED.items():
        asked = items
        if name == "twin_accepted":
            asked = [item for item in items if item.get("twin_offered")]
        known = [item[name] for item in asked if name in item]
        rows.append(f"| {title} | {sum(known):,} of {len(known):,} |")
    filmed = [item for item in items if "changed_share" in item]
    hardly = sum(item["changed_share"] < _least_share(item) for item in filmed)
    rows.append(
        f"| The film hardly differs from the good one: by a tenth of white on less than "
        f"{VISIBLE_SHARE:.0%} of it, or {LINES_SHARE:.1%} for a scratch or a crease | "
        f"{hardly:,} of {len(filmed):,} |"
    )
    return "\n".join(rows)


def _least_share(item: Item) -> float:
    lines = (PlantedFault.SCRATCHED, PlantedFault.RECEPTOR_BENT)
    return LINES_SHARE if item["fault"] in lines else VISIBLE_SHARE


def _faults(items: Sequence[Item]) -> str:
    rows = [
        "| planted | exercises | named first | read as | least of a film that differs |",
        "| --- | ---: | ---: | --- | ---: |",
    ]
    for fault in PlantedFault:
        own = [item for item in items if item["fault"] == fault.value]
        judged = "seen" if fault in HANDLED else "agrees"
        agrees = [item[judged] for item in own if judged in item]
        missed = Counter(item["found"] for item in own if item.get(judged) is False)
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
