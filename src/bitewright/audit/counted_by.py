"""What an audit counts, and by what it tells exposures apart: the names of both."""

from enum import StrEnum


class Event(StrEnum):
    """What is counted among all exposures."""

    REJECT = "reject"
    RETAKE = "retake"


class Dimension(StrEnum):
    """What exposures can be told apart by."""

    OPERATOR = "operator"
    SUPERVISOR = "supervisor"
    ROOM = "room"
    RECEPTOR = "receptor"
    HOLDER = "holder"
    VIEW = "view"
    LEVEL = "level"
    REASON = "reason"
    CASE = "case"
    MARKS_CONFIRMED_BY = "marks_confirmed_by"


class Period(StrEnum):
    """A stretch of the calendar; weeks begin on Monday."""

    DAY = "day"
    WEEK = "week"
    MONTH = "month"
    QUARTER = "quarter"
    HALF = "half-year"
    YEAR = "year"


__all__ = ["Dimension", "Event", "Period"]
