"""One person's private sheet: what their own films came to, and their own course."""

from datetime import date

from bitewright import __version__
from bitewright.audit.counted_by import Dimension, Period
from bitewright.audit.faults import fault_pareto
from bitewright.audit.groupings import by_period
from bitewright.audit.logged_exposures import LoggedExposures, UnknownLabelError
from bitewright.audit.people_counts import people_counts
from bitewright.audit.period_by_size import period_by_size
from bitewright.audit.rates import RateTable, rates_by
from bitewright.report.audit_charts import faults_figure, over_time_figure
from bitewright.report.figure import Figure
from bitewright.report.report_page import FrontRow, ReportPage
from bitewright.tasks.audit.audit_log import AuditAnswer
from bitewright.words.aim import advice
from bitewright.words.audit_report import made_words
from bitewright.words.caution import CAUTION
from bitewright.words.private_sheet import (
    COURSE_SAYS,
    COURSE_TITLE,
    OPENING,
    beside_all_line,
    faults_line,
    kept_line,
    private_about,
    private_actions,
    private_methods,
    private_title,
)
from bitewright.words.report_front import grades_line, period_line
from bitewright.words.titles import titled_faults


def private_page(
    answer: AuditAnswer, log: LoggedExposures, code: str, *, title: str, today: date
) -> ReportPage:
    """The sheet of one operator; ``log``: the films that the audit is of.

    Raises
    ------
    UnknownLabelError
        If no film of these is of that operator.
    """
    told, event = answer.told, answer.told.settings.event
    names = log.names(Dimension.OPERATOR)
    own = log.where(log.code(Dimension.OPERATOR) == names.index(code)) if code in names else log
    if code not in names or not len(own):
        raise UnknownLabelError(Dimension.OPERATOR, code, names)
    person = people_counts(own, told.settings.scheme)[0]
    periods = rates_by(own, by_period(own, period_by_size(own)), event)
    standing = next((each for each in told.funnel.operators if each.label == code), None)
    aim = next((each for each in told.aims if each.label == code), None)
    said = "" if aim is None else advice(aim, opening=OPENING)
    faults = fault_pareto(own, rejects_only=True)
    return ReportPage(
        title=private_title(code, title),
        about=private_about(code),
        front=(
            FrontRow(what="Period", says=period_line(told)),
            FrontRow(what="Your films", says=kept_line(periods.overall)),
            FrontRow(what="Grades", says=grades_line(person)),
            FrontRow(what="Faults", says=faults_line(person)),
            FrontRow(what="Beside all", says=beside_all_line(told.overall, standing)),
            *((FrontRow(what="Aim", says=said),) if aim is not None and not aim.remarked else ()),
        ),
        is_signed=False,
        answers=(),
        actions=private_actions(
            person, said if aim is not None and aim.remarked else "", answer.checklists
        ),
        figures=(
            own_course(own, periods),
            *((faults_figure(titled_faults(faults)),) if faults else ()),
        ),
        methods=private_methods(),
        caution=CAUTION,
        made=made_words(__version__, today.isoformat()),
    )


def own_course(own: LoggedExposures, periods: RateTable) -> Figure:
    """Rates over time where two stretches and more are large enough; else the quarters' counts."""
    if sum(share.enough for share in periods.shares) > 1:
        return over_time_figure(periods)
    quarters = rates_by(own, by_period(own, Period.QUARTER), periods.event)
    return Figure(
        name="over-time",
        title=COURSE_TITLE,
        says=COURSE_SAYS,
        drawing=None,
        header=(quarters.name, "films", f"{quarters.event.value}s"),
        rows=tuple(
            (label, share.total, share.count)
            for label, share in zip(quarters.labels, quarters.shares, strict=True)
        ),
        shown=True,
    )


__all__ = ["private_page"]
