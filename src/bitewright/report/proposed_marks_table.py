"""The table of who looked at proposed marks, for the lead's sheet and the page of the audit."""

from collections.abc import Sequence

from bitewright.audit.unedited_marks import UneditedMarks
from bitewright.report.figure import Figure
from bitewright.words.unedited_marks import HEADER, SAYS, TITLE, unedited_row


def proposed_marks_table(people: Sequence[UneditedMarks]) -> Figure | None:
    """The table; None where no film had marks proposed."""
    if not people:
        return None
    return Figure(
        name="proposed-marks",
        title=TITLE,
        says=SAYS,
        drawing=None,
        header=HEADER,
        rows=tuple(unedited_row(each) for each in people),
        shown=True,
    )


__all__ = ["proposed_marks_table"]
