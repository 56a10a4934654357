"""Rate measurements against a view's criteria: outcome, margin and reasons, for many at once."""

from collections.abc import Iterable
from dataclasses import dataclass
from enum import IntEnum

import numpy as np
from numpy.typing import NDArray

from bitewright.quality.criteria import (
    Criterion,
    CriterionName,
    Question,
    criteria,
    overlap_limits,
)
from bitewright.quality.measure import Measurements, not_seen
from bitewright.quality.questions import AnyQuestion, Needs, needs
from bitewright.quality.rating_schemes import RatingScheme
from bitewright.quality.wanted import edges

Floats = NDArray[np.float64]
Flags = NDArray[np.bool_]


FAR_APART_MM = 99.0
BEFORE_OTHERS = 1e6
"""Set off from a value so that it comes before every other."""


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
    READABLE = 1
    """Overlapped, but not too widely for the question."""
    UNREADABLE = 2
    NOT_SHOWN = 3
    UNKNOWN = 4
    NOT_TOLD_FROM_OPEN = 5
    """Measured as overlapped by marks that leave room for its being open, or as open by marks by
    which it rather is not."""
    NOT_TOLD_FROM_READABLE = 6
    """Measured as unreadable by marks by which it is rather readable."""


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
    needed_rooms : (E, K) float array
        The same of what the question needs alone; NaN also where it needs nothing.
    worst : (E, K) int array
        Which contact, surface or crest decided it; -1 where the criterion has one value.
    needed : (E, K) bool array
        Whether the question needs the place that decided.
    unsettled : (E, K) bool array
        Whether something that the question needs is not known, and nothing known has failed.
    states : (E, C) int array
        `ContactState` of each contact.
    """

    names: tuple[CriterionName, ...]
    outcomes: NDArray[np.int8]
    rooms: Floats
    needed_rooms: Floats
    worst: NDArray[np.int64]
    needed: Flags
    unsettled: Flags
    states: NDArray[np.int8]

    def grade(self, scheme: RatingScheme) -> list[str]:
        """Grade of each exposure; "?" where what is known does not settle it.

        What is not known and not needed leaves its grade standing.
        """
        failed = (self.outcomes == Outcome.FAILED).any(axis=1)
        short = (self.outcomes == Outcome.SHORT).any(axis=1)
        unsettled = np.asarray(self.unsettled.any(axis=1))
        return [
            scheme.grades["some_failed"]
            if f
            else "?"
            if u
            else scheme.grades["some_short" if s else "all_met"]
            for f, s, u in zip(failed, short, unsettled, strict=True)
        ]


def rate(measured: Measurements, *, question: AnyQuestion = Question.ENAMEL) -> Rating:
    """Apply every criterion that a view asks to E measured exposures.

    A criterion fails where what the question needs is beyond its limit; what the question does not
    need can only fall short. "Contacts open" fails where an overlap cannot be read for the
    question; a readable overlap is short of the target, which is open.

    Raises
    ------
    NamedSurfacesError, SurfaceNotInViewError
    """
    table = criteria()
    need = needs(question, measured.wanted)
    states = contact_states(measured, open_mm=overlap_limits().open_mm, need=need)
    columns = _columns(measured, states, need)
    judged = [_judge(table[name], of) for name, of in columns.items()]
    return Rating(
        names=tuple(columns),
        outcomes=np.stack([each.outcome for each in judged], axis=1),
        rooms=np.stack([each.room for each in judged], axis=1),
        needed_rooms=np.stack([each.needed_room for each in judged], axis=1),
        worst=np.stack([each.place for each in judged], axis=1),
        needed=np.stack([each.needed for each in judged], axis=1),
        unsettled=np.stack([each.unsettled for each in judged], axis=1),
        states=states,
    )


def contact_states(measured: Measurements, *, open_mm: float, need: Needs) -> NDArray[np.int8]:
    """State of each contact (E, C)."""
    unreadable = measured.enamel_share > need.unreadable_share
    state = np.where(
        measured.overlap_mm <= open_mm,
        ContactState.OPEN,
        np.where(unreadable, ContactState.UNREADABLE, ContactState.READABLE),
    )
    status = measured.contact_status
    state = np.where(np.isnan(measured.overlap_mm), ContactState.UNKNOWN, state)
    return np.where(not_seen(status), ContactState.NOT_SHOWN, state).astype(np.int8)


@dataclass(frozen=True, slots=True, eq=False)
class _Asked:
    """What one criterion is judged by.

    Parameters
    ----------
    values : (E, n) float array
        Larger is better: upper limits come in with the sign turned.
    needed : (n,) bool array
        Whether the question needs each place.
    failing : (E, n) bool array or None
        Where it fails, if that is not told by its limit.
    is_single : bool
        Whether it has one value and no place.
    """

    values: Floats
    needed: Flags
    failing: Flags | None = None
    is_single: bool = False


def _columns(
    measured: Measurements, states: NDArray[np.int8], need: Needs
) -> dict[CriterionName, _Asked]:
    want = measured.wanted
    at_contact = _flags(bool(need.surfaces & set(edges(pair))) for pair in want.contacts)
    shown = states != ContactState.NOT_SHOWN
    # A contact that is off the image is failed once, as not shown.
    overlap = np.where(shown, measured.overlap_mm, -FAR_APART_MM)
    hopeless = shown & (measured.enamel_share > need.unreadable_share)

    def surfaces(values: Floats, names: tuple[str, ...]) -> _Asked:
        return _Asked(values, _flags(name in need.surfaces for name in names))

    def single(values: Floats, *, needed: bool) -> _Asked:
        return _Asked(values[:, None], np.array([needed]), is_single=True)

    beam = measured.beam_margin_mm
    crest_is_needed = _flags(name in need.crests for name in want.crests)
    return {
        CriterionName.CONTACTS_SHOWN: _Asked(measured.contact_margin_mm, at_contact),
        CriterionName.CONTACTS_OPEN: _Asked(-overlap, at_contact, hopeless),
        CriterionName.CANINE_DISTAL: surfaces(measured.front_margin_mm, want.front_surfaces),
        CriterionName.GAPS_SHOWN: surfaces(measured.gap_margin_mm, want.gap_surfaces),
        CriterionName.LAST_DISTAL: surfaces(measured.last_margin_mm, want.last_surfaces),
        CriterionName.CREST: _Asked(measured.crest_clearance_mm, crest_is_needed),
        CriterionName.LEVEL: single(-np.abs(measured.occlusal_slope_deg), needed=need.level),
        CriterionName.CENTRAL: single(-np.abs(measured.occlusal_offset_mm), needed=False),
        CriterionName.CLOSURE: single(-measured.closure_mm, needed=False),
        CriterionName.BEAM: _Asked(beam, np.zeros(beam.shape[1], dtype=np.bool_)),
    }


def _flags(each: Iterable[bool]) -> Flags:
    return np.array(list(each), dtype=np.bool_)


UPPER_LIMITS = frozenset(
    {
        CriterionName.CONTACTS_OPEN,
        CriterionName.LEVEL,
        CriterionName.CENTRAL,
        CriterionName.CLOSURE,
    }
)
"""Criteria whose value must not be more than their limits; others must not have less."""


@dataclass(frozen=True, slots=True, eq=False)
class _Judged:
    """How one criterion came out in E exposures, (E,) each, as in `Rating`."""

    outcome: NDArray[np.int8]
    room: Floats
    needed_room: Floats
    place: NDArray[np.int64]
    needed: Flags
    unsettled: Flags


def _judge(criterion: Criterion, asked: _Asked) -> _Judged:
    """Outcome, room and deciding place of one criterion.

    A needed place that fails decides; else the least value does. A known failure decides, a known
    success does not while something else is unknown.
    """
    count, places = asked.values.shape
    if places == 0:
        none = np.zeros(count, dtype=np.bool_)
        nothing = np.full(count, Outcome.NOT_ASKED, dtype=np.int8)
        unknown_room = np.full(count, np.nan)
        return _Judged(nothing, unknown_room, unknown_room, np.full(count, -1), none, none)
    sign = -1.0 if criterion.name in UPPER_LIMITS else 1.0
    failing = _failing(criterion, asked, sign)
    unknown = np.isnan(asked.values)
    known = np.where(unknown, np.inf, asked.values)
    least = known.min(axis=1)
    least_needed = np.where(asked.needed, known, np.inf).min(axis=1)
    room, needed_room = (
        np.where(np.isposinf(each), np.nan, (each - sign * criterion.met) / criterion.step)
        for each in (least, least_needed)
    )
    place = np.where(failing, known - BEFORE_OTHERS, known).argmin(axis=1)
    has_failed = failing.any(axis=1)
    outcome = np.where(room >= 0.0, Outcome.MET, Outcome.SHORT)
    outcome = np.where(unknown.any(axis=1), Outcome.UNKNOWN, outcome)
    outcome = np.where(has_failed, Outcome.FAILED, outcome)
    return _Judged(
        outcome=outcome.astype(np.int8),
        room=room,
        needed_room=needed_room,
        place=np.full(count, -1) if asked.is_single else place,
        needed=asked.needed[place],
        unsettled=np.asarray((unknown & asked.needed).any(axis=1)) & ~has_failed,
    )


def _failing(criterion: Criterion, asked: _Asked, sign: float) -> Flags:
    """Where what is needed has failed, (E, n)."""
    if asked.failing is not None:
        return np.asarray(asked.failing & asked.needed)
    if criterion.fails is None:
        return np.zeros(asked.values.shape, dtype=np.bool_)
    return np.asarray((asked.values < sign * criterion.fails) & asked.needed)


__all__ = [
    "UPPER_LIMITS",
    "ContactState",
    "Outcome",
    "Rating",
    "contact_states",
    "rate",
]
