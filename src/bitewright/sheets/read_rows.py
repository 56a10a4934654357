"""A row of a sheet as fields of the log, with every fault it has."""

from dataclasses import dataclass, field
from enum import StrEnum

from bitewright.sheets.table_body import Row


class RowFault(StrEnum):
    """What may be wrong with a cell before the log looks at it."""

    NO_DAY = "no day"
    NO_SUCH_DAY = "no such day"
    OTHER_WEEKDAY = "other weekday"
    NO_VIEW = "no view"
    UNKNOWN_VIEW = "unknown view"
    NO_GRADE = "no grade"
    UNKNOWN_GRADE = "unknown grade"
    NO_DECISION = "no decision"
    UNKNOWN_DECISION = "unknown decision"
    AGAINST_GRADE = "against grade"
    AGAINST_OUTCOME = "against outcome"
    NO_OPERATOR = "no operator"
    NO_NUMBER = "no number"
    DOUBLE = "double"
    SAME_AS_ABOVE = "same as above"
    NO_TRY = "no try"
    UNKNOWN_TRIES = "unknown tries"
    VOID = "void"
    NO_SUCH_FILM = "no such film"
    NOT_INTRAORAL = "not intraoral"


@dataclass(frozen=True, slots=True, kw_only=True)
class CellFault:
    """A fault of a row: under which heading, what stands there, what is wrong."""

    heading: str
    given: str
    fault: RowFault


@dataclass(slots=True, kw_only=True)
class RowRead:
    """A row as fields of the log.

    Parameters
    ----------
    row : Row
    fields : dict of field to text
        As `bitewright.log.exposure_state.state_from_text` takes them.
    faults : list of CellFault
    is_outside : bool
        Whether it is no intraoral film, and so not for this log.
    grade : str
        Its grade as the sheet has it, in plain letters.
    beside : str
        What stands in one cell with the grade.
    told : str
        The decision that stands in place of a grade, or beside it.
    sheet_key, repeats : str
        The sheet's own number of the film, and of the one that it repeats.
    """

    row: Row
    fields: dict[str, str] = field(default_factory=dict)
    faults: list[CellFault] = field(default_factory=list)
    is_outside: bool = False
    grade: str = ""
    beside: str = ""
    told: str = ""
    sheet_key: str = ""
    repeats: str = ""


__all__ = ["CellFault", "RowFault", "RowRead"]
