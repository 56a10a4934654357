"""What decided a rating: one finding a criterion, with its value, place and doubt. Numbers only."""

from collections.abc import Callable
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from bitewright.exposing.beam_cover import BEAM_PLACES
from bitewright.exposing.landmarks import Status
from bitewright.quality.criteria import (
    Criterion,
    CriterionName,
    Question,
    criteria,
)
from bitewright.quality.doubts import Doubt, doubt
from bitewright.quality.measure import NOT_SEEN, Measurements
from bitewright.quality.questions import AnyQuestion, needs, unreadable_share
from bitewright.quality.rating import ContactState, Outcome, Rating
from bitewright.quality.wanted import Pair, edges

Floats = NDArray[np.float64]


@dataclass(frozen=True, slots=True, kw_only=True)
class Finding:
    """How one criterion came out in one exposure.

    Parameters
    ----------
    criterion : Criterion
    outcome : Outcome
    value : float or None
        The deciding value, in the criterion's unit; None where nothing is known.
    sd : float or None
        Its standard deviation, for a marked film.
    place : str or None
        The contact, surface or crest that decided.
    doubt : Doubt or None
        What else it may be by the marks.
    status : Status
        What became of that place on the image.
    needed : bool
        Whether the question needs that place; else it is ideal.
    unsettled : bool
        Whether something that the question needs is not known, and nothing known has failed.
    """

    criterion: Criterion
    outcome: Outcome
    value: float | None
    sd: float | None
    place: str | None
    doubt: Doubt | None = None
    status: Status = Status.SEEN
    needed: bool = True
    unsettled: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class ContactFinding:
    """One contact in one exposure. Overlap in mm, negative is a space."""

    name: str
    overlap_mm: float | None
    overlap_sd_mm: float | None
    enamel_share: float | None
    state: ContactState


def findings(
    measured: Measurements,
    rating: Rating,
    *,
    exposure: int = 0,
    question: AnyQuestion = Question.ENAMEL,
) -> tuple[Finding, ...]:
    """Findings of one exposure, the worst first; criteria that are not asked are left out."""
    made = [
        _finding(name, measured, rating, exposure, column, question)
        for column, name in enumerate(rating.names)
        if rating.outcomes[exposure, column] != Outcome.NOT_ASKED
    ]
    order = (Outcome.FAILED, Outcome.UNKNOWN, Outcome.SHORT, Outcome.MET)
    return tuple(sorted(made, key=lambda finding: order.index(finding.outcome)))


def not_shown(measured: Measurements, *, exposure: int = 0) -> tuple[str, ...]:
    """What the view wants and one exposure does not show: contacts, surfaces and crests by name."""
    want = measured.wanted
    gone = {name for name in want.names if int(measured.gone[name][exposure]) in NOT_SEEN}
    contacts = [pair for pair in want.contacts if gone.intersection(edges(pair))]
    told = {name for pair in contacts for name in edges(pair)}
    return (*map(pair_name, contacts), *(name for name in want.names if name in gone - told))


def needed_not_shown(
    measured: Measurements, question: AnyQuestion, *, exposure: int = 0
) -> tuple[str, ...]:
    """What of `not_shown` the question needs.

    Raises
    ------
    NamedSurfacesError, SurfaceNotInViewError
    """
    need = needs(question, measured.wanted)
    needed = {*need.surfaces, *need.crests}
    needed |= {
        pair_name(pair)
        for pair in measured.wanted.contacts
        if need.surfaces.intersection(edges(pair))
    }
    return tuple(name for name in not_shown(measured, exposure=exposure) if name in needed)


def unreadable_contacts(
    measured: Measurements, rating: Rating, question: AnyQuestion, *, exposure: int = 0
) -> tuple[tuple[str, ...], tuple[str, ...]]:
    """Contacts shown that cannot be read: those the question needs, and the others.

    Raises
    ------
    NamedSurfacesError, SurfaceNotInViewError
    """
    surfaces = needs(question, measured.wanted).surfaces
    shut = [
        pair
        for pair, state in zip(measured.wanted.contacts, rating.states[exposure], strict=True)
        if state == ContactState.UNREADABLE
    ]
    needed = [pair for pair in shut if surfaces.intersection(edges(pair))]
    return (
        tuple(pair_name(pair) for pair in needed),
        tuple(pair_name(pair) for pair in shut if pair not in needed),
    )


def not_marked(measured: Measurements, *, exposure: int = 0) -> tuple[str, ...]:
    """What the view wants and of which nobody told whether the film shows it, by name.

    Contacts with an edge that is not marked, single surfaces and crests; none that is not shown.
    """
    want = measured.wanted
    open_yet = {name for name in want.names if measured.gone[name][exposure] == Status.UNMARKED}
    gone = set(not_shown(measured, exposure=exposure))
    contacts = [
        pair
        for pair in want.contacts
        if open_yet.intersection(edges(pair)) and pair_name(pair) not in gone
    ]
    told = {name for pair in want.contacts for name in edges(pair)}
    return (*map(pair_name, contacts), *(name for name in want.names if name in open_yet - told))


def contact_findings(
    measured: Measurements, rating: Rating, *, exposure: int = 0
) -> tuple[ContactFinding, ...]:
    """Every contact of the view in one exposure, upper arch first, front to back."""
    sd = measured.sd.get("overlap_mm")
    return tuple(
        ContactFinding(
            name=pair_name(pair),
            overlap_mm=_known(measured.overlap_mm[exposure, c]),
            overlap_sd_mm=None if sd is None else _known(sd[exposure, c]),
            enamel_share=_known(measured.enamel_share[exposure, c]),
            state=ContactState(int(rating.states[exposure, c])),
        )
        for c, pair in enumerate(measured.wanted.contacts)
    )


def pair_name(pair: Pair) -> str:
    """A contact's name, nearer the midline first: "15-16"."""
    return f"{pair[0]}-{pair[1]}"


def _finding(
    name: CriterionName,
    measured: Measurements,
    rating: Rating,
    exposure: int,
    column: int,
    question: AnyQuestion,
) -> Finding:
    criterion = criteria()[name]
    field, places = _SOURCES[name]
    values: Floats = getattr(measured, field)
    worst = int(rating.worst[exposure, column])
    has_place = worst >= 0
    value = values[exposure, worst] if has_place else np.ravel(values[exposure])[0]
    deviation = measured.sd.get(field)
    sd = None
    if deviation is not None:
        sd = _known(deviation[exposure, worst] if has_place else np.ravel(deviation[exposure])[0])
    place = places(measured)[worst] if has_place else None
    outcome = Outcome(int(rating.outcomes[exposure, column]))
    known = _known(value)
    doubtful = None
    if known is not None and sd:
        fails = criterion.fails if rating.needed[exposure, column] else None
        if name is CriterionName.CONTACTS_OPEN and rating.needed[exposure, column]:
            fails = _unreadable_mm(measured, exposure, worst, question)
        doubtful = doubt(criterion, outcome, known, sd, fails=fails)
    return Finding(
        criterion=criterion,
        outcome=outcome,
        value=known,
        sd=sd,
        place=place,
        doubt=doubtful,
        status=_status(name, measured, exposure, worst),
        needed=bool(rating.needed[exposure, column]),
        unsettled=bool(rating.unsettled[exposure, column]),
    )


def _status(name: CriterionName, measured: Measurements, exposure: int, worst: int) -> Status:
    """What became of the place that decided."""
    if name is CriterionName.CONTACTS_SHOWN and worst >= 0:
        return Status(int(measured.contact_status[exposure, worst]))
    if name not in _LANDMARKS or worst < 0:
        return Status.SEEN
    return Status(int(measured.gone[_LANDMARKS[name](measured)[worst]][exposure]))


def _unreadable_mm(
    measured: Measurements, exposure: int, contact: int, question: AnyQuestion
) -> float | None:
    """The overlap beyond which a contact cannot be read; None where none is too much. [mm]"""
    overlap, share = (
        float(table[exposure, contact]) for table in (measured.overlap_mm, measured.enamel_share)
    )
    most = unreadable_share(question)
    return most * overlap / share if share > 0.0 and np.isfinite(most) else None


def _contact_names(measured: Measurements) -> list[str]:
    return [pair_name(pair) for pair in measured.wanted.contacts]


def _front_names(measured: Measurements) -> list[str]:
    return list(measured.wanted.front_surfaces)


def _gap_names(measured: Measurements) -> list[str]:
    return list(measured.wanted.gap_surfaces)


def _last_names(measured: Measurements) -> list[str]:
    return list(measured.wanted.last_surfaces)


def _crest_names(measured: Measurements) -> list[str]:
    return [name.removesuffix(".crest") for name in measured.wanted.crests]


def _beam_names(_measured: Measurements) -> list[str]:
    return list(BEAM_PLACES)


_SOURCES = {
    CriterionName.CONTACTS_SHOWN: ("contact_margin_mm", _contact_names),
    CriterionName.CONTACTS_OPEN: ("overlap_mm", _contact_names),
    CriterionName.CANINE_DISTAL: ("front_margin_mm", _front_names),
    CriterionName.GAPS_SHOWN: ("gap_margin_mm", _gap_names),
    CriterionName.LAST_DISTAL: ("last_margin_mm", _last_names),
    CriterionName.CREST: ("crest_clearance_mm", _crest_names),
    CriterionName.LEVEL: ("occlusal_slope_deg", _contact_names),
    CriterionName.CENTRAL: ("occlusal_offset_mm", _contact_names),
    CriterionName.CLOSURE: ("closure_mm", _contact_names),
    CriterionName.BEAM: ("beam_margin_mm", _beam_names),
}
_LANDMARKS: dict[CriterionName, Callable[[Measurements], list[str]]] = {
    CriterionName.CANINE_DISTAL: _front_names,
    CriterionName.GAPS_SHOWN: _gap_names,
    CriterionName.LAST_DISTAL: _last_names,
    CriterionName.CREST: lambda measured: list(measured.wanted.crests),
}


def _known(value: float) -> float | None:
    return float(value) if np.isfinite(value) else None


__all__ = [
    "ContactFinding",
    "Finding",
    "contact_findings",
    "findings",
    "needed_not_shown",
    "not_marked",
    "not_shown",
    "pair_name",
    "unreadable_contacts",
]
