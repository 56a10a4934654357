"""Which side of a pair of films comes first, as the row or else the other rows write it."""

from collections import Counter
from collections.abc import Mapping

from bitewright.sheets.cells import cell_text, plain
from bitewright.sheets.joining_sheets import Joined
from bitewright.sheets.view_words import view_in
from bitewright.sheets.vocabulary import meanings

TELLING = frozenset({"view", "side", "faults"})


def first_side(text: str) -> str | None:
    """The side that a text names first, where it names both; else None."""
    known = meanings("sides")
    sides = [known[word] for word in plain(text).split() if known.get(word) in {"right", "left"}]
    return sides[0] if len(set(sides)) > 1 else None


def is_left_first(table: Joined, columns: Mapping[str, str]) -> bool:
    """Whether rows that name both sides mostly name the left one first."""
    counts = Counter(
        first_side(cell_text(row.cells.get(name)))
        for name, target in columns.items()
        if target in TELLING
        for row in table.rows
    )
    return counts["left"] > counts["right"]


def sides_in_order(films: tuple[str, ...], written: str, *, left_first: bool) -> tuple[str, ...]:
    """A pair of films, one a side, in the order of what is written, or else of other rows."""
    sides = [(view_in(film) or "").partition("-")[0] for film in films]
    if sorted(sides) != ["left", "right"]:
        return films
    first = first_side(written) or ("left" if left_first else "right")
    return films if sides[0] == first else (films[1], films[0])


__all__ = ["first_side", "is_left_first", "sides_in_order"]
