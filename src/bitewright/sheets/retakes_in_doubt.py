"""Whether marks of retakes stand at bad films or at those made after them, told by their rows."""

from collections.abc import Mapping
from dataclasses import replace
from itertools import pairwise

from bitewright.sheets.cells import cell_text, word_of
from bitewright.sheets.decision_rules import decided_by_rule, decision_rules
from bitewright.sheets.grades import grade_word
from bitewright.sheets.marked_columns import MarkedColumn
from bitewright.sheets.row_views import written_view
from bitewright.sheets.understanding import Understanding
from bitewright.sheets.view_words import view_in
from bitewright.sheets.word_meanings import decision_word, flag, is_nothing

WAS, IS = "was", "is"
NEAR = 3
"""Rows above and below in which the same film may stand once more. Our choice."""
FEWEST_MARKED, MOST_FOLLOW = 2, 0.7
"""Marks of retakes from which, and share of them that follow bad films with which, they go against
their heading. Our choice."""


def likely_retake(sheet: Understanding, heading: str) -> str | None:
    """Whether the rows marked are the bad films, or good ones made after them."""
    column, marked, bad = MarkedColumn(sheet, heading), 0, 0
    told = _told_by_place(sheet, column)
    if told is not None:
        return told
    for row in sheet.table.rows:
        if not column.says(cell_text(row.cells.get(heading))):
            continue
        marked += 1
        bad += is_bad_film(sheet, {name: cell_text(cell) for name, cell in row.cells.items()})
    if not marked:
        return WAS
    if bad >= 0.7 * marked:
        return WAS
    return IS if bad <= 0.3 * marked else None


def _told_by_place(sheet: Understanding, column: MarkedColumn) -> str | None:
    """Whether the marked films stand before or after the same film once more, if that is plain."""
    case = sheet.heading("case")
    if case is None:
        return None
    rows = [
        (
            (row.sheet, word_of(cell_text(row.cells.get(case))), _film(written_view(sheet, row))),
            bool(column.says(cell_text(row.cells.get(column.heading)))),
        )
        for row in sheet.table.rows
    ]
    before = after = 0
    for at, (film, is_marked) in enumerate(rows):
        if is_marked and film[1]:
            is_above = (film, False) in rows[max(0, at - NEAR) : at]
            is_below = (film, False) in rows[at + 1 : at + 1 + NEAR]
            before += is_below and not is_above
            after += is_above and not is_below
    marked = sum(is_marked for _, is_marked in rows)
    if max(before, after) < max(FEWEST_MARKED, MOST_FOLLOW * marked) or min(before, after):
        return None
    return WAS if before else IS


def _film(written: str) -> str:
    return view_in(written) or word_of(written)


def with_doubtful_retake(sheet: Understanding) -> Understanding:
    """A sheet whose column of retakes is in doubt where its rows go against its heading.

    Films that were made again are bad ones, as a rule, and retakes are not; where a heading says
    one and the rows the other, a person is asked.
    """
    against = {"retaken": IS, "is_retake": WAS}
    held = {
        name: "retake"
        for name, target in sheet.columns.items()
        if against.get(target) is not None
        and name not in sheet.said
        and len(sheet.table.column(name)) >= FEWEST_MARKED
        and likely_retake(sheet, name) == against[target]
        and (target != "retaken" or _follow_bad_films(sheet, name))
    }
    is_free = len(held) == 1 and not sheet.has("retake")
    return replace(sheet, columns={**sheet.columns, **held}) if is_free else sheet


def _follow_bad_films(sheet: Understanding, heading: str) -> bool:
    """Whether marked rows stand below bad films of the same patient, as retakes do."""
    case = sheet.heading("case")
    if case is None:
        return False
    column, marked, following = MarkedColumn(sheet, heading), 0, 0
    for above, row in pairwise(sheet.table.rows):
        if not column.says(cell_text(row.cells.get(heading))):
            continue
        marked += 1
        is_same = cell_text(above.cells.get(case)) == cell_text(row.cells.get(case))
        texts = {name: cell_text(cell) for name, cell in above.cells.items()}
        following += is_same and above.line != row.line and is_bad_film(sheet, texts)
    return following >= MOST_FOLLOW * marked > 0


def is_bad_film(sheet: Understanding, texts: Mapping[str, str]) -> bool:
    """Whether a row says that its film was not kept, or else that it has a fault."""
    marked = {held for name, held in sheet.wide("decision:").items() if flag(texts.get(name, ""))}
    if marked:
        return marked <= {"rejected", "retaken"}
    grade = sheet.heading("rating")
    if grade is not None and sheet.grades is not None and texts.get(grade):
        rule = decision_rules(sheet.grades)[0]
        word = grade_word(texts[grade])
        return decided_by_rule(rule, word, sheet.grades.same) == "rejected"
    decided = sheet.heading("decision")
    if decided is not None and texts.get(decided):
        return (
            decision_word(texts[decided]) in {"rejected", "retaken"}
            or flag(texts[decided]) is False
        )
    return any(not is_nothing(texts.get(name, "")) for name in sheet.headings("faults"))


__all__ = ["IS", "WAS", "is_bad_film", "likely_retake", "with_doubtful_retake"]
