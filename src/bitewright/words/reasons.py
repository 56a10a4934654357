"""Why a rating is what it is: a sentence a criterion."""

from bitewright.exposing.landmarks import Status
from bitewright.quality.criteria import Criterion, CriterionName
from bitewright.quality.doubts import Doubt
from bitewright.quality.findings import Finding
from bitewright.quality.rating import UPPER_LIMITS, Outcome
from bitewright.words.landmarks import place_title


def reason(finding: Finding) -> str:
    """What decided a criterion and how that came out, and how near it lies to turning."""
    criterion, value = finding.criterion, finding.value
    if finding.outcome is Outcome.SHORT and value is None:
        return "A cone cut was seen: mark its edge to tell how much it hides."
    if value is None:
        if criterion.name is CriterionName.CLOSURE:
            return CLOSURE_UNKNOWN
        return f"Cannot tell without {NEEDS[criterion.name]}."
    place = "" if finding.place is None else place_title(finding.place)
    fact = _fact(finding, value, _figure(criterion, abs(value), finding.sd), place)
    sentence = f"{fact}: {_verdict(finding)}."
    return sentence if finding.doubt is None else f"{sentence} {_doubt(criterion, finding.doubt)}"


NEEDS = {
    CriterionName.CONTACTS_SHOWN: "marks on both edges of the contacts",
    CriterionName.CONTACTS_OPEN: "marks on both edges of the contacts",
    CriterionName.CANINE_DISTAL: "marks on the distal edges of the canines",
    CriterionName.GAPS_SHOWN: "marks on the surfaces beside the gap",
    CriterionName.LAST_DISTAL: "a mark on the distal edge of the last tooth",
    CriterionName.CREST: "marks on the bone crests",
    CriterionName.LEVEL: "marks on cusps or contacts of two teeth or more",
    CriterionName.CENTRAL: "marks on cusps or contacts of both jaws",
    CriterionName.CLOSURE: "the holder's name and marks on the cusps of both jaws",
    CriterionName.BEAM: "marks on the edge of the blank part",
}
"""What must be known for each."""

CLOSURE_UNKNOWN = "Cannot tell without both the holder's name and marks on the cusps of both jaws."
"""True whichever of the two is there already."""

NOT_ALL = {
    CriterionName.CONTACTS_SHOWN: "not every contact",
    CriterionName.CONTACTS_OPEN: "not every contact",
    CriterionName.CANINE_DISTAL: "not every canine's distal edge",
    CriterionName.GAPS_SHOWN: "not every surface beside the gap",
    CriterionName.LAST_DISTAL: "not every last tooth's distal edge",
    CriterionName.CREST: "not every bone crest",
}
"""What is not all marked where a criterion of many places is known in part."""


def _fact(finding: Finding, value: float, figure: str, place: str) -> str:
    """What decided, without a full stop; ``figure``: the value's size with its unit."""
    criterion = finding.criterion
    if criterion.name is CriterionName.BEAM:
        return _cover(value, figure, place)
    if criterion.name is CriterionName.CONTACTS_OPEN:
        measure = "narrowest space" if value < 0.0 else "widest overlap"
        is_ideal = finding.outcome is Outcome.SHORT and not finding.needed
        not_asked = ", which this question does not need" if is_ideal else ""
        return f"The {measure} is {figure}, at {place}{not_asked}"
    if criterion.name in UPPER_LIMITS:
        return _lie_of_the_bite(criterion.name, value, figure)
    return _shown(finding, value, figure, place)


def _shown(finding: Finding, value: float, figure: str, place: str) -> str:
    """How a contact, a surface or a crest lies in the image, or that it is not shown."""
    criterion = finding.criterion
    of_crest = criterion.name is CriterionName.CREST
    if value <= 0.0:
        what = f"The bone crest at {place}" if of_crest else place
        return f"{what} is {GONE.get(finding.status, 'off the image')}"
    if of_crest and finding.status is Status.SHOWN:
        return f"The bone crest at {place} is seen with bone beyond it"
    if of_crest:
        return f"The least bone beyond a crest is {figure}, at {place}"
    if criterion.name is CriterionName.CONTACTS_SHOWN:
        return f"{place}, nearest to the edge of the image, lies {figure} inside it"
    return f"{place} lies {figure} inside the edge of the image"


def _cover(value: float, figure: str, place: str) -> str:
    """How far the beam reaches."""
    if value < 0.0:
        return f"The beam misses {figure} at the {place} of the receptor, a cone cut"
    return f"The beam covers the whole receptor, with {figure} to spare at its {place}"


GONE = {Status.CUT: "cut off by the beam", Status.HIDDEN: "hidden"}
"""What became of a place that the image does not show, where it is not beyond its edge."""


def _lie_of_the_bite(name: CriterionName, value: float, figure: str) -> str:
    """How the occlusal plane lies, or how far the teeth are apart."""
    is_nought = figure.startswith("0.0 ")
    if name is CriterionName.LEVEL:
        side = "" if is_nought else f", its front end {'lower' if value > 0.0 else 'higher'}"
        return f"The occlusal plane slopes {figure}{side}"
    if name is CriterionName.CENTRAL:
        side = "from" if is_nought else "below" if value > 0.0 else "above"
        return f"The occlusal plane lies {figure} {side} the middle of the image"
    if is_nought:
        return "The teeth are closed on the bite block"
    if value > 0.0:
        return f"The teeth stand {figure} off the bite block"
    return f"The teeth are closed on the bite block, measured {figure} nearer than it is thick"


def _verdict(finding: Finding) -> str:
    criterion, outcome = finding.criterion, finding.outcome
    if outcome is Outcome.MET:
        return "target met"
    if outcome is Outcome.UNKNOWN:
        return (
            f"cannot tell yet, as {NOT_ALL.get(criterion.name, 'not all that tells it')} is marked"
        )
    least = "at most" if criterion.name in UPPER_LIMITS else "at least"
    if outcome is Outcome.SHORT:
        return _short(finding, f"{least} {_figure(criterion, criterion.met, None)}")
    if criterion.name is CriterionName.CONTACTS_OPEN:
        return "failed, too wide to be read"
    if criterion.fails:
        return f"failed, for the limit is {_figure(criterion, criterion.fails, None)}"
    return "failed"


def _short(finding: Finding, target: str) -> str:
    if _is_beyond_what_fails(finding):
        return "short of the ideal, which this question does not need"
    return f"short of the target, {target}" if finding.criterion.met else "short of the target"


def _is_beyond_what_fails(finding: Finding) -> bool:
    """Whether it would have failed, had the question needed it."""
    fails, value = finding.criterion.fails, finding.value
    if finding.needed or fails is None or value is None:
        return False
    if finding.criterion.name in UPPER_LIMITS:
        return abs(value) > fails
    return value < fails


def _doubt(criterion: Criterion, said: Doubt) -> str:
    limit = "target" if said.is_target else "limit"
    return (
        f"Uncertain: the {limit} is {_figure(criterion, said.limit, None)}, and the marks leave a "
        f"chance of {said.chance:.0%} that this {_other(said)}."
    )


def _other(said: Doubt) -> str:
    """The other verdict, as of a criterion."""
    if said.other is Outcome.UNKNOWN:
        return "does not fail"
    if said.other is Outcome.SHORT:
        return "falls short of its target" if said.is_target else "falls short without failing"
    return "meets its target" if said.other is Outcome.MET else "fails"


def _figure(criterion: Criterion, value: float, sd: float | None) -> str:
    """A value with its standard deviation and unit: "0.67 ± 0.14 mm"."""
    digits = 2 if criterion.name is CriterionName.CONTACTS_OPEN else 1
    spread = f" ± {sd:.{digits}f}" if sd else ""
    return f"{value:.{digits}f}{spread} {'degrees' if criterion.unit == 'deg' else 'mm'}"


__all__ = ["NEEDS", "reason"]
