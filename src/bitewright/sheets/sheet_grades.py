"""The grades of a sheet: those of its column, of a legend, of its heading, or of marked columns."""

from collections import Counter
from collections.abc import Mapping, Sequence

from bitewright.sheets.cells import Workbook
from bitewright.sheets.decision_rules import without_unknown
from bitewright.sheets.grade_order import as_own, grades_in_heading, ordered_grades
from bitewright.sheets.grades import (
    OWN,
    GradeMeanings,
    grade_meanings,
    grade_word,
    is_gap_among,
)
from bitewright.sheets.joining_sheets import Joined
from bitewright.sheets.legends import are_own_grades, codes_explained
from bitewright.sheets.number_scales import limits_of, most_on_scale
from bitewright.sheets.scales_apart import joined_scales, scales_of
from bitewright.sheets.word_meanings import decision_word

FIGURES = frozenset({"1", "2", "3"})


def sheet_grades(
    table: Joined,
    columns: Mapping[str, str],
    explained: Mapping[str, float],
    workbook: Workbook,
    answers: Mapping[str, str],
) -> GradeMeanings | None:
    """The grades of a sheet; None where no column tells any.

    ``explained``: how bad a legend says that grades are. ``answers``: what a person said of the
    scheme, and the rule from grade to decision, which may say that a mark is no grade.
    """
    heading = next((name for name, target in columns.items() if target == "rating"), None)
    if heading is not None:
        scales = scales_of(table, heading)
        told = [_of_scale(texts, heading, table, columns, explained, workbook) for texts in scales]
        found = [each for each in told if each is not None]
        if not found:
            return None
        of_three = any(set(each.worst_first) <= FIGURES for each in found)
        if answers.get("scheme") == OWN or (of_three and are_own_grades(workbook)):
            found = [as_own(each) for each in found]
        elif len(found) > 1:
            found = [_own_beside(each, found) for each in found]
        joined = joined_scales(found) if len(found) > 1 else found[0]
        return without_unknown(joined, answers.get("decisions", ""))
    wide = [
        target.removeprefix("grade:") for target in columns.values() if target.startswith("grade:")
    ]
    return grade_meanings(wide) if wide else None


def _of_scale(
    texts: Sequence[str],
    heading: str,
    table: Joined,
    columns: Mapping[str, str],
    explained: Mapping[str, float],
    workbook: Workbook,
) -> GradeMeanings | None:
    """The grades of one scale, the worst first."""
    found = [text for text in texts if not is_gap_among(text, set(texts))]
    most = most_on_scale(found)
    if most is not None:
        return GradeMeanings(ratings={}, worst_first=(), limits=limits_of(table.titles, most))
    listed = grades_in_heading(heading) | explained.keys()
    grades = grade_meanings(found, listed=listed)
    if grades is None or _is_partly_read(grades, found):
        grades = grade_meanings(found, any_words=True, listed=listed)
    if grades is None:
        return None
    return ordered_grades(grades, table, columns, explained, codes_explained(workbook))


def _own_beside(scale: GradeMeanings, scales: Sequence[GradeMeanings]) -> GradeMeanings:
    """Figures beside a scale of the practice's own are of its own too."""
    is_own = any(held.startswith(f"{OWN}:") for each in scales for held in each.ratings.values())
    return as_own(scale) if is_own and set(scale.worst_first) <= FIGURES else scale


def _is_partly_read(grades: GradeMeanings, texts: Sequence[str]) -> bool:
    """Whether words stand there often that are no grades of the scheme that was found."""
    left = Counter(word for text in texts if (word := grade_word(text)) not in grades.ratings)
    return any(
        count > max(2, 0.05 * len(texts))
        and not word.isdigit()
        and decision_word(word) != "retaken"
        for word, count in left.items()
    )


__all__ = ["sheet_grades"]
