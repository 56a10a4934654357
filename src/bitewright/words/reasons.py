"""Why a rating is what it is: one finding a criterion, with the value, the place and the limit."""

from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from bitewright.quality.criteria import (
    Criterion,
    CriterionName,
    Question,
    criteria,
    overlap_limits,
)
from bitewright.quality.doubts import Doubt, doubt, doubt_words, other_words
from bitewright.quality.measure import Measurements
from bitewright.quality.rating import ContactState, Outcome, Rating, RatingScheme
from bitewright.quality.wanted import Pair

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
    sentence : str
    doubt : Doubt or None
        What else it may be by the marks, which the sentence tells too.
    """

    criterion: Criterion
    outcome: Outcome
    value: float | None
    sd: float | None
    place: str | None
    sentence: str
    doubt: Doubt | None = None


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
    question: Question = Question.ENAMEL,
) -> tuple[Finding, ...]:
    """Findings of one exposure, the worst first; criteria that are not asked are left out."""
    made = [
        _finding(name, measured, rating, exposure, column, question)
        for column, name in enumerate(rating.names)
        if rating.outcomes[exposure, column] != Outcome.NOT_ASKED
    ]
    order = (Outcome.FAILED, Outcome.UNKNOWN, Outcome.SHORT, Outcome.MET)
    return tuple(sorted(made, key=lambda finding: order.index(finding.outcome)))


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


def rating_doubt(rating: Rating, findings: Sequence[Finding], scheme: RatingScheme) -> str | None:
    """One sentence, where one doubtful criterion would give another grade; else None."""
    told = [(finding.criterion.name, finding.doubt) for finding in findings if finding.doubt]
    grade = rating.grade(scheme)[0]
    for name, said in sorted(told, key=lambda each: -each[1].chance):
        outcomes = rating.outcomes.copy()
        outcomes[0, rating.names.index(name)] = said.other
        another = replace(rating, outcomes=outcomes).grade(scheme)[0]
        if another != grade:
            return (
                f"The rating is uncertain: by the marks the chance is {said.chance:.0%} that "
                f"{name.value} {other_words(said)}, and the rating then {another}."
            )
    return None


def pair_name(pair: Pair) -> str:
    """A contact's name, nearer the midline first: "15-16"."""
    return f"{pair[0]}-{pair[1]}"


def _finding(
    name: CriterionName,
    measured: Measurements,
    rating: Rating,
    exposure: int,
    column: int,
    question: Question,
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
        fails = criterion.fails
        if name is CriterionName.CONTACTS_OPEN:
            fails = _unreadable_mm(measured, exposure, worst, question)
        doubtful = doubt(criterion, outcome, known, sd, fails=fails)
    return Finding(
        criterion=criterion,
        outcome=outcome,
        value=known,
        sd=sd,
        place=place,
        sentence=_sentence(criterion, outcome, known, sd, place, doubtful),
        doubt=doubtful,
    )


def _unreadable_mm(
    measured: Measurements, exposure: int, contact: int, question: Question
) -> float | None:
    """The overlap beyond which a contact cannot be read; None where none is too much. [mm]"""
    overlap, share = (
        float(table[exposure, contact]) for table in (measured.overlap_mm, measured.enamel_share)
    )
    most = overlap_limits().unreadable_share(question)
    return most * overlap / share if share > 0.0 and np.isfinite(most) else None


def _contact_names(measured: Measurements) -> list[str]:
    return [pair_name(pair) for pair in measured.wanted.contacts]


def _front_names(measured: Measurements) -> list[str]:
    return list(measured.wanted.front_surfaces)


def _last_names(measured: Measurements) -> list[str]:
    return list(measured.wanted.last_surfaces)


def _crest_names(measured: Measurements) -> list[str]:
    return [name.removesuffix(".crest") for name in measured.wanted.crests]


_SOURCES = {
    CriterionName.CONTACTS_SHOWN: ("contact_margin_mm", _contact_names),
    CriterionName.CONTACTS_OPEN: ("overlap_mm", _contact_names),
    CriterionName.CANINE_DISTAL: ("front_margin_mm", _front_names),
    CriterionName.LAST_DISTAL: ("last_margin_mm", _last_names),
    CriterionName.CREST: ("crest_clearance_mm", _crest_names),
    CriterionName.LEVEL: ("occlusal_slope_deg", _contact_names),
    CriterionName.CENTRAL: ("occlusal_offset_mm", _contact_names),
    CriterionName.CLOSURE: ("closure_mm", _contact_names),
}

_MEASURE = {
    CriterionName.CONTACTS_SHOWN: "nearest to the edge",
    CriterionName.CONTACTS_OPEN: "widest overlap",
    CriterionName.CANINE_DISTAL: "inside the edge by",
    CriterionName.LAST_DISTAL: "inside the edge by",
    CriterionName.CREST: "least bone beyond the crest",
    CriterionName.LEVEL: "slope, positive with the front lower",
    CriterionName.CENTRAL: "below the image's middle by",
    CriterionName.CLOSURE: "apart beyond the bite block by",
}

_VERDICT = {
    Outcome.MET: "met",
    Outcome.SHORT: "short of its target",
    Outcome.FAILED: "failed",
    Outcome.UNKNOWN: "cannot tell",
}


def _sentence(
    criterion: Criterion,
    outcome: Outcome,
    value: float | None,
    sd: float | None,
    place: str | None,
    doubtful: Doubt | None,
) -> str:
    said = f"{criterion.says[0].upper()}{criterion.says[1:]}: {_VERDICT[outcome]}"
    where = "" if place is None else f" at {place}"
    if value is None:
        return f"{said} (what it needs is not known)."
    if criterion.name in _MARGINS and value <= 0.0:
        return f"{said} (off the image{where})."
    measure = _MEASURE[criterion.name]
    if criterion.name is CriterionName.CONTACTS_OPEN and value < 0.0:
        measure, value = "narrowest space", -value
    unit = " degrees" if criterion.unit == "deg" else " mm"
    digits = 2 if criterion.name is CriterionName.CONTACTS_OPEN else 1
    spread = f" ± {sd:.{digits}f}" if sd else ""
    rest = "; not all of it is marked" if outcome is Outcome.UNKNOWN else ""
    sentence = f"{said} ({measure} {value:.{digits}f}{spread}{unit}{where}{rest})."
    if doubtful is None:
        return sentence
    return f"{sentence} {doubt_words(doubtful, unit=unit, digits=digits)}"


_MARGINS = frozenset(
    {
        CriterionName.CONTACTS_SHOWN,
        CriterionName.CANINE_DISTAL,
        CriterionName.LAST_DISTAL,
        CriterionName.CREST,
    }
)


def _known(value: float) -> float | None:
    return float(value) if np.isfinite(value) else None


__all__ = [
    "ContactFinding",
    "Finding",
    "contact_findings",
    "findings",
    "pair_name",
    "rating_doubt",
]
