"""Rows that are the one above them once more, as when a form is sent twice."""

import re
from collections.abc import Mapping, Sequence
from itertools import pairwise

from bitewright.sheets.cells import Cell, cell_text
from bitewright.sheets.row_views import known_view, written_view
from bitewright.sheets.table_body import Row
from bitewright.sheets.understanding import Understanding

AT_ONCE_S = 120
"""Seconds within which the same row sent again is no other film. Our choice."""
STAMP = re.compile(
    r"(?P<day>.*?)[T ,]*\b(?P<h>\d{1,2})[:.](?P<m>\d{2})[:.](?P<s>\d{2})\b(?P<rest>.*)"
)
"""A time of day with its seconds, as no one writes but a form that notes when it was sent."""
MOSTLY = 0.7


def doubled_lines(sheet: Understanding) -> set[tuple[str, int]]:
    """Lines that are the one above them once more, cell by cell, where patients are told.

    When a form was sent may differ by a moment. Two bitewings of a patient, their sides not told,
    are the right and the left one, unless the moment tells.
    """
    if not sheet.has("case"):
        return set()
    held: dict[tuple[str, int], list[Mapping[str, Cell]]] = {}
    for row in sheet.table.rows:
        held.setdefault((row.sheet, row.line), []).append(row.cells)
    stamps = [name for name in sheet.table.headings if _is_stamped(sheet.table.rows, name)]
    sideless = set() if stamps else _without_side(sheet)
    return {
        place
        for (above, cells), (place, again) in pairwise(held.items())
        if above[0] == place[0] and place not in sideless and _are_same(cells, again, stamps)
    }


def _without_side(sheet: Understanding) -> set[tuple[str, int]]:
    """Lines of bitewings that do not say on which side they are."""
    kind = sheet.all_views or sheet.given.answers.get("view") or ""
    return {
        (row.sheet, row.line)
        for row in sheet.table.rows
        if known_view(written_view(sheet, row), kind, sheet.usual_view) == "bitewing"
    }


def _are_same(
    ones: Sequence[Mapping[str, Cell]],
    others: Sequence[Mapping[str, Cell]],
    stamps: Sequence[str],
) -> bool:
    if len(ones) != len(others):
        return False
    return all(
        {name: cell for name, cell in one.items() if name not in stamps}
        == {name: cell for name, cell in other.items() if name not in stamps}
        and all(_is_at_once(one.get(name), other.get(name)) for name in stamps)
        for one, other in zip(ones, others, strict=True)
    )


def _is_stamped(rows: Sequence[Row], name: str) -> bool:
    texts = [cell_text(row.cells[name]) for row in rows if name in row.cells]
    told = sum(STAMP.fullmatch(text) is not None for text in texts)
    return bool(texts) and told > MOSTLY * len(texts)


def _is_at_once(one: Cell, other: Cell) -> bool:
    """Whether two times are the same, or a moment apart on one day."""
    if one == other:
        return True
    times = [STAMP.fullmatch(cell_text(cell)) for cell in (one, other)]
    first, second = times
    if first is None or second is None or first["day"] != second["day"]:
        return False
    apart = abs(_seconds(first) - _seconds(second))
    return first["rest"] == second["rest"] and apart <= AT_ONCE_S


def _seconds(found: re.Match[str]) -> int:
    return 3600 * int(found["h"]) + 60 * int(found["m"]) + int(found["s"])


__all__ = ["doubled_lines"]
