"""Rows whose outcome goes against their grade, where all others of the grade came out alike."""

import re
from collections.abc import Mapping, Sequence

from bitewright.sheets.cells import cell_text, plain
from bitewright.sheets.read_rows import CellFault, RowFault, RowRead
from bitewright.sheets.understanding import Understanding
from bitewright.sheets.word_meanings import decision_word, faults_in, is_nothing

FEWEST_ALIKE, MOST_ODD = 3, 0.15
"""Films of a grade that came out alike, and share of the others, up to which these are slips. Our
choice."""
ACCEPTED = "accepted"
NOT_KEPT = ("rejected", "retaken")


def with_odd_outcomes_told(sheet: Understanding, rows: Sequence[RowRead]) -> Sequence[RowRead]:
    """Rows, with a fault those of the best grade that were not kept, or of the worst that were.

    A film with a fault of its own or a remark may have its reason, and stays as it is.
    """
    grades, heading = sheet.grades, _told_in(sheet)
    _tell_odd_remarks(sheet, rows)
    if grades is None or grades.limits or heading is None or len(grades.worst_first) < 2:
        return rows
    worst, best = (grades.ratings.get(grades.worst_first[at], "") for at in (0, -1))
    for rating, usual in ((best, (ACCEPTED,)), (worst, NOT_KEPT)):
        of_grade = [each for each in rows if rating and each.fields.get("rating") == rating]
        told = [each for each in of_grade if each.fields.get("decision")]
        others = [each for each in told if not each.fields["decision"].startswith(usual)]
        odd = [each for each in others if not _has_reason(sheet, each)]
        alike = len(told) - len(others)
        if alike < FEWEST_ALIKE or len(odd) > max(1.0, MOST_ODD * alike):
            continue
        for row in odd:
            if not row.faults:
                given = cell_text(row.row.cells.get(heading)) or row.fields["decision"]
                row.faults.append(
                    CellFault(heading=heading, given=given, fault=RowFault.AGAINST_GRADE)
                )
    return rows


def _tell_odd_remarks(sheet: Understanding, rows: Sequence[RowRead]) -> None:
    """A fault more for films that were kept where a remark says no more than that they were not."""
    if _told_in(sheet) is None:
        return
    remarks = [
        name for name in sheet.table.headings if sheet.columns.get(name, "beside") in REMARKS
    ]
    for row in rows:
        for name in remarks if row.fields.get("decision") == ACCEPTED else ():
            text = cell_text(row.row.cells.get(name))
            if any(map(_says_rejected, PIECES.split(text))):
                fault = CellFault(heading=name, given=text, fault=RowFault.AGAINST_OUTCOME)
                row.faults.append(fault)


def _says_rejected(piece: str) -> bool:
    short = 0 < len(plain(piece).split()) <= FEW_WORDS
    return short and decision_word(piece) == "rejected" and not faults_in(piece, {}).faults


FEW_WORDS = 2
"""Words of a remark up to which it says what became of its own film. Our choice."""
REMARKS = frozenset({"faults", "note", "beside", "reason"})
PIECES = re.compile(r"\s+[-\u2013\u2014]\s+|[:;,!()]")


def _told_in(sheet: Understanding) -> str | None:
    """The column that says what became of films, beside their grades."""
    marks: Mapping[str, str] = sheet.wide("decision:")
    columns = (sheet.heading(name) for name in ("decision", "rejected", "retaken"))
    return next((each for each in (*columns, *marks) if each is not None), None)


def _has_reason(sheet: Understanding, row: RowRead) -> bool:
    """Whether something beside says why: a fault, a remark, that it is a retake."""
    if row.fields.get("faults") or row.fields.get("kind"):
        return True
    beside = (*sheet.headings("faults"), *sheet.headings("note"))
    texts = (cell_text(row.row.cells.get(name)) for name in beside)
    return any(text and not is_nothing(text) for text in texts)


__all__ = ["with_odd_outcomes_told"]
