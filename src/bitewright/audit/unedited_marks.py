"""Films whose marks were proposed: on how many no mark was edited, and who looked at them."""

from dataclasses import dataclass

import numpy as np

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
    films = log.where(log.number(PROPOSED) > 0)
    return _counted(films, "") if len(films) else None


def unedited_by_person(log: LoggedExposures) -> tuple[UneditedMarks, ...]:
    """By who looked, in the order of their codes, nobody ranked; last those of nobody said."""
    films = log.where(log.number(PROPOSED) > 0)
    person = films.code(Dimension.MARKS_CONFIRMED_BY)
    names = films.names(Dimension.MARKS_CONFIRMED_BY)
    present = sorted(np.unique(person[person >= 0]).tolist(), key=lambda k: names[k])
    found = [_counted(films.where(person == k), names[k]) for k in present]
    if (person < 0).any():
        found.append(_counted(films.where(person < 0), ""))
    return tuple(found)


def _counted(films: LoggedExposures, label: str) -> UneditedMarks:
    unedited = np.logical_and.reduce([np.nan_to_num(films.number(name)) == 0 for name in EDITS])
    case = films.code(Dimension.CASE)

    def total(name: str) -> int:
        return int(np.nansum(films.number(name)))

    return UneditedMarks(
        label=label,
        unedited=share_of(
            int(unedited.sum()),
            len(films),
            design_effect=likeness_of(unedited, case).design_effect(case),
        ),
        marks=total(PROPOSED),
        corrected=total("marks_corrected"),
        removed=total("marks_removed"),
        added=total("marks_added"),
        doubted=total("marks_doubted"),
        doubted_looked_at=total("marks_doubted_looked_at"),
    )


__all__ = ["UneditedMarks", "unedited_by_person", "unedited_marks"]
