"""Who exposed, asked where a sheet leaves it open."""

from bitewright.sheets.asking import Ask, SheetQuestion, question
from bitewright.sheets.roles_asked import COLUMN, are_people
from bitewright.sheets.understanding import Understanding

LEAVE_OUT, NOBODY_SAID = "leave-out", "practice"
FEW_CELLS = 2
"""Cells up to which a row is empty but for its day and its number. Our choice."""
FEWEST_BLANK, SEVERAL = 3, 0.03
"""Rows without a name, and their share, from which it is no slip that none stands there. Our
choice."""


def operator_asked(sheet: Understanding) -> SheetQuestion | None:
    """Asked where no column tells it, or several rows leave it open."""
    given = sheet.given.answers.get("operator", "")
    if given.startswith(COLUMN):
        return question(sheet, Ask.OPERATOR, (given,), given, rows=0)
    if sheet.has("operator"):
        return _of_blanks(sheet)
    columns = sheet.maybe_people
    tabs = sheet.table.sheets
    people = are_people(tabs)
    answers = ("tab", NOBODY_SAID) if people else (NOBODY_SAID,)
    return question(
        sheet,
        Ask.OPERATOR,
        (*answers, *(f"{COLUMN}{name}" for name in columns)),
        answers[0],
        tabs if people else (),
        rows=len(sheet.table.rows),
        doubt=0.7 if columns else 0.1,
        columns=columns,
    )


def _of_blanks(sheet: Understanding) -> SheetQuestion | None:
    """Asked where several rows do not say who exposed: it may be who keeps the list."""
    heading = sheet.heading("operator") or ""
    rows = sheet.table.rows
    lines = {
        (row.sheet, row.line)
        for row in rows
        if len(row.cells) > FEW_CELLS and heading not in row.cells
    }
    blank = len(lines)
    if blank < max(FEWEST_BLANK, SEVERAL * len(sheet.table.rows)):
        return None
    return question(
        sheet, Ask.OPERATOR, (LEAVE_OUT, NOBODY_SAID), LEAVE_OUT, (heading, str(blank)), rows=blank
    )


__all__ = ["LEAVE_OUT", "NOBODY_SAID", "operator_asked"]
