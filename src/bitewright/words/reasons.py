"""Why a rating is what it is: a sentence a criterion, and what may turn the grade."""

from bitewright.quality.criteria import CriterionName, criteria
from bitewright.quality.doubts import Doubt
from bitewright.quality.findings import Finding, GradeDoubt
from bitewright.quality.rating import Outcome
from bitewright.words.landmarks import place_title


def reason(finding: Finding) -> str:
    """How a criterion came out and by what, and how near that lies to turning."""
    criterion, outcome, value, sd = finding.criterion, finding.outcome, finding.value, finding.sd
    said = f"{criterion.says[0].upper()}{criterion.says[1:]}: {_VERDICT[outcome]}"
    where = "" if finding.place is None else f" at {place_title(finding.place)}"
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
    if finding.doubt is None:
        return sentence
    return f"{sentence} {_doubt(finding.doubt, unit=unit, digits=digits)}"


def rating_doubt(said: GradeDoubt) -> str:
    """That a rating is uncertain: by which criterion, how likely, and what it then is."""
    return (
        f"The rating is uncertain: by the marks the chance is {said.doubt.chance:.0%} that "
        f"'{criteria()[said.criterion].title}' {_other(said.doubt)}, and the rating then "
        f"{said.other_grade}."
    )


def _doubt(said: Doubt, *, unit: str, digits: int) -> str:
    limit = "target" if said.is_target else "limit"
    return (
        f"Uncertain: the {limit} is {said.limit:.{digits}f}{unit}, and by the marks the chance is "
        f"{said.chance:.0%} that it {_other(said)}."
    )


def _other(said: Doubt) -> str:
    """The other verdict, as of a criterion."""
    if said.other is Outcome.SHORT:
        return "is short of its target" if said.is_target else "is only short of its target"
    return "is met" if said.other is Outcome.MET else "fails"


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

_MARGINS = frozenset(
    {
        CriterionName.CONTACTS_SHOWN,
        CriterionName.CANINE_DISTAL,
        CriterionName.LAST_DISTAL,
        CriterionName.CREST,
    }
)


__all__ = ["rating_doubt", "reason"]
