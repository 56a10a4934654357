"""Write an audit as PDF and HTML, and the data of every figure as CSV."""

from collections.abc import Sequence
from datetime import date
from pathlib import Path

from bitewright import __version__
from bitewright.audit.whole_audit import Audit
from bitewright.files.csv_tables import write_csv
from bitewright.files.disk import FileUnwritableError, write_file
from bitewright.report.audit_charts import (
    aim_figure,
    control_figure,
    drift_figure,
    faults_figure,
    rates_figure,
)
from bitewright.report.audit_tables import answers_table, changes_table, targets_table
from bitewright.report.figure import Figure
from bitewright.report.html_page import html_page
from bitewright.report.operator_charts import funnel_figure
from bitewright.report.pdf_page import pdf_page
from bitewright.report.report_page import AnswerLine, ReportPage
from bitewright.tasks.audit.audit_log import AuditAnswer
from bitewright.tasks.audit.audit_request import filter_of
from bitewright.words.answer import FOUND_SIGNS
from bitewright.words.audit_answers import actions, reaudit_size
from bitewright.words.audit_method import method_words
from bitewright.words.audit_report import about_words, audit_again, made_words
from bitewright.words.caution import CAUTION
from bitewright.words.log_titles import filter_words
from bitewright.words.rates import titled_table
from bitewright.words.titles import titled_faults


def write_audit_report(
    answer: AuditAnswer, folder: Path, *, title: str, comma: bool = False
) -> tuple[Path, ...]:
    """Write ``audit.pdf``, ``audit.html`` and a CSV file for each figure.

    Raises
    ------
    FileUnwritableError
    """
    page = report_page(answer, title=title, today=date.today())  # noqa: DTZ011 - the reader's day
    folder = Path(folder)
    try:
        folder.mkdir(parents=True, exist_ok=True)
    except OSError as error:
        reason = "no folder can be made there"
        raise FileUnwritableError(folder, reason) from error
    written = [folder / "audit.pdf", folder / "audit.html"]
    write_file(written[0], pdf_page(page))
    write_file(written[1], html_page(page).encode("utf-8"))
    for figure in (answers_table(answer.answers), *page.figures):
        path = folder / f"{figure.name}.csv"
        write_csv(path, figure.header, figure.rows, comma=comma)
        written.append(path)
    return tuple(written)


def report_page(answer: AuditAnswer, *, title: str, today: date) -> ReportPage:
    """The report of an audit."""
    told = answer.told
    size = reaudit_size(told)
    again = () if size is None else (audit_again(told, size),)
    only = filter_words(filter_of(answer.request).only)
    return ReportPage(
        title=title,
        about=about_words(told, only),
        answers=tuple(
            AnswerLine(
                sign=FOUND_SIGNS[each.found],
                found=each.found.value,
                question=each.question,
                sentence=each.whole,
            )
            for each in answer.answers
        ),
        actions=(*actions(answer.answers), *again),
        figures=tuple(_figures(told)),
        methods=method_words(told, seed=answer.request.seed),
        caution=CAUTION,
        made=made_words(__version__, today.isoformat()),
    )


def _figures(told: Audit) -> Sequence[Figure]:
    drawn = [
        control_figure(told),
        drift_figure(told),
        changes_table(told),
        targets_table(told),
        faults_figure(titled_faults(told.faults)) if told.faults else None,
        *(rates_figure(titled_table(table)) for table in told.tables if len(table.labels) > 1),
        funnel_figure(told.funnel, told.settings.event.value),
        aim_figure(told.aims),
    ]
    return [figure for figure in drawn if figure is not None]


__all__ = ["report_page", "write_audit_report"]
