"""Write an audit as PDF and HTML, and the data of every figure as CSV."""

import re
from collections.abc import Sequence
from dataclasses import replace
from datetime import date
from pathlib import Path

from bitewright import __version__
from bitewright.audit.counted_by import Dimension
from bitewright.audit.rates import RateTable
from bitewright.errors import BitewrightError, quoted
from bitewright.files.csv_tables import write_csv
from bitewright.files.disk import FileUnwritableError, write_file
from bitewright.report.audit_charts import (
    FAULTS_FIGURE,
    aim_figure,
    control_figure,
    drift_figure,
    faults_figure,
    rates_figure,
)
from bitewright.report.audit_tables import answers_table, changes_table, counts_table, targets_table
from bitewright.report.figure import Figure, FilmsShown
from bitewright.report.html_page import html_page
from bitewright.report.operator_charts import funnel_figure
from bitewright.report.pdf_page import pdf_page
from bitewright.report.proposed_marks_table import proposed_marks_table
from bitewright.report.report_page import AnswerLine, ReportPage
from bitewright.tasks.audit.audit_calendar import calendar_for
from bitewright.tasks.audit.audit_dose import dose_of
from bitewright.tasks.audit.audit_gates import gates_of
from bitewright.tasks.audit.audit_log import AuditAnswer
from bitewright.tasks.audit.audit_request import filter_of
from bitewright.tasks.audit.private_sheet import private_page
from bitewright.tasks.audit.report_front import front_rows, people_figure
from bitewright.words.alarm import alarm_of
from bitewright.words.answer import FOUND_SIGNS
from bitewright.words.audit_answers import actions, reaudit_size
from bitewright.words.audit_calendar import NOTE_IT
from bitewright.words.audit_method import method_words
from bitewright.words.audit_report import about_words, audit_again, lead_title, made_words
from bitewright.words.caution import CAUTION
from bitewright.words.log_titles import filter_words
from bitewright.words.rates import titled_table
from bitewright.words.titles import titled_faults

LEAD = "lead"
"""For whom a report tells people apart, by code."""


class ExamplesForOneError(BitewrightError):
    """Example films are asked for on the private sheet of one person."""

    def __init__(self, code: str) -> None:
        super().__init__(
            f"On the private sheet of {quoted(code)} an example film would look like one of that "
            "person's own: ask for examples in the report for all or with --for lead."
        )


def write_audit_report(
    answer: AuditAnswer,
    folder: Path,
    *,
    title: str,
    comma: bool = False,
    reader: str = "",
    examples: FilmsShown | None = None,
) -> tuple[Path, ...]:
    """Write ``audit.pdf``, ``audit.html`` and a CSV file for each figure.

    The lead's sheet and a person's private one come into a folder of their own within, so that what
    is for all holds nobody's code.

    Parameters
    ----------
    answer : AuditAnswer
    folder : Path
    title : str
    comma : bool
        Decimal commas and semicolons in the CSV files.
    reader : str
        Empty for the common report, which names nobody; ``lead``; or the code of an operator.
    examples : Examples, optional
        Films beside the faults, where somebody chose so (`example_films`).

    Raises
    ------
    FileUnwritableError, UnknownLabelError
    ExamplesForOneError
        If films are to stand on one person's private sheet.
    """
    today = date.today()  # noqa: DTZ011 - the reader's day
    page = page_for(answer, reader, title=title, today=today)
    if examples is not None:
        if reader not in {"", LEAD}:
            raise ExamplesForOneError(reader)
        page = _with_examples(page, examples)
    folder = Path(folder) / re.sub(r"[^\w-]", "-", reader)
    try:
        folder.mkdir(parents=True, exist_ok=True)
    except OSError as error:
        reason = "no folder can be made there"
        raise FileUnwritableError(folder, reason) from error
    written = [folder / "audit.pdf", folder / "audit.html"]
    write_file(written[0], pdf_page(page))
    write_file(written[1], html_page(page).encode("utf-8"))
    told = answer.answers if reader == LEAD else answer.unnamed()
    for figure in (*((answers_table(told),) if page.answers else ()), *page.figures):
        path = folder / f"{figure.name}.csv"
        write_csv(path, figure.header, figure.rows, comma=comma)
        written.append(path)
    return tuple(written)


def _with_examples(page: ReportPage, examples: FilmsShown) -> ReportPage:
    figures = tuple(
        replace(each, examples=examples) if each.name == FAULTS_FIGURE else each
        for each in page.figures
    )
    return replace(page, figures=figures)


def page_for(answer: AuditAnswer, reader: str, *, title: str, today: date) -> ReportPage:
    """The pages for a reader as `write_audit_report` takes them."""
    if reader in {"", LEAD}:
        return report_page(answer, title=title, today=today, for_lead=reader == LEAD)
    log = answer.request.source().taken(filter_of(answer.request))
    return private_page(answer, log, reader, title=title, today=today)


def report_page(
    answer: AuditAnswer, *, title: str, today: date, for_lead: bool = False
) -> ReportPage:
    """The report of an audit: for all, without any person's code, or for the lead."""
    told = answer.told
    answers = answer.answers if for_lead else answer.unnamed()
    again = () if reaudit_size(told) is None else (audit_again(told),)
    only = filter_words(_shown_filter(answer, for_lead=for_lead))
    return ReportPage(
        title=lead_title(title) if for_lead else title,
        about=about_words(told, only),
        front=front_rows(answer, for_lead=for_lead),
        is_signed=True,
        answers=tuple(
            AnswerLine(
                sign=FOUND_SIGNS[each.found],
                found=each.found.value,
                question=each.question,
                sentence=each.whole,
            )
            for each in answers
        ),
        actions=(*actions(answers), *again, *((NOTE_IT,) if calendar_for(answer.request) else ())),
        figures=tuple(_figures(answer, for_lead=for_lead)),
        methods=method_words(told, seed=answer.request.seed),
        caution=CAUTION,
        made=made_words(__version__, today.isoformat()),
        alarm=alarm_of(told),
    )


def _shown_filter(answer: AuditAnswer, *, for_lead: bool) -> dict[Dimension, tuple[str, ...]]:
    """What the exposures were filtered by, people for the lead alone."""
    only = filter_of(answer.request).only
    return {name: labels for name, labels in only.items() if for_lead or name not in PEOPLE}


PEOPLE = (Dimension.OPERATOR, Dimension.SUPERVISOR, Dimension.MARKS_CONFIRMED_BY)


def _rates(table: RateTable) -> Figure:
    """A chart, or of groups that are all too small for a rate a table."""
    is_any_enough = any(share.enough for share in table.shares)
    return rates_figure(table) if is_any_enough else counts_table(table)


def _figures(answer: AuditAnswer, *, for_lead: bool) -> Sequence[Figure]:
    told = answer.told
    tables = [table for table in told.tables if for_lead or table.name not in PEOPLE]
    drawn = [
        control_figure(told),
        drift_figure(told),
        changes_table(told),
        targets_table(told),
        faults_figure(titled_faults(told.faults)) if told.faults else None,
        *(_rates(titled_table(table)) for table in tables if len(table.labels) > 1),
    ]
    log = answer.request.source().taken(filter_of(answer.request))
    dose = dose_of(log, answer.request)
    if dose.has_settings:
        drawn.append(dose.figure())
    gates = gates_of(answer.request)
    if gates is not None:
        drawn.append(gates.figure())
    if for_lead:
        drawn += [
            people_figure(log, told),
            proposed_marks_table(told.unedited_by),
            funnel_figure(told.funnel, told.settings.event.value),
            aim_figure(told.aims),
        ]
    return [figure for figure in drawn if figure is not None]


__all__ = ["LEAD", "ExamplesForOneError", "page_for", "report_page", "write_audit_report"]
