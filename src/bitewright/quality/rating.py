"""Rate measurements against a view's criteria: outcome, margin and reasons, for many at once."""

from dataclasses import dataclass
from enum import IntEnum

import numpy as np
from numpy.typing import NDArray

from bitewright.quality.criteria import (
    Criterion,
    CriterionName,
    OverlapLimits,
    Question,
    criteria,
    is_required,
    overlap_limits,
)
from bitewright.quality.measure import NOT_SEEN, Measurements
from bitewright.quality.rating_schemes import RatingScheme

Floats = NDArray[np.float64]
Flags = NDArray[np.bool_]


FAR_APART_MM = 99.0


class Outcome(IntEnum):
    """How a criterion came out. Higher is worse, except that unknown is neither."""

    MET = 0
    SHORT = 1
    FAILED = 2
    UNKNOWN = 3
    NOT_ASKED = 4


class ContactState(IntEnum):
    """What a contact looks like on the film."""

    OPEN = 0
    SLIGHT = 1
    UNREADABLE = 2
    NOT_SHOWN = 3
    UNKNOWN = 4


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Rating:
    """Outcomes of E exposures.

    Parameters
    ----------
    names : tuple of K CriterionName
    outcomes : (E, K) int array
        `Outcome` of each.
    rooms : (E, K) float array
        Distance inside each target in units of its step; negative is short of it; NaN unknown.
    worst : (E, K) int array
        Which contact, surface or crest decided it; -1 where the criterion has one value.
    states : (E, C) int array
        `ContactState` of each contact.
    """

    names: tuple[CriterionName, ...]
    outcomes: NDArray[np.int8]
    rooms: Floats
    worst: NDArray[np.int64]
    states: NDArray[np.int8]

    def grade(self, scheme: RatingScheme) -> list[str]:
        """Grade of each exposure; "?" where what is known does not settle it.

        An unknown criterion that cannot fail a film leaves its grade standing.
        """
        failed = (self.outcomes == Outcome.FAILED).any(axis=1)
        short = (self.outcomes == Outcome.SHORT).any(axis=1)
        deciding = [is_required(name) for name in self.names]
        unknown = (self.outcomes[:, deciding] == Outcome.UNKNOWN).any(axis=1)
        return [
            scheme.grades["some_failed"]
            if f
            else "?"
            if u
            else scheme.grades["some_short" if s else "all_met"]
            for f, s, u in zip(failed, short, unknown, strict=True)
        ]


def rate(measured: Measurements, *, question: Question = Question.ENAMEL) -> Rating:
    """Apply every criterion that a view asks to E measured exposures.

    "Contacts open" fails where an overlap is unreadable for the question; a slight overlap is
    short of the target, which is open.
    """
    limits = overlap_limits()
    table = criteria()
    states = contact_states(measured, limits=limits, question=question)
    shown = states != ContactState.NOT_SHOWN
    # A contact that is off the image is failed once, as not shown.
    overlap = np.where(shown, measured.overlap_mm, -FAR_APART_MM)
    too_far = limits.unreadable_share(question)
    hopeless = shown & (measured.enamel_share > too_far)
    columns = {
        CriterionName.CONTACTS_SHOWN: _least(measured.contact_margin_mm),
        CriterionName.CONTACTS_OPEN: _least(-overlap),
        CriterionName.CANINE_DISTAL: _least(measured.front_margin_mm),
        CriterionName.LAST_DISTAL: _least(measured.last_margin_mm),
        CriterionName.CREST: _least(measured.crest_clearance_mm),
        CriterionName.LEVEL: _single(-np.abs(measured.occlusal_slope_deg)),
        CriterionName.CENTRAL: _single(-np.abs(measured.occlusal_offset_mm)),
        CriterionName.CLOSURE: _single(-measured.closure_mm),
        CriterionName.BEAM: _least(measured.beam_margin_mm),
    }
    judged = [_judge(table[name], worst) for name, worst in columns.items()]
    outcomes = np.stack([outcome for outcome, _ in judged], axis=1)
    opened = list(columns).index(CriterionName.CONTACTS_OPEN)
    outcomes[hopeless.any(axis=1), opened] = Outcome.FAILED
    # A known failure decides; a known success does not while something else is unknown.
    unsettled = np.stack([worst.unsettled for worst in columns.values()], axis=1)
    outcomes[unsettled & (outcomes != Outcome.FAILED)] = Outcome.UNKNOWN
    return Rating(
        names=tuple(columns),
        outcomes=outcomes,
        rooms=np.stack([room for _, room in judged], axis=1),
        worst=np.stack([worst.place for worst in columns.values()], axis=1),
        states=states,
    )


def contact_states(
    measured: Measurements, *, limits: OverlapLimits, question: Question
) -> NDArray[np.int8]:
    """State of each contact (E, C)."""
    unreadable = measured.enamel_share > limits.unreadable_share(question)
    state = np.where(
        measured.overlap_mm <= limits.open_mm,
        ContactState.OPEN,
        np.where(unreadable, ContactState.UNREADABLE, ContactState.SLIGHT),
    )
    status = measured.contact_status
    state = np.where(np.isnan(measured.overlap_mm), ContactState.UNKNOWN, state)
    off = np.isin(status, NOT_SEEN)
    return np.where(off, ContactState.NOT_SHOWN, state).astype(np.int8)


@dataclass(frozen=True, slots=True, eq=False)
class _Worst:
    """The deciding value of one criterion in E exposures.

    ``value`` is infinite where nothing is asked and NaN where nothing is known; ``place`` is its
    column or -1; ``unsettled`` where some column is unknown.
    """

    value: Floats
    place: NDArray[np.int64]
    unsettled: Flags


def _least(values: Floats) -> _Worst:
    count = len(values)
    if values.shape[1] == 0:
        return _Worst(np.full(count, np.inf), np.full(count, -1), np.zeros(count, dtype=np.bool_))
    known = np.where(np.isnan(values), np.inf, values)
    place = known.argmin(axis=1)
    least = known[np.arange(count), place]
    unsettled = np.asarray(np.isnan(values).any(axis=1), dtype=np.bool_)
    return _Worst(np.where(np.isposinf(least), np.nan, least), place, unsettled)


def _single(values: Floats) -> _Worst:
    return _Worst(values, np.full(len(values), -1), np.isnan(values))


UPPER_LIMITS = frozenset(
    {
        CriterionName.CONTACTS_OPEN,
        CriterionName.LEVEL,
        CriterionName.CENTRAL,
        CriterionName.CLOSURE,
    }
)
"""Criteria whose value must not be more than their limits; others must not have less."""


def _judge(criterion: Criterion, worst: _Worst) -> tuple[NDArray[np.int8], Floats]:
    """Outcome and room of one criterion; upper limits come in with the sign turned."""
    value = worst.value
    sign = -1.0 if criterion.name in UPPER_LIMITS else 1.0
    room = (value - sign * criterion.met) / criterion.step
    outcome = np.where(room >= 0.0, Outcome.MET, Outcome.SHORT)
    if criterion.fails is not None:
        outcome = np.where(value < sign * criterion.fails, Outcome.FAILED, outcome)
    outcome = np.where(np.isnan(value), Outcome.UNKNOWN, outcome)
    outcome = np.where(np.isposinf(value), Outcome.NOT_ASKED, outcome)
    return outcome.astype(np.int8), np.where(np.isposinf(value), np.nan, room)


__all__ = [
    "UPPER_LIMITS",
    "ContactState",
    "Outcome",
    "Rating",
    "contact_states",
    "rate",
]
