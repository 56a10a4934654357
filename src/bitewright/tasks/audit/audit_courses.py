"""Seasons and learning to allow for, as the command line words them."""

from bitewright.audit.counted_by import Dimension
from bitewright.audit.known_courses import KnownCourses, Season
from bitewright.audit.logged_exposures import LoggedExposures, UnknownLabelError
from bitewright.tasks.audit.audit_request import AuditRequest, AuditWordError, day_of


def courses_of(request: AuditRequest) -> KnownCourses:
    """What the audit is to allow for; raises `AuditWordError`."""
    return KnownCourses(
        seasons=tuple(_season(text) for text in request.seasons),
        learning=request.learning or bool(request.began),
        began=dict(_began(text) for text in request.began),
    )


def check_began(courses: KnownCourses, log: LoggedExposures) -> None:
    """Refuse beginners that the record does not know: raises `UnknownLabelError`."""
    known = log.names(Dimension.OPERATOR)
    for name in courses.began:
        if name not in known:
            raise UnknownLabelError(Dimension.OPERATOR, name, known)


def _season(text: str) -> Season:
    months, _, name = text.partition("=")
    first, _, last = months.partition("-")
    ends = [_month(part.strip()) for part in (first, last or first)]
    if not name.strip() or None in ends:
        form = "FIRST-LAST=NAME, first and last month from 1 to 12, such as 7-8=summer"
        raise AuditWordError("The season", text, form)
    return Season(name=name.strip(), first_month=ends[0] or 1, last_month=ends[1] or 12)


def _month(part: str) -> int | None:
    """A month from 1 to 12; None for anything else."""
    known = part.isascii() and part.isdigit() and len(part) <= 2 and 1 <= int(part) <= 12
    return int(part) if known else None


def _began(text: str) -> tuple[str, int]:
    name, _, day = text.partition("=")
    if not name.strip() or not day.strip():
        form = "OPERATOR=YYYY-MM-DD, such as student-01=2024-09-15"
        raise AuditWordError("The beginning", text, form)
    return name.strip(), day_of(day, "The beginning")


__all__ = ["check_began", "courses_of"]
