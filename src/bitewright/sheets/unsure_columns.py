"""Columns of which a heading tells nothing, that may hold what matters."""

from collections import Counter
from collections.abc import Mapping, Sequence

from bitewright.sheets.cells import Cell, cell_text, plain, word_of
from bitewright.sheets.cells_alone import SURE
from bitewright.sheets.column_facts import CLOCK
from bitewright.sheets.dates import looks_like_days
from bitewright.sheets.fault_phrases import is_open_fault
from bitewright.sheets.guessing_columns import LEFT_ALONE
from bitewright.sheets.joining_sheets import Joined
from bitewright.sheets.said_above import ABOVE
from bitewright.sheets.view_words import has_place
from bitewright.sheets.vocabulary import heading_scores, lowest
from bitewright.sheets.word_meanings import UNKNOWN_FAULT, decision_word

MATTERS = frozenset({"faults", "decision", "rating", "view", "operator"})
"""What is asked where a heading that may mean it is taken for one of the next."""
MAY_BE_OTHER = frozenset({"reason", "level", "room"})
PLACES = {"side", "region", "teeth"}
MANY = 0.4
"""Share of rows with the same word for a view, beyond which another column may tell its place."""
MOST_REGIONS = 3
"""Words for regions that a sheet has at most. Our choice."""
SURELY_DAYS = 0.8
"""Share of days in a column, from which it is another day of each row. Our choice."""
SELDOM_FILLED = 0.3
"""Share of rows in which a column that nothing is known of must be filled to be asked about."""


def unsure_columns(
    table: Joined, columns: Mapping[str, str], said: Mapping[str, str]
) -> tuple[str, ...]:
    """Columns known by their cells alone, and those of which nothing is known."""
    names = {plain(name) for name in said}
    return tuple(
        heading
        for heading in table.headings
        if heading not in ABOVE.values()
        and (plain(heading) or heading) not in names
        and _is_unsure(heading, columns.get(heading))
        and (columns.get(heading) is not None or _may_matter(table, columns, heading))
    )


def _may_matter(table: Joined, columns: Mapping[str, str], heading: str) -> bool:
    """Whether a column of which nothing is known may hold what no other column tells."""
    held = {target.partition(":")[0] for target in columns.values()}
    told = [
        {"operator"},
        {"case"},
        {"view", "side", "region", "teeth"},
        {"rating", "grade", "decision", "rejected", "retaken", "retake"},
    ]
    cells = table.column(heading)
    filled = len(cells) > SELDOM_FILLED * len(table.rows)
    if sum(CLOCK.fullmatch(cell_text(cell)) is not None for cell in cells) > 0.7 * len(cells):
        return False
    if "day" in held and looks_like_days(cells) > SURELY_DAYS:
        return False
    if not held & {"faults", "fault"} and cells:
        return True
    if not held & PLACES and _tells_no_place(table, columns):
        told.append(PLACES)
    if "side" in held and not held & {"region", "teeth"} and _may_be_regions(cells):
        told.append({"region"})
    return filled and any(not held & things for things in told)


def _may_be_regions(cells: Sequence[Cell]) -> bool:
    """Whether a column has as few words as there are regions, each again and again."""
    counts = Counter(map(word_of, map(cell_text, cells)))
    return 1 < len(counts) <= MOST_REGIONS and min(counts.values()) > 1


def _tells_no_place(table: Joined, columns: Mapping[str, str]) -> bool:
    """Whether many rows name a film by one word that leaves open where it was taken."""
    heading = next((name for name, held in columns.items() if held == "view"), None)
    counts = Counter(cell_text(cell) for cell in table.column(heading)) if heading else Counter()
    text, count = counts.most_common(1)[0] if counts else ("", 0)
    return count > MANY * len(table.rows) and not has_place(text)


def _is_unsure(heading: str, target: str | None) -> bool:
    if target is None:
        return True
    is_open = target.startswith("fault:") and is_open_fault(lowest(heading))
    if is_open or target == f"fault:{UNKNOWN_FAULT}":
        return True
    if target.startswith("decision:"):
        return decision_word(lowest(heading)) is None
    if target in {*SURE, *LEFT_ALONE} or ":" in target:
        return False
    known = heading_scores(heading)
    said = known.get(target, 0.0)
    if not said:
        return True
    others = (fit for name, fit in known.items() if name in MATTERS - {target})
    return target in MAY_BE_OTHER and max(others, default=0.0) >= said


__all__ = ["unsure_columns"]
