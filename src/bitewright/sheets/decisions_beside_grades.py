"""A column of yes and no under no telling heading: it goes with the grades, and so it decides."""

from collections import Counter
from collections.abc import Mapping, Sequence

from bitewright.sheets.cells import cell_text
from bitewright.sheets.column_facts import ColumnFacts
from bitewright.sheets.grades import grade_word
from bitewright.sheets.joining_sheets import Joined
from bitewright.sheets.word_meanings import decision_word, flag

FREE = frozenset({"beside", "note", "private", "level", "room", "reason", "decided_by"})
"""What such a column may be taken for, or nothing at all."""
OUTCOMES = frozenset({"decision", "rejected", "retaken", "retake", "is_retake"})
FILLED, FLAGS = 0.75, 0.85
"""Share of rows that say something there, and of those that say yes or no. Our choice."""
FEWEST, WITH_GRADE, WITH_OTHERS = 2, 0.8, 0.1
"""Films of one grade that say alike, their share of the grade, and of all other films up to which
that is said. Our choice."""


def with_decisions_beside(
    table: Joined,
    facts: Sequence[ColumnFacts],
    columns: Mapping[str, str],
    said: Mapping[str, str],
) -> dict[str, str]:
    """What columns hold, one of yes and no being the decision where it goes with a grade.

    What is said of nearly all films of one grade, and of hardly any other, is that they were not
    kept: a no of a decision, or a yes of films rejected.
    """
    found = dict(columns)
    graded = next((name for name, held in columns.items() if held == "rating"), None)
    if graded is None or OUTCOMES & {held.partition(":")[0] for held in columns.values()}:
        return found
    told = {
        each.heading: target
        for each in facts
        if each.heading not in said
        and columns.get(each.heading, "beside") in FREE
        and each.filled >= FILLED
        and (target := _goes_with_grade(table, graded, each.heading)) is not None
    }
    if len(told) == 1:
        found |= told
    return {name: found[name] for name in table.headings if name in found}


def _goes_with_grade(table: Joined, graded: str, heading: str) -> str | None:
    said: dict[bool, Counter[str]] = {True: Counter(), False: Counter()}
    rows = grades = 0
    for row in table.rows:
        text, grade = (cell_text(row.cells.get(name)) for name in (heading, graded))
        rows += bool(text)
        yes = _says_kept(text) if text else None
        if yes is not None and grade:
            said[yes][grade_word(grade)] += 1
            grades += 1
    if not rows or grades < FLAGS * rows:
        return None
    for yes, target in ((False, "decision"), (True, "rejected")):
        if not said[yes] or said[yes].total() * 2 > grades:
            continue
        word, count = said[yes].most_common(1)[0]
        of_grade = count + said[not yes][word]
        others = said[yes].total() - count
        if (
            count >= max(FEWEST, WITH_GRADE * of_grade)
            and others <= WITH_OTHERS * (grades - of_grade)
            and of_grade < grades
        ):
            return target
    return None


def _says_kept(text: str) -> bool | None:
    """The yes or no of a cell, or what it says became of the film."""
    decision = decision_word(text)
    said = flag(text)
    if said is None and decision is not None and decision != "undecided":
        return decision.startswith("accepted")
    return said


__all__ = ["with_decisions_beside"]
