"""The first page of an audit report, and what its lead's sheet has beyond the common one."""

from collections import Counter

from bitewright.audit.logged_exposures import Filter, LoggedExposures
from bitewright.audit.people_counts import people_counts
from bitewright.audit.proportions import ShareDifference, difference_of
from bitewright.audit.rates import likeness_in
from bitewright.audit.whole_audit import Audit
from bitewright.report.figure import Figure
from bitewright.report.report_page import FrontRow
from bitewright.tasks.audit.audit_calendar import calendar_for
from bitewright.tasks.audit.audit_log import AuditAnswer
from bitewright.tasks.audit.audit_request import AuditRequest, filter_of, undecided_in
from bitewright.tasks.log.logged_exposures import StoreRecord
from bitewright.words.report_front import (
    AIM,
    NO_EARLIER,
    NONE_BEFORE,
    PEOPLE_SAY,
    earlier_line,
    faults_cell,
    films_line,
    graded_by_line,
    people_title,
    period_line,
    result_line,
    standard_line,
)

MOST_READ = 20_000
"""Films whose deciders are read one by one for the lead's sheet; of more it says nothing. Our
choice: a second or two."""


def front_rows(answer: AuditAnswer, *, for_lead: bool) -> tuple[FrontRow, ...]:
    """What was asked of which films, and what came out; who graded them for the lead alone."""
    told, request = answer.told, answer.request
    wanted = filter_of(request)
    ungraded = told.exposures - max((each.share.total for each in told.standings), default=0)
    calendar = calendar_for(request)
    deciders = _deciders(request, wanted) if for_lead else ()
    return (
        FrontRow(what="Aim", says=AIM),
        FrontRow(what="Standard", says=standard_line(told)),
        FrontRow(what="Period", says=period_line(told)),
        FrontRow(
            what="Films",
            says=films_line(told, undecided=undecided_in(request, wanted), ungraded=ungraded),
        ),
        *((FrontRow(what="Graded", says=graded_by_line(deciders)),) if deciders else ()),
        FrontRow(what="Result", says=result_line(told)),
        FrontRow(what="Period before", says=_earlier(told, request, wanted)),
        *((FrontRow(what="Next audit", says=calendar.reminder),) if calendar else ()),
    )


def _earlier(told: Audit, request: AuditRequest, wanted: Filter) -> str:
    """As many days before the first day asked for as there are in the period."""
    if wanted.first_day is None:
        return NO_EARLIER
    end = wanted.last_day if wanted.last_day is not None else told.last_day
    first, last = 2 * wanted.first_day - end - 1, wanted.first_day - 1
    record = request.source()
    before = record.taken(Filter(only=wanted.only, first_day=first, last_day=last))
    if not len(before):
        return NONE_BEFORE
    return earlier_line(_difference(before, record.taken(wanted), told), first, last)


def _difference(before: LoggedExposures, now: LoggedExposures, told: Audit) -> ShareDifference:
    event = told.settings.event
    effects = [likeness_in(log, event).design_effect(log.cases) for log in (before, now)]
    counts = [(int(log.happened(event).sum()), len(log)) for log in (before, now)]
    return difference_of(counts[0], counts[1], design_effect=(effects[0], effects[1]))


def _deciders(request: AuditRequest, wanted: Filter) -> tuple[tuple[str, int], ...]:
    """Who decided on the films, by code; nothing for a table, and for more films than are read."""
    if not isinstance(request.source, StoreRecord):
        return ()
    found: Counter[str] = Counter(request.source.deciders(wanted, most=MOST_READ))
    return tuple(sorted(found.items()))


def people_figure(log: LoggedExposures, told: Audit) -> Figure:
    """Grades and faults by person, a table."""
    scheme = told.settings.scheme
    people = people_counts(log, scheme)
    grades = tuple(scheme.targets_digital)
    return Figure(
        name="people",
        title=people_title(scheme),
        says=PEOPLE_SAY,
        drawing=None,
        header=(
            "operator",
            "films",
            *(f"grade {grade}" for grade in grades),
            "no grade",
            "rejected",
            "faults",
        ),
        rows=tuple(
            (
                each.label,
                each.films,
                *(each.grades[grade] for grade in grades),
                each.ungraded,
                each.rejected,
                faults_cell(each),
            )
            for each in people
        ),
        shown=True,
    )


__all__ = ["front_rows", "people_figure"]
