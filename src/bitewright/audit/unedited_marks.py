"""Films whose marks were proposed: on how many no mark was edited, and who looked at them."""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from bitewright.audit.cases import cases_of
from bitewright.audit.counted_by import Dimension
from bitewright.audit.design_effect import likeness_of
from bitewright.audit.logged_exposures import LoggedExposures
from bitewright.audit.proportions import Share, share_of

PROPOSED = "marks_proposed"
EDITS = ("marks_corrected", "marks_removed", "marks_added")


@dataclass(frozen=True, slots=True, kw_only=True)
class UneditedMarks:
    """Films with proposed marks that somebody looked at.

    Parameters
    ----------
    label : str
        Who looked, by code; empty for all together, or where nobody is said.
    unedited : Share
        Films on which no mark was moved, taken away or added, of all of them.
    marks, corrected, removed, added : int
        Marks proposed, and what became of them.
    doubted, doubted_looked_at : int
        Marks that had to be looked at one by one, and those that were.
    """

    label: str
    unedited: Share
    marks: int
    corrected: int
    removed: int
    added: int
    doubted: int
    doubted_looked_at: int


def unedited_marks(log: LoggedExposures) -> UneditedMarks | None:
    """All films with proposed marks together; None where the log has none.

    The interval is widened by how alike films of one case are.
    """
    films = _proposed(log)
    return _counted(log, films, "") if len(films) else None


def unedited_by_person(log: LoggedExposures) -> tuple[UneditedMarks, ...]:
    """By who looked, in the order of their codes, nobody ranked; last those of nobody said."""
    films = _proposed(log)
    names = log.names(Dimension.MARKS_CONFIRMED_BY)
    person = log.code(Dimension.MARKS_CONFIRMED_BY)[films]
    order = np.argsort(person, kind="stable")
    codes, starts = np.unique(person[order], return_index=True)
    of_each = dict(zip(codes.tolist(), np.split(films[order], starts[1:]), strict=False))
    of_nobody = of_each.pop(-1, None)
    found = [_counted(log, of_each[k], names[k]) for k in sorted(of_each, key=lambda k: names[k])]
    if of_nobody is not None:
        found.append(_counted(log, of_nobody, ""))
    return tuple(found)


def _proposed(log: LoggedExposures) -> NDArray[np.intp]:
    """Rows of the films with proposed marks, rising."""
    return np.flatnonzero(log.number(PROPOSED) > 0)


def _counted(log: LoggedExposures, films: NDArray[np.intp], label: str) -> UneditedMarks:
    """Of the films in these rows."""
    edits = [log.number(name)[films] for name in EDITS]
    unedited = np.logical_and.reduce([np.nan_to_num(each) == 0 for each in edits])
    cases = cases_of(log.code(Dimension.CASE)[films])

    def total(name: str) -> int:
        return int(np.nansum(log.number(name)[films]))

    return UneditedMarks(
        label=label,
        unedited=share_of(
            int(unedited.sum()),
            len(films),
            design_effect=likeness_of(unedited, cases).design_effect(cases),
        ),
        marks=total(PROPOSED),
        corrected=total("marks_corrected"),
        removed=total("marks_removed"),
        added=total("marks_added"),
        doubted=total("marks_doubted"),
        doubted_looked_at=total("marks_doubted_looked_at"),
    )


__all__ = ["UneditedMarks", "unedited_by_person", "unedited_marks"]
