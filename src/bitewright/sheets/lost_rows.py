"""How many rows of a sheet cannot be taken as it is understood, and by what they are lost."""

from collections import Counter
from dataclasses import replace

from bitewright.sheets.pseudonyms import Pseudonyms
from bitewright.sheets.read_rows import RowFault
from bitewright.sheets.roles_asked import DAY, OUTCOME, VIEW
from bitewright.sheets.row_reading import rows_read
from bitewright.sheets.understanding import Understanding

TRIED = 400
"""Rows that are tried, the first ones. Our choice."""
ROLE_OF = {
    RowFault.NO_DAY: DAY,
    RowFault.NO_SUCH_DAY: DAY,
    RowFault.NO_VIEW: VIEW,
    RowFault.UNKNOWN_VIEW: VIEW,
    RowFault.NO_GRADE: OUTCOME,
    RowFault.UNKNOWN_GRADE: OUTCOME,
    RowFault.NO_DECISION: OUTCOME,
    RowFault.UNKNOWN_DECISION: OUTCOME,
}


def with_lost_rows(sheet: Understanding) -> Understanding:
    """A sheet that knows how many of its rows are lost by their day, view or outcome."""
    rows = sheet.table.rows
    tried = replace(sheet, table=replace(sheet.table, rows=rows[:TRIED]))
    counts = Counter(
        role
        for read in rows_read(tried, Pseudonyms({}))
        for role in {ROLE_OF[each.fault] for each in read.faults if each.fault in ROLE_OF}
    )
    whole = len(rows) / max(1, len(rows[:TRIED]))
    return replace(sheet, lost={role: round(count * whole) for role, count in counts.items()})


__all__ = ["with_lost_rows"]
