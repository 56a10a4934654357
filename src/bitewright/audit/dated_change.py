"""Did the rate differ after a change on a known day, and was it the day or a steady drift?

The shares before and after, with Newcombe's interval, tell whether they differ. An interrupted
series, in which a steady trend may explain what the change does not, tells whether the difference
came with the day.

Sources: Newcombe RG, Stat Med 1998;17:873-90; Wagner AK et al., J Clin Pharm Ther 2002;27:299-309
(segmented regression, from memory).
"""

from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray
from scipy.special import expit, stdtr, stdtrit

from bitewright.audit.binomial_regression import binomial_regression
from bitewright.audit.control_chart import spread_beyond_chance
from bitewright.audit.design_effect import INDEPENDENT, DesignEffect, Likeness
from bitewright.audit.known_courses import with_events, with_own_say
from bitewright.audit.proportions import CONFIDENCE, ShareDifference, difference_of, share_of

Floats = NDArray[np.float64]

LEAST_STEPS = 4
"""Fewer weeks than this on one side are too few to tell a step. Our choice."""
LEAST_EVENTS = 5
"""So are fewer rejects than this, or fewer exposures kept. Our choice."""


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Series:
    """Events and exposures of G successive stretches of time, each with an exposure at least.

    Parameters
    ----------
    starts : (G,) int array
        First day of each. [days since 1970-01-01]
    counts, totals : (G,) float array
    others : (G,) float array, optional
        Others of its case beside an exposure, on average (`Cases.others_within`); none if left out.
    likeness : Likeness
        How alike these are.
    courses : (G, C) float array, optional
        What is known to move the rate besides: seasons, learning (`KnownCourses`).
    """

    starts: NDArray[np.int64]
    counts: Floats
    totals: Floats
    others: Floats | None = None
    likeness: Likeness = INDEPENDENT
    courses: Floats | None = None

    @property
    def beside(self) -> Floats:
        """Others of its case beside an exposure, on average, in each stretch, (G,)."""
        return np.zeros(len(self.starts)) if self.others is None else self.others

    @property
    def effects(self) -> Floats:
        """Design effect of exposures of one case in each stretch, (G,)."""
        return self.likeness.effect_beside(self.beside).value

    def design_effect(self) -> DesignEffect:
        """The same over all stretches."""
        together = (self.totals * self.beside).sum() / max(self.totals.sum(), 1.0)
        return self.likeness.effect_beside(together)

    def between(self, first_day: int | None, end_day: int | None) -> "Series":
        """The stretches that begin on or after one day and before another."""
        taken = np.ones(len(self.starts), dtype=np.bool_)
        if first_day is not None:
            taken &= self.starts >= first_day
        if end_day is not None:
            taken &= self.starts < end_day
        return self._taken(taken)

    def part(self, start: int, end: int) -> "Series":
        """The stretches from one place to before another."""
        return self._taken(slice(start, end))

    def _taken(self, which: NDArray[np.bool_] | slice) -> "Series":
        return replace(
            self,
            starts=self.starts[which],
            counts=self.counts[which],
            totals=self.totals[which],
            others=None if self.others is None else self.others[which],
            courses=None if self.courses is None else self.courses[which],
        )


@dataclass(frozen=True, slots=True, kw_only=True)
class Step:
    """A step of the rate at a change, with a steady trend taken out.

    ``odds_ratio``: odds just after over odds just before, with an interval; ``chance``: how often
    a step as large would come of nothing.
    """

    odds_ratio: float
    low: float
    high: float
    chance: float
    rate_before: float
    rate_after: float


@dataclass(frozen=True, slots=True, kw_only=True)
class InterruptedSeries:
    """Steps at each change, and the trend between them.

    Parameters
    ----------
    steps : tuple of Step
    trend_per_year : float
        Odds ratio of a year's steady trend.
    dispersion : float
        Variance over what chance alone gives.
    memory : float
        Correlation of neighbouring stretches' residuals.
    """

    steps: tuple[Step, ...]
    trend_per_year: float
    dispersion: float
    memory: float


@dataclass(frozen=True, slots=True, kw_only=True)
class BeforeAfter:
    """Shares on either side of a change, up to the next change or the record's end.

    Each share has its own 95% interval; that of the difference, at its own confidence, is wider
    by ``widening``, a variance ratio: variation between weeks that neither chance nor clustering in
    cases explains. ``step``: the same from the interrupted series; None where that could not be
    fitted. ``beside_courses``: a step with known courses taken out, no trend; None where none is
    known, or where it could not be fitted.
    """

    name: str
    day: int
    shares: ShareDifference
    widening: float
    step: Step | None
    beside_courses: Step | None = None

    @property
    def enough(self) -> bool:
        """Whether there are enough exposures on both sides to say anything."""
        return self.shares.first.enough and self.shares.second.enough

    @property
    def settled(self) -> bool:
        """Whether the rate differs, known courses taken out, whatever the reason."""
        if not self.enough:
            return False
        if self.beside_courses is not None:
            return not self.beside_courses.low <= 1.0 <= self.beside_courses.high
        return self.shares.settled

    @property
    def came_with_the_day(self) -> bool:
        """Whether, besides, a steady trend does not explain it as well."""
        if self.step is None or not self.settled:
            return False
        same_way = (self.step.odds_ratio > 1.0) == (self.shares.difference > 0.0)
        return same_way and self.step.chance <= 0.05


def before_after(
    series: Series,
    changes: Sequence[tuple[str, int]],
    *,
    confidence: float = CONFIDENCE,
) -> tuple[BeforeAfter, ...]:
    """Each change against what came before it.

    Source: Newcombe RG, Stat Med 1998;17:873-90 (the interval).

    Parameters
    ----------
    series : Series
        Weeks, or what else is a rational subgroup.
    changes : sequence of (name, day)
        In order of time. Each is compared from the change before it to the change after it.
    confidence : float
        Of the difference: raised where several changes are judged together.
    """
    ordered = sorted(changes, key=lambda change: change[1])
    days = [day for _, day in ordered]
    fitted = interrupted_series(series, days, confidence=confidence)
    beside = None
    if series.courses is not None and series.courses.shape[1]:
        beside = interrupted_series(series, days, confidence=confidence, trend=False)
    edges: list[int | None] = [None, *(day for _, day in ordered), None]
    found = []
    for place, (name, day) in enumerate(ordered):
        before = series.between(edges[place], day)
        after = series.between(day, edges[place + 2])
        widening = _dispersion_within(before, after)
        pair = _difference(before, after, widening, confidence)
        found.append(
            BeforeAfter(
                name=name,
                day=day,
                shares=pair,
                widening=widening,
                step=None if fitted is None else fitted.steps[place],
                beside_courses=None if beside is None else beside.steps[place],
            )
        )
    return tuple(found)


def interrupted_series(
    series: Series,
    change_days: Sequence[int],
    *,
    confidence: float = CONFIDENCE,
    trend: bool = True,
) -> InterruptedSeries | None:
    """A binomial regression with a trend and a step at each change; None if there is too little.

    Known courses stand beside the steps; where they tell the same as a step, there is too little.

    Standard errors are widened by the dispersion, where above 1, and by the correlation r of
    neighbouring residuals, where positive, by (1 + r) / (1 - r); intervals use Student's t.

    Source: Wagner AK et al., J Clin Pharm Ther 2002;27:299-309 (the model, from memory); to
    widen the errors by dispersion and by (1 + r) / (1 - r) is our choice, for series this short.
    """
    day = series.starts.astype(np.float64)
    sides = [day >= change for change in change_days]
    part = np.sum([np.zeros(len(day)), *sides], axis=0).astype(np.int64)
    parts = len(sides) + 1
    hits = np.bincount(part, series.counts, parts)
    misses = np.bincount(part, series.totals, parts) - hits
    weeks = np.bincount(part, minlength=parts)
    if weeks.min() < LEAST_STEPS or min(hits.min(), misses.min()) < LEAST_EVENTS:
        return None
    years = (day - day.mean()) / 365.25 if trend else np.zeros(len(day))
    design = np.column_stack([np.ones(len(day)), *(side.astype(float) for side in sides)])
    design = np.column_stack([design, years]) if trend else design
    courses = np.empty((len(day), 0)) if series.courses is None else series.courses
    usable = with_events(courses, series.counts, series.totals, LEAST_EVENTS)
    courses = courses[:, usable]
    if not with_own_say(courses, design, series.totals).all():
        return None
    fitted = binomial_regression(np.column_stack([design, courses]), series.counts, series.totals)
    if fitted is None:
        return None
    residuals = fitted.residuals
    free = len(day) - len(fitted.coefficients)
    if free < LEAST_STEPS:
        return None
    clustered = float(series.design_effect().value)
    dispersion = max(clustered, float((residuals**2).sum() / free))
    memory = float((residuals[1:] * residuals[:-1]).sum() / (residuals**2).sum())
    held = min(max(memory, 0.0), 0.9)
    errors = fitted.errors * np.sqrt(dispersion * (1 + held) / (1 - held))
    values = fitted.coefficients
    reach = float(stdtrit(free, 0.5 + confidence / 2))
    per_year = float(values[parts]) if trend else 0.0
    steps = []
    for place, change in enumerate(change_days):
        value, error = values[1 + place], errors[1 + place]
        at = (
            values[0]
            + values[1 : 1 + place].sum()
            + courses.mean(axis=0) @ values[len(values) - courses.shape[1] :]
        )
        at += per_year * (change - day.mean()) / 365.25
        steps.append(
            Step(
                odds_ratio=float(np.exp(value)),
                low=float(np.exp(value - reach * error)),
                high=float(np.exp(value + reach * error)),
                chance=float(2 * stdtr(free, -abs(value / error))),
                rate_before=float(expit(at)),
                rate_after=float(expit(at + value)),
            )
        )
    return InterruptedSeries(
        steps=tuple(steps),
        trend_per_year=float(np.exp(per_year)),
        dispersion=dispersion,
        memory=memory,
    )


def _difference(
    before: Series, after: Series, widening: float, confidence: float
) -> ShareDifference:
    """Both shares with their own intervals, and their difference allowing for the weeks'."""
    sides = (before, after)
    effects = (before.design_effect(), after.design_effect())
    counts = [(int(side.counts.sum()), int(side.totals.sum())) for side in sides]
    pair = difference_of(
        *counts,
        confidence=confidence,
        design_effect=(effects[0].times(widening), effects[1].times(widening)),
    )
    first, second = (
        share_of(*count, design_effect=effect)
        for count, effect in zip(counts, effects, strict=True)
    )
    return replace(pair, first=first, second=second)


def _dispersion_within(*sides: Series) -> float:
    """Variation beyond chance and clustering on both sides of a change, as a variance ratio."""
    known = [side for side in sides if len(side.starts) >= LEAST_STEPS]
    spreads = [
        spread_beyond_chance(side.counts, side.totals, design_effects=side.effects) ** 2
        for side in known
    ]
    return float(np.mean(spreads)) if spreads else 1.0


__all__ = [
    "BeforeAfter",
    "InterruptedSeries",
    "Series",
    "Step",
    "before_after",
    "interrupted_series",
]
