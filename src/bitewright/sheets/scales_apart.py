"""Two scales of grades in one list: the practice changed its words, its scheme or its form."""

from collections import Counter
from collections.abc import Mapping, Sequence
from dataclasses import replace

from bitewright.sheets.cells import Cell, cell_text
from bitewright.sheets.grades import OWN, GradeMeanings, grade_word
from bitewright.sheets.joining_sheets import Joined
from bitewright.sheets.word_meanings import decision_word

FEWEST_WORDS, FEWEST_ROWS = 2, 6
"""Grades and films from which a part of a list has a scale of its own. Our choice."""
AGAIN = 2
"""Times that a grade stands in a part for it to be of its scale, and no slip. Our choice."""


def scales_of(table: Joined, heading: str) -> list[list[str]]:
    """The grades under a heading, by scale: those of parts of the list that share no grade.

    A part is a tab, or what stands under one line of it.
    """
    parts: dict[tuple[str, str], list[str]] = {}
    for row in table.rows:
        if text := cell_text(row.cells.get(heading)):
            parts.setdefault((row.sheet, row.section), []).append(text)
    groups: list[tuple[set[str], list[str]]] = []
    for texts in parts.values():
        words = {word for word, count in Counter(map(grade_word, texts)).items() if count >= AGAIN}
        alike = [group for group in groups if group[0] & words or not words]
        held = (words, list(texts))
        for group in alike[:1] if not words else alike:
            groups.remove(group)
            held = (held[0] | group[0], [*group[1], *held[1]])
        groups.append(held)
    scales = [
        texts for words, texts in groups if len(words) >= FEWEST_WORDS and len(texts) >= FEWEST_ROWS
    ]
    everything = [text for texts in parts.values() for text in texts]
    return scales if len(scales) > 1 else [everything]


def with_grades_of_other_tabs(
    table: Joined, columns: Mapping[str, str], said: Mapping[str, str]
) -> Joined:
    """A table in which grades that a tab has under a heading of its own stand with the others.

    Such a column is filled on that tab alone, holds few words, and nothing else is made of it; the
    column of grades is empty there.
    """
    graded = next((name for name, held in columns.items() if held == "rating"), None)
    if graded is None or len(table.sheets) < FEWEST_TABS:
        return table
    rows = list(table.rows)
    for tab in table.sheets:
        of_tab = [row for row in rows if row.sheet == tab]
        if any(graded in row.cells for row in of_tab):
            continue
        others = {name for row in rows if row.sheet != tab for name in row.cells}
        free = [
            name
            for name in table.headings
            if name not in others
            and name not in said
            and columns.get(name, "beside") in FREE
            and _are_grades(texts := [cell_text(row.cells.get(name)) for row in of_tab])
            and not (
                columns.get(name) == "decision" and all(map(decision_word, filter(None, texts)))
            )
        ]
        if len(free) == 1:
            rows = [
                replace(row, cells=_moved(row.cells, free[0], graded)) if row.sheet == tab else row
                for row in rows
            ]
    return table if rows == list(table.rows) else replace(table, rows=tuple(rows))


FEWEST_TABS, FILLED, MOST_WORDS, LONGEST = 2, 0.75, 6, 20
"""Share of a tab's rows that have a grade, and words and letters of a scale at most. Our choice."""
FREE = frozenset({"beside", "note", "decision"})


def _are_grades(texts: Sequence[str]) -> bool:
    words = Counter(grade_word(text) for text in texts if text)
    common = [word for word, count in words.items() if count >= AGAIN]
    few = FEWEST_WORDS <= len(common) <= MOST_WORDS and len(words) <= MOST_WORDS
    return few and words.total() >= FILLED * len(texts) and max(map(len, words)) <= LONGEST


def _moved(cells: Mapping[str, Cell], name: str, to: str) -> dict[str, Cell]:
    return {to if each == name else each: cell for each, cell in cells.items()}


def joined_scales(scales: Sequence[GradeMeanings]) -> GradeMeanings:
    """Several scales as one: two of the practice's own with as many grades are the same, by order.

    The words stand for the figures. A published scheme stays beside one of its own.
    """
    first = max(scales, key=lambda each: sum(map(len, each.worst_first)))
    ratings, same = dict(first.ratings), dict(first.same)
    order = [(at / len(first.worst_first), word) for at, word in enumerate(first.worst_first)]
    for scale in scales:
        if scale is first:
            continue
        if _are_own(first) and _are_own(scale) and len(scale.worst_first) == len(first.worst_first):
            as_first = dict(zip(scale.worst_first, first.worst_first, strict=True))
            for word in scale.ratings:
                one = as_first[scale.same.get(word, word)]
                ratings.setdefault(word, first.ratings[one])
                same.setdefault(word, one)
            continue
        ratings = {**scale.ratings, **ratings}
        same = {**scale.same, **same}
        order += [(at / len(scale.worst_first), word) for at, word in enumerate(scale.worst_first)]
    worst_first = tuple(word for _, word in sorted(order, key=lambda each: each[0]))
    return replace(first, ratings=ratings, same=same, worst_first=worst_first)


def _are_own(scale: GradeMeanings) -> bool:
    ratings: Mapping[str, str] = scale.ratings
    return all(held.startswith(f"{OWN}:") for held in ratings.values())


__all__ = ["joined_scales", "scales_of", "with_grades_of_other_tabs"]
