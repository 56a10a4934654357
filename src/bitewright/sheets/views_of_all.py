"""The view that a sheet says of every row, and the one that most of its rows have."""

from collections.abc import Mapping

from bitewright.sheets.cells import cell_text
from bitewright.sheets.joining_sheets import Joined
from bitewright.sheets.view_words import NOT_INTRAORAL, is_bitewing_word, view_in

FEW_TYPED = 0.1
"""Share of cells that name their view, up to which titles may name it for all. Our choice."""
USUALLY = 0.95
"""Share of views from which one not named is taken for the usual one. Our choice."""


def view_of_all(table: Joined, columns: Mapping[str, str]) -> str | None:
    """The view that titles, tabs or the file's name say of every row."""
    held = set(columns.values())
    named = [
        cell_text(cell)
        for name, target in columns.items()
        if target == "view"
        for cell in table.column(name)
    ]
    typed = sum(view_in(text) is not None for text in named)
    if typed > FEW_TYPED * len(named) or any(target.startswith("view:") for target in held):
        return None
    for title in (*table.titles, *table.sheets):
        if is_bitewing_word(title):
            return "bitewing"
        view = view_in(title)
        if view in {"periapical", "occlusal"}:
            return view
    return None


def view_of_most(table: Joined, columns: Mapping[str, str]) -> str | None:
    """A bitewing where nearly all views that are named are bitewings; else nothing."""
    headings = [name for name, target in columns.items() if target == "view"]
    texts = [cell_text(cell) for name in headings for cell in table.column(name)]
    named = [view for text in texts if (view := view_in(text)) is not None]
    bitewings = sum(view not in {"periapical", "occlusal", NOT_INTRAORAL} for view in named)
    return "bitewing" if named and bitewings >= USUALLY * len(named) else None


__all__ = ["view_of_all", "view_of_most"]
