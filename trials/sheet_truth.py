"""What the rows and columns of a sheet are known to hold, by the exposures that it should bring."""

from collections import Counter
from collections.abc import Callable, Mapping, Sequence

from bitewright.sheets.cells import cell_text, word_of
from bitewright.sheets.table_body import Row
from bitewright.sheets.understanding import Understanding


def expected_at(
    sheet: Understanding, expected: Sequence[Mapping[str, str]]
) -> Callable[[Row], Sequence[Mapping[str, str]]]:
    """The exposures that a row is known to hold: of a line with several, each in its turn."""
    of_tab = any("tab" in each for each in expected)
    found: dict[tuple[str, str], list[Mapping[str, str]]] = {}
    for each in expected:
        found.setdefault((each.get("tab", ""), each["row"]), []).append(each)
    lines: dict[tuple[str, str], list[Row]] = {}
    for row in sheet.table.rows:
        lines.setdefault((row.sheet if of_tab else "", str(row.line)), []).append(row)
    paired: dict[int, Sequence[Mapping[str, str]]] = {}
    for place, rows in lines.items():
        held = found.get(place, [])
        for at_row, row in enumerate(rows):
            paired[id(row)] = held[at_row : at_row + 1] if len(held) == len(rows) else held

    def at(row: Row) -> Sequence[Mapping[str, str]]:
        return paired.get(id(row), ())

    return at


def _value(exposure: Mapping[str, str], name: str) -> str:
    """What an exposure is known to be; of its view the side or the region alone."""
    side, _, region = exposure.get("view", "").partition("-")
    parts = {"side": side, "region": region}
    return parts[name] if name in parts else exposure.get(name, "")


def place_told(
    sheet: Understanding, heading: str, expected: Sequence[Mapping[str, str]]
) -> str | None:
    """Whether the words of a column are sides or regions: each goes with one and there are few."""
    at = expected_at(sheet, expected)
    for part in ("region", "side"):
        held: dict[str, Counter[str]] = {}
        for row in sheet.table.rows:
            word = word_of(cell_text(row.cells.get(heading)))
            for each in at(row)[:1]:
                if word and "-" in each["view"] and _value(each, part):
                    held.setdefault(word, Counter())[_value(each, part)] += 1
        values = {max(counts, key=lambda name: counts[name]) for counts in held.values()}
        total = sum(counts.total() for counts in held.values())
        agree = sum(max(counts.values()) for counts in held.values())
        if 1 < len(held) == len(values) and agree == total > MOST_PLACES:
            return part
    return None


MOST_PLACES = 8
"""Rows beyond which words that each go with one side, or one region, tell it. Our choice."""


def _names_each(
    sheet: Understanding, heading: str, at: Callable[[Row], Sequence[Mapping[str, str]]]
) -> bool:
    """Whether each word of a column goes with one patient, and each patient with one word."""
    pairs = {
        (word_of(cell_text(row.cells[heading])), each.get("case", ""))
        for row in sheet.table.rows
        for each in at(row)[:1]
        if heading in row.cells and each.get("case")
    }
    words, cases = {word for word, _ in pairs}, {case for _, case in pairs}
    return len(cases) > 2 and len(pairs) <= 1.1 * min(len(words), len(cases))


GOES_WITH = {
    "faults": ("faults",),
    "operator": ("operator",),
    "case": ("case",),
    "view": ("view",),
    "side": ("side",),
    "region": ("region",),
    "decision": ("decision", "rejected", "retaken", "rating"),
    "kind": ("kind", "is_retake"),
    "rating": ("rating",),
    "day": ("day",),
}
KNOWS = 0.75
"""Share of rows in which the same word must go with the same value. Our choice."""


def told_by(sheet: Understanding, heading: str, expected: Sequence[Mapping[str, str]]) -> list[str]:
    """What a column may hold, as its words go with the exposures of their rows."""
    at = expected_at(sheet, expected)
    found: list[str] = []
    if sheet.columns.get(heading, "") in {"day", "key"}:
        return found
    marked = [row for row in sheet.table.rows if heading in row.cells]
    if 0 < len(marked) < len(sheet.table.rows):
        faults = Counter(
            fault.partition(":")[0]
            for row in marked
            for each in at(row)[:1]
            for fault in each.get("faults", "").split("|")
            if fault
        )
        found += [
            f"fault:{name}" for name, count in faults.most_common(2) if count >= KNOWS * len(marked)
        ]
    if _names_each(sheet, heading, at):
        found.append("case")
    for name, targets in GOES_WITH.items():
        held: dict[str, Counter[str]] = {}
        usual = Counter[str]()
        for row in sheet.table.rows:
            for each in at(row)[:1]:
                value = _value(each, name)
                held.setdefault(word_of(cell_text(row.cells.get(heading))), Counter())[value] += 1
                usual[value] += 1
        total = usual.total()
        if not total or len(held) < 2:
            continue
        agree = sum(max(counts.values()) for counts in held.values()) - len(held) + 1
        if agree > max(usual.values()) and agree >= KNOWS * total:
            found += targets
    return found


__all__ = ["GOES_WITH", "expected_at", "place_told", "told_by"]
