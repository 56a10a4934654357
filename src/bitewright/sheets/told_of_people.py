"""Columns that say the same of all films of a person, so that they tell nothing of a film."""

from collections import Counter
from collections.abc import Mapping

from bitewright.sheets.cells import cell_text, word_of
from bitewright.sheets.joining_sheets import Joined

OF_A_FILM = frozenset({"rating", "decision"})
FEWEST_PEOPLE, FEWEST_FILMS, FEWEST_VALUES = 3, 4, 2
"""People, films of each, and values, from which it is no chance that each has one. Our choice."""
ONE_VALUE = 0.98
"""Share of films that have the usual value of their person. Our choice."""
LEVEL, BESIDE = "level", "beside"


def without_told_of_people(
    table: Joined, columns: Mapping[str, str], said: Mapping[str, str]
) -> dict[str, str]:
    """What columns hold, without an outcome that each person has one of: their year, it may be."""
    operator = next((name for name, held in columns.items() if held == "operator"), None)
    found = dict(columns)
    if operator is None:
        return found
    others = set(columns.values())
    for name, held in columns.items():
        if held in OF_A_FILM and name not in said and _is_of_person(table, operator, name):
            found[name] = LEVEL if LEVEL not in others else BESIDE
    return found


def _is_of_person(table: Joined, operator: str, name: str) -> bool:
    by_person: dict[str, Counter[str]] = {}
    for row in table.rows:
        person, value = (word_of(cell_text(row.cells.get(each))) for each in (operator, name))
        if person and value:
            by_person.setdefault(person, Counter())[value] += 1
    known = [counts for counts in by_person.values() if counts.total() >= FEWEST_FILMS]
    usual = [counts.most_common(1)[0] for counts in known]
    same = sum(count for _, count in usual) / max(1, sum(counts.total() for counts in known))
    many = len({value for value, _ in usual}) >= FEWEST_VALUES and len(known) >= FEWEST_PEOPLE
    return many and same >= ONE_VALUE


__all__ = ["without_told_of_people"]
