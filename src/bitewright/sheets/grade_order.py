"""Which grades of a scale of its own are the bad ones, told by the rows in which they stand."""

import re
from collections import Counter
from collections.abc import Collection, Mapping, Sequence
from dataclasses import replace

from bitewright.sheets.cells import Cell, cell_text, plain
from bitewright.sheets.grade_words import BEST, MIDDLE, THREE, WORST
from bitewright.sheets.grades import OWN, STARS, GradeMeanings, grade_word
from bitewright.sheets.joining_sheets import Joined
from bitewright.sheets.second_told import is_surely_second
from bitewright.sheets.vocabulary import words_of
from bitewright.sheets.word_meanings import decision_word, flag, is_nothing

BAD_MARKS = ("retaken", "retake", "rejected")
MOSTLY = 0.6
"""Share of bad films from which a grade is the worst. Our choice."""
NEARLY_ALL, LEAST_EXPLAINED = 0.9, 2
"""Share of a column that a legend explains, and grades of it, from which all others are slips. Our
choice."""
LEAST = 3
"""Rows with a fault or a mark, from which they tell which grades are bad. Our choice."""


def ordered_grades(
    grades: GradeMeanings,
    table: Joined,
    columns: Mapping[str, str],
    explained: Mapping[str, float],
    codes: Collection[str] = (),
) -> GradeMeanings:
    """Grades with those first whose films have faults or were taken again, or else the rare ones.

    Words that say how good a film is, and the two schemes that are known, stay as they are.
    ``explained``: how bad a legend says that grades are; ``codes``: all that it explains.
    """
    heading = next((name for name, target in columns.items() if target == "rating"), None)
    listed = {*explained, *codes, *grades_in_heading(heading or "")}
    grades = _of_legend(grades, table.column(heading or ""), listed)
    if sum(word in explained for word in grades.worst_first) > 1:
        order = sorted(grades.worst_first, key=lambda word: -explained.get(word, 0.5))
        return _in_order(grades, order)
    known = BEST | WORST | MIDDLE
    if heading is not None and _are_upside_down(grades, table, columns, heading):
        own = {word: _as_own(rating) for word, rating in grades.ratings.items()}
        return replace(grades, worst_first=("1", "2", "3"), ratings=own)
    firsts = set(grades.worst_first)
    if all(set(word) <= STARS for word in firsts):
        return grades  # the more stars the better
    if (
        heading is None
        or any(not rating.startswith(f"{OWN}:") for rating in grades.ratings.values())
        or (len(firsts - known) <= max(0, len(firsts) - 2) and firsts & WORST)
    ):
        return grades
    counts, bad = Counter[str](), Counter[str]()
    for row in table.rows:
        word = grade_word(cell_text(row.cells.get(heading)))
        word = grades.same.get(word, word)
        if word in grades.ratings:
            counts[word] += 1
            bad[word] += is_bad_row(
                {name: cell_text(cell) for name, cell in row.cells.items()}, columns
            )
    order = list(grades.worst_first)
    share = {word: bad[word] / counts[word] if counts[word] else 0.0 for word in order}
    if all(word.isdigit() for word in order) or _are_letters_in_order(order):
        ends = sorted(order)
        first, last = ends[0], ends[-1]
        told = bad.total() >= LEAST
        is_first_worst = (
            _mean_place(ends, bad) < _mean_place(ends, counts)
            if told
            else counts[first] * 3 < counts[last]
        )
        return replace(grades, worst_first=tuple(ends if is_first_worst else reversed(ends)))
    if bad.total() >= LEAST:
        order.sort(key=lambda word: (-share[word], counts[word]))
    else:
        order.sort(key=lambda word: counts[word])
    order.sort(key=lambda word: (word in BEST) - (word in WORST))  # a word says more than a share
    return replace(grades, worst_first=tuple(order))


def _mean_place(order: Sequence[str], counts: Mapping[str, int]) -> float:
    """Where films lie on a scale on average, its first grade at nought."""
    total = sum(counts.get(word, 0) for word in order)
    return sum(at * counts.get(word, 0) for at, word in enumerate(order)) / max(1, total)


LISTED = re.compile(r"(?<![^\W_])([^\W_])(?:\s*[/,|]\s*[^\W_]){1,6}(?![^\W_])")
FROM_TO = re.compile(
    r"(?<![^\W_])([^\W_])\s*(?:[-\u2013]|to|bis|a|\u00e0|tot|til|till)\s*([^\W_])(?![^\W_])"
)


def grades_in_heading(heading: str) -> frozenset[str]:
    """The grades that a heading itself lists: "Grade (A/B/C)", "Note 1-4"; empty where none."""
    listed = LISTED.search(heading)
    if listed is not None:
        return frozenset(grade_word(each) for each in re.split(r"\s*[/,|]\s*", listed[0]))
    ends = FROM_TO.search(heading)
    if ends is None:
        return frozenset()
    first, last = sorted(map(ord, map(str.casefold, ends.groups())))
    return frozenset(grade_word(chr(at)) for at in range(first, last + 1) if last - first <= MOST)


MOST = 10
"""Grades that a heading lists at most. Our choice."""


def _of_legend(
    grades: GradeMeanings, cells: Sequence[Cell], explained: Collection[str]
) -> GradeMeanings:
    """Grades without those that a legend leaves out, where it explains nearly all that stand there.

    What a person wrote beside is then a slip, and no grade of the scale.
    """
    words = [grades.same.get(word, word) for cell in cells if (word := grade_word(cell_text(cell)))]
    told = sum(word in explained for word in words)
    if told < NEARLY_ALL * len(words) or len({*words} & {*explained}) < LEAST_EXPLAINED:
        return grades
    kept = {
        word: held for word, held in grades.ratings.items() if _is_told(word, grades, explained)
    }
    order = tuple(word for word in grades.worst_first if word in explained)
    return replace(grades, ratings=kept, worst_first=order)


def _is_told(word: str, grades: GradeMeanings, explained: Collection[str]) -> bool:
    return word in explained or grades.same.get(word, word) in explained


def _in_order(grades: GradeMeanings, order: list[str]) -> GradeMeanings:
    """Grades in the order of a legend; of a scheme of their own where that is another."""
    held = [grades.ratings[word] for word in order]
    if held == sorted(held, reverse=True):
        return replace(grades, worst_first=tuple(order))
    own = {word: _as_own(rating) for word, rating in grades.ratings.items()}
    return replace(grades, worst_first=tuple(order), ratings=own)


def as_own(grades: GradeMeanings) -> GradeMeanings:
    """The same grades, those of the scheme of three as a scheme of the practice's own."""
    ratings = {
        word: _as_own(held) if held.startswith(f"{THREE}:") else held
        for word, held in grades.ratings.items()
    }
    return replace(grades, ratings=ratings)


def _as_own(rating: str) -> str:
    return f"{OWN}:{rating.partition(':')[2]}"


def _are_upside_down(
    grades: GradeMeanings, table: Joined, columns: Mapping[str, str], heading: str
) -> bool:
    """Whether of 1, 2 and 3 the first is the worst: its films have the faults and retakes."""
    if {*grades.worst_first} != {"1", "2", "3"}:
        return False
    counts, bad = Counter[str](), Counter[str]()
    others = {name: held for name, held in columns.items() if held in BAD_MARKS or held == "faults"}
    for row in table.rows:
        word = grade_word(cell_text(row.cells.get(heading)))
        counts[word] += 1
        texts = {name: cell_text(cell) for name, cell in row.cells.items()}
        bad[word] += is_bad_row(texts, others)
    share = {word: bad[word] / max(1, counts[word]) for word in ("1", "3")}
    return bad["1"] >= LEAST and share["1"] > MOSTLY and share["3"] < 1 - MOSTLY


def _are_letters_in_order(words: list[str]) -> bool:
    """Whether grades are letters from A on, none left out."""
    return sorted(words) == [chr(ord("a") + at) for at in range(len(words))]


def is_bad_row(texts: Mapping[str, str], columns: Mapping[str, str]) -> bool:
    """Whether a row names a fault, or says that its film was rejected or taken again."""
    for name, target in columns.items():
        text = texts.get(name, "")
        if not text:
            continue
        if target == "faults" and not is_nothing(text):
            return True
        if target in BAD_MARKS and plain(text) not in words_of("flags", "no"):
            return not is_surely_second(text)
        if target == "decision" and (
            decision_word(text) in {"rejected", "retaken"} or flag(text) is False
        ):
            return True
        if target.startswith("fault:") and flag(text) is not False:
            return True
    return False


__all__ = ["as_own", "is_bad_row", "ordered_grades"]
