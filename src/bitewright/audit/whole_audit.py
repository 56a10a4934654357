"""Everything an audit looks at, worked out together so that chance is shared out once."""

from collections.abc import Mapping
from dataclasses import dataclass, field, replace
from itertools import pairwise

import numpy as np
from numpy.typing import NDArray

from bitewright.audit.control_chart import ControlChart, p_chart
from bitewright.audit.counted_by import Dimension, Event, Period
from bitewright.audit.cusum import DriftWatch, drift_watch
from bitewright.audit.dated_change import BeforeAfter, InterruptedSeries, Series, before_after
from bitewright.audit.dated_change import interrupted_series as fitted_series
from bitewright.audit.design_effect import DesignEffect
from bitewright.audit.expected_rates import ExpectedRate, expected_mix
from bitewright.audit.faults import FaultCount, fault_pareto
from bitewright.audit.funnel import Funnel, funnel
from bitewright.audit.groupings import by_dimension, by_period
from bitewright.audit.known_courses import KnownCourses
from bitewright.audit.like_work import expected_rejects, like_work
from bitewright.audit.logged_exposures import LoggedExposures, NothingLoggedError
from bitewright.audit.operator_aim import OperatorAim, operator_aims
from bitewright.audit.period_by_size import FEWEST_POINTS, period_by_size
from bitewright.audit.proportions import Share
from bitewright.audit.rates import RateTable, likeness_in, rates_by, retakes_that_succeeded
from bitewright.audit.targets import (
    TargetStanding,
    grade_counts,
    grade_effects,
    target_standings,
)
from bitewright.audit.unedited_marks import (
    UneditedMarks,
    unedited_by_person,
    unedited_marks,
)
from bitewright.audit.unexplained_change import ChangePoint, change_points
from bitewright.audit.usual_course import usual_course, usual_rates
from bitewright.audit.weeks import NO_COURSES, series_of
from bitewright.quality.rating_schemes import RatingScheme, rating_scheme

FAMILY_CHANCE = 0.05
"""Chance that a record in which nothing is going on gets any "found" at all."""

REFERENCE_SHARE = 0.25
"""First part of the record that drift is watched against. Our choice."""

TABLES = (
    Dimension.VIEW,
    Dimension.RECEPTOR,
    Dimension.ROOM,
    Dimension.LEVEL,
    Dimension.SUPERVISOR,
    Dimension.REASON,
)


@dataclass(frozen=True, slots=True, kw_only=True)
class AuditSettings:
    """What an audit is asked.

    Parameters
    ----------
    event : Event
    period : Period, optional
        Stretches of time the record is told in; by the record's size if left out
        (`period_by_size`).
    changes : tuple of (name, day)
        Changes whose effect is asked about. [days since 1970-01-01]
    scheme : RatingScheme
    film : bool
        Film's targets instead of digital receptors'.
    own_targets : mapping of str to float
    own_source : str
        In a sentence: whose they are, and from when on.
    courses : KnownCourses
        Seasons and learning to allow for wherever change is asked about.
    """

    event: Event = Event.REJECT
    period: Period | None = None
    changes: tuple[tuple[str, int], ...] = ()
    scheme: RatingScheme = field(default_factory=lambda: rating_scheme("uk-2020"))
    film: bool = False
    own_targets: Mapping[str, float] = field(default_factory=dict)
    own_source: str = ""
    courses: KnownCourses = NO_COURSES


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Audit:
    """All views of one record.

    ``chart``: None where the record has fewer stretches than a chart needs. ``each_chance``: the
    share of chance each question has. ``courses_used``: whether each of the courses to allow for
    could be. ``unedited``: of films with proposed marks, all together, None without such films;
    ``unedited_by``: the same by who looked at them.
    """

    settings: AuditSettings
    exposures: int
    first_day: int
    last_day: int
    overall: Share
    expected: ExpectedRate | None
    tables: tuple[RateTable, ...]
    periods: RateTable
    chart: ControlChart | None
    weeks: Series
    drift: DriftWatch | None
    faults: tuple[FaultCount, ...]
    changes: tuple[BeforeAfter, ...]
    series: InterruptedSeries | None
    points: tuple[ChangePoint, ...]
    funnel: Funnel
    aims: tuple[OperatorAim, ...]
    standings: tuple[TargetStanding, ...]
    retakes: RateTable
    retakes_succeeded: Share
    each_chance: float
    courses_used: tuple[bool, ...]
    unedited: UneditedMarks | None = None
    unedited_by: tuple[UneditedMarks, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class ChangeView:
    """What an audit tells of change alone; fields as those of `Audit`."""

    settings: AuditSettings
    weeks: Series
    drift: DriftWatch | None
    changes: tuple[BeforeAfter, ...]
    points: tuple[ChangePoint, ...]
    courses_used: tuple[bool, ...]


def change_view(
    log: LoggedExposures, settings: AuditSettings, rng: np.random.Generator
) -> ChangeView:
    """Whether a record changed: on a named day, on another, or slowly."""
    weeks = series_of(log, log.happened(settings.event), courses=settings.courses)
    each = chance_for_each(settings)
    return ChangeView(
        settings=settings,
        weeks=weeks,
        drift=drift_of(weeks, rng, each),
        changes=before_after(weeks, settings.changes, confidence=1 - each),
        points=unnamed_changes(weeks, settings.changes, rng, each),
        courses_used=usual_course(weeks).used,
    )


def whole_audit(log: LoggedExposures, settings: AuditSettings, rng: np.random.Generator) -> Audit:
    """Every view of a record.

    Raises
    ------
    NothingLoggedError
    """
    if not len(log):
        raise NothingLoggedError
    event = settings.event
    told = change_view(log, settings, rng)
    weeks = told.weeks
    period = settings.period or period_by_size(log)
    periods = rates_by(log, by_period(log, period), event)
    each = chance_for_each(settings)
    return Audit(
        settings=settings,
        exposures=len(log),
        first_day=int(log.day.min()),
        last_day=int(log.day.max()),
        overall=periods.overall,
        expected=expected_of(log, settings.event),
        tables=tuple(rates_by(log, by_dimension(log, part), event) for part in TABLES),
        periods=periods,
        chart=chart_of(log, settings, period),
        weeks=weeks,
        drift=told.drift,
        faults=fault_pareto(log, rejects_only=True),
        changes=told.changes,
        series=fitted_series(weeks, [day for _, day in settings.changes]),
        points=told.points,
        funnel=operators_funnel(log, event, each),
        aims=operator_aims(log, family_chance=each),
        standings=target_standings(
            grade_counts(log, settings.scheme),
            settings.scheme,
            film=settings.film,
            own=settings.own_targets,
            effects=grade_effects(log, settings.scheme),
        ),
        retakes=rates_by(log, by_period(log, period), Event.RETAKE),
        retakes_succeeded=retakes_that_succeeded(log),
        each_chance=each,
        courses_used=told.courses_used,
        unedited=unedited_marks(log),
        unedited_by=unedited_by_person(log),
    )


def chance_for_each(settings: AuditSettings) -> float:
    """The chance each question may err by, so that all of them together err by 5%.

    Questions: each named change, changes nobody named, drift, operators, aim (Bonferroni).

    Source: Bonferroni's inequality; 5% for all questions together is our choice.
    """
    return FAMILY_CHANCE / (len(settings.changes) + 4)


def expected_of(log: LoggedExposures, event: Event) -> ExpectedRate | None:
    """What others published for views mixed like these; None for retakes, or without views."""
    if event is not Event.REJECT:
        return None
    view = log.code(Dimension.VIEW)
    counts = np.bincount(view[view >= 0], minlength=len(log.names(Dimension.VIEW)))
    names = log.names(Dimension.VIEW)
    return expected_mix({names[int(k)]: int(counts[k]) for k in np.flatnonzero(counts)})


def chart_of(log: LoggedExposures, settings: AuditSettings, period: Period) -> ControlChart | None:
    """The rate over time with limits; None where there are too few stretches to be usual."""
    flags = log.happened(settings.event)
    stretches = series_of(log, flags, period, courses=settings.courses)
    if len(stretches.starts) < FEWEST_POINTS:
        return None
    phases = phases_of(stretches, settings)
    return p_chart(
        stretches.counts,
        stretches.totals,
        widen=True,
        phases=phases,
        design_effects=stretches.effects,
        usual=usual_rates(stretches, phases),
    )


def phases_of(stretches: Series, settings: AuditSettings) -> NDArray[np.int64]:
    """Phase (P,) of each stretch: how many named changes come before its first day.

    A stretch that a change cuts belongs to the phase before it.
    """
    days = np.sort([day for _, day in settings.changes])
    return np.searchsorted(days, stretches.starts, side="right").astype(np.int64)


def drift_of(weeks: Series, rng: np.random.Generator, false_alarm: float) -> DriftWatch | None:
    """Drift against the first quarter of the record; None with fewer than 12 weeks."""
    count = len(weeks.starts)
    if count < 12:
        return None
    reference = max(4, round(REFERENCE_SHARE * count))
    return drift_watch(
        weeks.counts,
        weeks.totals,
        reference=reference,
        rng=rng,
        false_alarm=false_alarm,
        design_effects=weeks.effects,
        course=usual_course(weeks),
    )


def unnamed_changes(
    weeks: Series,
    named: tuple[tuple[str, int], ...],
    rng: np.random.Generator,
    false_alarm: float,
) -> tuple[ChangePoint, ...]:
    """Changes between the named ones, which split the record and share the chance."""
    edges = [None, *sorted(day for _, day in named), None]
    parts = [weeks.between(a, b) for a, b in pairwise(edges)]
    found = [change_points(part, rng=rng, false_alarm=false_alarm / len(parts)) for part in parts]
    return tuple(point for part in found for point in part)


def operators_funnel(log: LoggedExposures, event: Event, family_chance: float) -> Funnel:
    """Operators against what all would have had with like work (`like_work`)."""
    operator = log.code(Dimension.OPERATOR)
    names = log.names(Dimension.OPERATOR)
    count = len(names)
    known = operator >= 0
    flags = log.happened(event)
    alike, kinds = like_work(log.where(known))
    expected = expected_rejects(flags[known], operator[known], kinds, count)
    clustering = likeness_in(log, event).design_effects(log.cases, operator, count)
    totals = np.bincount(operator[known], minlength=count)
    hits = np.bincount(operator[known & flags], minlength=count)
    present = sorted((int(k) for k in np.flatnonzero(totals)), key=lambda k: names[k])
    placed = funnel(
        tuple(names[k] for k in present),
        hits[present],
        totals[present],
        expected[present],
        clustering=DesignEffect(
            value=clustering.value[present], freedom=clustering.freedom[present]
        ),
        family_chance=family_chance,
    )
    return replace(placed, alike=alike)


__all__ = [
    "Audit",
    "AuditSettings",
    "ChangeView",
    "chance_for_each",
    "change_view",
    "chart_of",
    "drift_of",
    "expected_of",
    "operators_funnel",
    "phases_of",
    "unnamed_changes",
    "whole_audit",
]
