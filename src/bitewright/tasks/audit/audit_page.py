"""What the page of the audit shows: rates told apart, faults and grades, each with its films."""

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass

from bitewright.audit.counted_by import Dimension, Event
from bitewright.audit.design_effect import Likeness
from bitewright.audit.faults import FaultCount, fault_pareto
from bitewright.audit.groupings import by_dimension, by_period, date_of, period_days
from bitewright.audit.logged_exposures import LoggedExposures
from bitewright.audit.period_by_size import period_by_size
from bitewright.audit.proportions import FEWEST, Share, share_of
from bitewright.audit.rates import RateTable, likeness_in, rates_by
from bitewright.audit.targets import grade_counts, grade_effects, target_standings
from bitewright.audit.unedited_marks import unedited_by_person
from bitewright.audit.whole_audit import expected_of
from bitewright.errors import BitewrightError, quoted
from bitewright.files.csv_tables import csv_bytes
from bitewright.report.audit_charts import faults_figure, over_time_figure, rates_figure
from bitewright.report.figure import Figure
from bitewright.report.proposed_marks_table import proposed_marks_table
from bitewright.report.svg import svg_of
from bitewright.store.opening import NoStoreError
from bitewright.tasks.audit.audit_calendar import CalendarToday, calendar_today
from bitewright.tasks.audit.audit_questions import (
    NAMES,
    PageQuestion,
    page_questions,
    question_figures,
)
from bitewright.tasks.audit.audit_request import check_any
from bitewright.tasks.audit.audit_schemes import audit_scheme
from bitewright.tasks.audit.page_request import PageRequest
from bitewright.tasks.catalogue.own_checklists import known_checklists
from bitewright.tasks.log.logged_exposures import StoreRecord
from bitewright.tasks.log.read_log import NOT_KEPT
from bitewright.words.alarm import Alarm, alarm_words
from bitewright.words.audit_answers import fault_noted
from bitewright.words.audit_calendar import own_targets_words
from bitewright.words.audit_page import (
    nothing_yet,
    rate_over_all,
    targets_line,
    too_few_line,
)
from bitewright.words.log_titles import label_title
from bitewright.words.phrases import capital
from bitewright.words.rates import interval_words, percent, titled_table, undecided_words
from bitewright.words.titles import titled_faults

WORK = (Dimension.VIEW, Dimension.RECEPTOR, Dimension.ROOM, Dimension.LEVEL, Dimension.REASON)
"""What is told apart for everybody."""
PEOPLE = (Dimension.OPERATOR, Dimension.SUPERVISOR)
"""What is told apart for who asks for people, by code."""
MOST_LOOKED_AT = 3
"""Faults that the page tells what to look at for. Our choice."""
MOST_GROUPS = 200
"""Groups that a chart can show; a table of more says so. Our choice."""


class NoSuchChartError(BitewrightError):
    """A chart's data are asked for by a name that this record has no chart of."""

    status_code = 404

    def __init__(self, given: str, known: Sequence[str]) -> None:
        self.given = given
        super().__init__(
            f"There is no chart {quoted(given)} of these exposures: give one of {', '.join(known)}."
        )


@dataclass(frozen=True, slots=True, kw_only=True)
class PageRow:
    """A row of a chart's table: cells in words, the address of its films and of those counted."""

    label: str
    counted: str
    total: str
    rate: str
    interval: str
    films: str
    counted_films: str


@dataclass(frozen=True, slots=True, kw_only=True)
class PageChart:
    """A chart with its table."""

    name: str
    title: str
    says: str
    svg: str
    headings: tuple[str, ...]
    rows: tuple[PageRow, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class FaultLooks:
    """A fault with how often it was noted, and what to look at in order."""

    noted: str
    looks: tuple[str, ...]
    source: str


@dataclass(frozen=True, slots=True, kw_only=True)
class AuditPage:
    """The whole page.

    Parameters
    ----------
    said : tuple of str
        The rate over all, the targets, what is left out.
    alarm : Alarm or None
        What stands above all else.
    looks : tuple of FaultLooks
        What to look at for the most frequent faults.
    charts : tuple of PageChart
    labels : mapping of str to name and title
        What can be filtered by.
    films : str
        Address of all its films.
    calendar : CalendarToday or None
        When the next audit is due.
    questions : tuple of PageQuestion
        What changed, whether it drifts, who differs.
    """

    said: tuple[str, ...]
    alarm: Alarm | None = None
    looks: tuple[FaultLooks, ...] = ()
    charts: tuple[PageChart, ...]
    labels: Mapping[str, list[tuple[str, str]]]
    films: str
    calendar: CalendarToday | None = None
    questions: tuple[PageQuestion, ...] = ()


def audit_page(request: PageRequest) -> AuditPage:
    """Rates, faults and grades of the exposures asked for.

    Raises
    ------
    FieldValueError, UnknownLabelError, UnknownSchemeError
    """
    record = StoreRecord(None)
    try:
        log = record()
    except NoStoreError:
        return AuditPage(said=(nothing_yet(),), charts=(), labels={}, films=request.films())
    taken, undecided = log.taken(request.wanted), record.undecided(request.wanted)
    left_open = (undecided_words(undecided),) if undecided else ()
    if not len(taken):
        said: tuple[str, ...] = (nothing_yet(), *left_open)
        return AuditPage(said=said, charts=(), labels=filter_labels(log), films=request.films())
    alike = likeness_in(taken, request.event)
    faults = fault_pareto(taken, rejects_only=True)
    made = list(_charts(taken, request, alike, faults))
    overall = share_of(
        int(taken.happened(request.event).sum()),
        len(taken),
        design_effect=alike.design_effect(taken.cases),
    )
    scheme, calendar = audit_scheme(request.scheme), calendar_today()
    own = calendar.calendar.targets_of(scheme.name, int(date_of(int(taken.day.max()))[:4]))
    standings = target_standings(
        grade_counts(taken, scheme),
        scheme,
        film=own is not None and own.film,
        own=own.shares if own else {},
        effects=grade_effects(taken, scheme),
    )
    alarm = alarm_words(
        overall,
        standings,
        scheme,
        event=request.event,
        expected=expected_of(taken, request.event),
        faults=faults,
    )
    targets = [
        targets_line(each, scheme) for each in standings if each.at_least and each.share.total
    ]
    return AuditPage(
        said=(
            rate_over_all(overall, request.event),
            *targets,
            *((own_targets_words(own),) if own else ()),
            *left_open,
        ),
        alarm=alarm,
        looks=_looks(faults) if request.event is Event.REJECT else (),
        charts=tuple(chart for _, chart in made),
        labels=filter_labels(log),
        films=request.decided_films(),
        calendar=calendar,
        questions=page_questions(taken, request),
    )


def chart_csv(request: PageRequest, name: str, *, comma: bool = False) -> bytes:
    """The data of one chart.

    Raises
    ------
    NoSuchChartError, NothingLoggedError, NothingDecidedError; errors as `audit_page`
    """
    record = StoreRecord(None)
    taken = record().taken(request.wanted)
    check_any(len(taken), record.undecided(request.wanted))
    if name in NAMES:
        figures = question_figures(taken, request)
        if name not in figures:
            raise NoSuchChartError(name, tuple(figures))
        return csv_bytes(figures[name].header, figures[name].rows, comma=comma)
    alike = likeness_in(taken, request.event)
    faults = fault_pareto(taken, rejects_only=True)
    figures = {figure.name: figure for figure, _ in _charts(taken, request, alike, faults)}
    if name not in figures:
        raise NoSuchChartError(name, tuple(figures))
    return csv_bytes(figures[name].header, figures[name].rows, comma=comma)


def _charts(
    log: LoggedExposures, request: PageRequest, alike: Likeness, faults: Sequence[FaultCount]
) -> Iterator[tuple[Figure, PageChart]]:
    yield _over_time(log, request, alike)
    for dimension in (*WORK, *(PEOPLE if request.people else ())):
        table = rates_by(log, by_dimension(log, dimension), request.event, likeness=alike)
        if 1 < len(table.labels) <= MOST_GROUPS:
            figure = rates_figure(titled_table(table))
            asked = [{dimension.value: label} for label in table.labels]
            yield figure, _rates_chart(figure, table, request, asked)
    if request.event is Event.REJECT:
        yield from _faults(faults, request)
    if request.people:
        yield from _proposed_marks(log, request)


def _proposed_marks(
    log: LoggedExposures, request: PageRequest
) -> Iterator[tuple[Figure, PageChart]]:
    people = unedited_by_person(log)
    figure = proposed_marks_table(people)
    if figure is None:
        return
    asked = [
        {Dimension.MARKS_CONFIRMED_BY.value: each.label} if each.label else {} for each in people
    ]
    films = [request.decided_films(**group) for group in asked]
    rows = tuple(
        _row(str(shown[0]), each.unedited, films=at, counted_films=at)
        for shown, each, at in zip(figure.rows, people, films, strict=True)
    )
    yield (
        figure,
        PageChart(
            name=figure.name,
            title=figure.title,
            says=figure.says,
            svg="",
            headings=("looked at by", "no mark edited", "films", "share", "95% interval"),
            rows=rows,
        ),
    )


def _over_time(
    log: LoggedExposures, request: PageRequest, alike: Likeness
) -> tuple[Figure, PageChart]:
    period = request.period or period_by_size(log)
    table = rates_by(log, by_period(log, period), request.event, likeness=alike)
    days = period_days(log, period)
    first, last = request.wanted.first_day, request.wanted.last_day
    asked = [
        {
            "since": date_of(max(days[label][0], first if first is not None else days[label][0])),
            "until": date_of(min(days[label][1], last if last is not None else days[label][1])),
        }
        for label in table.labels
    ]
    figure = over_time_figure(table)
    return figure, _rates_chart(figure, table, request, asked)


def _rates_chart(
    figure: Figure, table: RateTable, request: PageRequest, asked: Sequence[Mapping[str, str]]
) -> PageChart:
    shown = [str(row[0]) for row in figure.rows]
    return PageChart(
        name=figure.name,
        title=figure.title,
        says=" ".join(part for part in (figure.says, too_few_line(table)) if part),
        svg=svg_of(figure.drawing) if figure.drawing is not None else "",
        headings=(table.name, f"{request.event.value}s", "exposures", "rate", "95% interval"),
        rows=tuple(
            _row(
                label,
                share,
                films=request.decided_films(**group),
                counted_films=request.counted_films(**group),
            )
            for label, share, group in zip(shown, table.shares, asked, strict=True)
        ),
    )


def _row(label: str, share: Share, *, films: str, counted_films: str) -> PageRow:
    enough = share.total >= FEWEST
    return PageRow(
        label=label,
        counted=str(share.count),
        total=str(share.total),
        rate=percent(share.share) if enough else "too few",
        interval=interval_words(share) if enough else "",
        films=films,
        counted_films=counted_films,
    )


def _faults(
    faults: Sequence[FaultCount], request: PageRequest
) -> Iterator[tuple[Figure, PageChart]]:
    if not faults:
        return
    figure = faults_figure(titled_faults(faults))
    rows = [(fault, request.films(fault=fault.label, decision=NOT_KEPT)) for fault in faults]
    yield (
        figure,
        PageChart(
            name=figure.name,
            title=figure.title,
            says=figure.says,
            svg=svg_of(figure.drawing) if figure.drawing is not None else "",
            headings=("fault", "rejects with it", "rejects", "share of rejects", ""),
            rows=tuple(
                PageRow(
                    label=str(shown[0]),
                    counted=str(fault.among_exposures.count),
                    total=str(fault.among_exposures.total),
                    rate=percent(fault.among_exposures.share)
                    if fault.among_exposures.total >= FEWEST
                    else "too few",
                    interval="",
                    films=request.films(decision=NOT_KEPT),
                    counted_films=films,
                )
                for shown, (fault, films) in zip(figure.rows, rows, strict=True)
            ),
        ),
    )


def _looks(faults: Sequence[FaultCount]) -> tuple[FaultLooks, ...]:
    known = known_checklists()
    return tuple(
        FaultLooks(
            noted=capital(fault_noted(each)),
            looks=known[each.label].looks,
            source=known[each.label].source,
        )
        for each in faults[:MOST_LOOKED_AT]
        if each.label in known
    )


def filter_labels(log: LoggedExposures) -> dict[str, list[tuple[str, str]]]:
    """Labels to filter by; a dimension with a single one needs no filter."""
    return {
        dimension.value: [
            (label, label_title(dimension, label)) for label in sorted(log.names(dimension))
        ]
        for dimension in WORK
        if 1 < len(log.names(dimension)) <= MOST_GROUPS
    }


__all__ = [
    "AuditPage",
    "NoSuchChartError",
    "audit_page",
    "chart_csv",
    "filter_labels",
]
