"""What a column tells, judged beside the others: remarks or faults, a film or a person."""

from collections import Counter
from collections.abc import Mapping

from bitewright.sheets.cells import cell_text, plain, word_of
from bitewright.sheets.grades import grade_word
from bitewright.sheets.joining_sheets import Joined
from bitewright.sheets.table_body import Row
from bitewright.sheets.view_words import view_in
from bitewright.sheets.vocabulary import EXACT, heading_scores, lowest, meanings
from bitewright.sheets.word_meanings import (
    BETWEEN,
    UNKNOWN_FAULT,
    decision_word,
    faults_in,
    flag,
    is_nothing,
)

REMARKS = frozenset(
    {"comment", "comments", "remark", "remarks", "bemerkung", "bemerkungen", "remarque", "bem"}
    | {"remarques", "observaciones", "comentarios", "notes", "note", "notiz", "notizen", "pozn"}
    | {"anmerkung", "anmerkungen", "kommentar", "commentaire", "commentaires", "observation"}
    | {"observations", "observacoes", "osservazioni", "opmerking", "opmerkingen", "annotazioni"}
    | {"merknad", "bemaerkning", "bemaerk", "anteckning", "anmarkning", "uwagi", "poznamka", "obs"}
    | {"notas", "muistiinpano", "megjegyzes"}
)
"""Headings under which a word that is not known need be no fault. Common practice, no source."""
FAULTS_HERE = 0.7
"""Share of remarks that must name a fault, beside a column of faults, to be taken. Our choice."""
SOME_FAULTS = 0.2
"""The same where no other column tells faults. Our choice."""
FEWEST, AGAIN = 4, 0.6
"""Remarks from which they tell something, and share of them that must come again. Our choice."""
OF_BAD, APART = 0.7, 0.4
"""Share of bad films that have a remark, and by how much more of the films with one are bad than of
the others, from which remarks say what was bad. Our choice."""
LONGEST_TERM = 25


def is_of_remarks(heading: str) -> bool:
    """Whether a heading is one of remarks, under which a word need be no fault."""
    return not REMARKS.isdisjoint(plain(lowest(heading)).split())


def with_remarks_told(
    table: Joined, columns: Mapping[str, str], said: Mapping[str, str]
) -> dict[str, str]:
    """What columns hold, each of remarks being one of faults or one of notes.

    Beside a column of faults, remarks are notes, if most name none. Where no column tells faults,
    terms that come again and stand at bad films are faults, which a person is asked about.
    """
    found = dict(columns)
    free = [name for name in columns if name not in said]
    remarks = [name for name in free if columns[name] == "faults" and is_of_remarks(name)]
    has_others = any(
        target == "faults" and name not in remarks for name, target in columns.items()
    ) or any(target.startswith("fault:") for target in columns.values())
    if has_others:
        found |= {name: "note" for name in remarks if _names_faults(table, name) < FAULTS_HERE}
    elif remarks:
        found |= {
            name: "note"
            for name in remarks
            if _names_faults(table, name) < SOME_FAULTS and not _stands_at_bad(table, columns, name)
        }
    else:
        notes = [name for name in table.headings if name not in said and _may_be(columns, name)]
        told = [name for name in notes if _stands_at_bad(table, columns, name)]
        found |= dict.fromkeys(told[:1], "faults")
    return found


def _may_be(columns: Mapping[str, str], name: str) -> bool:
    return (
        columns.get(name, "note") == "note"
        and max(
            (
                fit
                for target, fit in heading_scores(name).items()
                if target not in {"note", "faults"}
            ),
            default=0.0,
        )
        < EXACT
    )


def _names_faults(table: Joined, name: str) -> float:
    texts = [cell_text(cell) for cell in table.column(name)]
    named = [set(faults_in(text, {}).faults) - {UNKNOWN_FAULT} for text in texts]
    return sum(map(bool, named)) / max(1, len(texts))


def _stands_at_bad(table: Joined, columns: Mapping[str, str], name: str) -> bool:
    held = Counter(
        word_of(piece)
        for cell in table.column(name)
        for piece in BETWEEN.split(cell_text(cell))
        if word_of(piece)
    )
    again = sum(count for word, count in held.items() if count > 1 and len(word) <= LONGEST_TERM)
    if held.total() < FEWEST or again < AGAIN * held.total():
        return False
    best = _usual_outcome(table, columns)
    if best is None:
        return False
    heading, usual = best
    at, beside = Counter[bool](), Counter[bool]()
    for row in table.rows:
        text = cell_text(row.cells.get(heading))
        if text:
            (at if name in row.cells else beside)[_is_bad(row, heading, usual)] += 1
    here, others = (held[True] / max(1, held.total()) for held in (at, beside))
    return at[True] >= OF_BAD * (at[True] + beside[True]) > 0 and here - others >= APART


def _usual_outcome(table: Joined, columns: Mapping[str, str]) -> tuple[str, str] | None:
    """The column of outcomes, and the commonest one of it: that of films that are well."""
    for target in ("decision", "rating", "rejected", "retaken"):
        for name, held in columns.items():
            counts = Counter(grade_word(cell_text(cell)) for cell in table.column(name))
            if held == target and counts:
                return name, counts.most_common(1)[0][0]
    return None


def _is_bad(row: Row, heading: str, usual: str) -> bool:
    text = cell_text(row.cells.get(heading))
    if is_nothing(text) or decision_word(text) == "accepted" or flag(text) is True:
        return False
    return grade_word(text) != usual


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


FEWEST_SIDES, SAME_SIDE = 8, 0.8
"""Films with their side in two columns, and share of them in which it is the same, from which both
tell it. Our choice."""


def _is_of_sides(table: Joined, name: str) -> bool:
    """Whether letters that may be those of sides stand in nearly all cells of a column."""
    words = [word_of(cell_text(cell)) for cell in table.column(name)]
    known = meanings("sides").keys() | meanings("regions").keys()
    letters = sum(len(word) == 1 and word.isalpha() for word in words)
    return bool(words) and letters >= SAME_SIDE * len(words) and not set(words) <= known - LETTERS


LETTERS = frozenset("abcdefghijklmnopqrstuvwxyz")


def sides_at_odds(
    table: Joined, columns: Mapping[str, str], said: Mapping[str, str]
) -> frozenset[tuple[str, str]]:
    """Columns taken for sides whose words go with either side, as the views tell the side too."""
    views = [name for name, held in columns.items() if held == "view"]
    odd = set()
    for name, held in columns.items():
        beside = [each for each in views if each != name]
        if name in said or not (held == "side" or (held == "view" and _is_of_sides(table, name))):
            continue
        by_word: dict[str, Counter[str]] = {}
        for row in table.rows:
            word = word_of(cell_text(row.cells.get(name)))
            view = view_in(" ".join(cell_text(row.cells.get(each)) for each in beside)) or ""
            side, _, rest = view.partition("-")
            if word and rest:
                by_word.setdefault(word, Counter())[side] += 1
        total = sum(counts.total() for counts in by_word.values())
        same = sum(max(counts.values()) for counts in by_word.values())
        if total >= FEWEST_SIDES and same < SAME_SIDE * total:
            odd.add((name, held))
    return frozenset(odd)


__all__ = ["is_of_remarks", "sides_at_odds", "with_remarks_told", "without_told_of_people"]
