"""The questions of an audit for its page: what changed, is it drifting, who differs."""

from collections.abc import Iterator
from dataclasses import dataclass

import numpy as np

from bitewright.audit.groupings import date_of
from bitewright.audit.logged_exposures import LoggedExposures
from bitewright.audit.whole_audit import (
    ChangeView,
    chance_for_each,
    change_view,
    operators_funnel,
)
from bitewright.report.audit_charts import drift_figure
from bitewright.report.audit_tables import changes_table
from bitewright.report.figure import Figure
from bitewright.report.operator_charts import funnel_figure
from bitewright.report.report_page import cell_words
from bitewright.report.svg import svg_of
from bitewright.tasks.audit.page_request import PageRequest
from bitewright.tasks.audit.told_weeks import ToldWeeks, WeeksTold
from bitewright.words.answer import FOUND_SIGNS, Answer
from bitewright.words.change_answers import dated_change, slow_drift, unnamed_change
from bitewright.words.people_answers import operators_apart
from bitewright.words.titles import UNNAMED_CHANGES

SEED = 0
"""Of the simulated reference, as the command has it where none is given."""
NAMES = ("changes", "unnamed-changes", "drift", "operators")
"""Of the questions' tables, by which their data are asked for."""


@dataclass(frozen=True, slots=True, kw_only=True)
class PageQuestion:
    """A question with its answer, and the chart and the table that it rests on.

    ``name``: of its data; empty where there is none. ``weeks``: those it tells of, each with its
    films.
    """

    name: str
    question: str
    sign: str
    found: str
    sentence: str
    actions: tuple[str, ...]
    title: str = ""
    says: str = ""
    svg: str = ""
    headings: tuple[str, ...] = ()
    rows: tuple[tuple[str, ...], ...] = ()
    weeks: tuple[ToldWeeks, ...] = ()


def page_questions(log: LoggedExposures, request: PageRequest) -> tuple[PageQuestion, ...]:
    """The answers that `bitewright audit` gives of the same exposures; people for who asks."""
    return tuple(_question(*each) for each in _told(log, request))


def question_figures(log: LoggedExposures, request: PageRequest) -> dict[str, Figure]:
    """The tables of the questions by name."""
    return {figure.name: figure for _, figure, _ in _told(log, request) if figure}


def _told(
    log: LoggedExposures, request: PageRequest
) -> Iterator[tuple[Answer, Figure | None, tuple[ToldWeeks, ...]]]:
    """Each answer, what it rests on, and the weeks it tells of."""
    settings = request.settings
    told = change_view(log, settings, np.random.default_rng(SEED))
    weeks = WeeksTold(told=told, request=request)
    for change in told.changes:
        yield dated_change(told, change), changes_table(told), weeks.of_change(change)
    yield unnamed_change(told), _points_table(told), weeks.of_points()
    yield slow_drift(told), drift_figure(told), weeks.of_drift()
    if request.people:
        found = operators_funnel(log, settings.event, chance_for_each(settings))
        drawn = funnel_figure(found, settings.event.value)
        yield operators_apart(found, settings.event), drawn, ()


def _points_table(told: ChangeView) -> Figure | None:
    if not told.points:
        return None
    return Figure(
        name="unnamed-changes",
        title=UNNAMED_CHANGES,
        says="",
        drawing=None,
        header=("week of", "between", "and", "rate before", "rate after"),
        rows=tuple(
            (
                date_of(point.day),
                date_of(point.first_day),
                date_of(point.last_day),
                point.shares.first.share,
                point.shares.second.share,
            )
            for point in told.points
        ),
    )


def _question(answer: Answer, figure: Figure | None, weeks: tuple[ToldWeeks, ...]) -> PageQuestion:
    return PageQuestion(
        name=figure.name if figure else "",
        question=answer.question,
        sign=FOUND_SIGNS[answer.found],
        found=answer.found.value,
        sentence=answer.whole,
        actions=answer.actions,
        title=figure.title if figure else "",
        says=figure.says if figure else "",
        svg=svg_of(figure.drawing) if figure and figure.drawing else "",
        headings=figure.header if figure else (),
        rows=tuple(tuple(cell_words(cell) for cell in row) for row in figure.rows)
        if figure
        else (),
        weeks=weeks,
    )


__all__ = ["NAMES", "PageQuestion", "page_questions", "question_figures"]
