"""What an assessment says of an exposure, as fields of the log."""

from collections.abc import Mapping
from typing import Any

from bitewright.explanation.correction import SD_TO_END, Part, Verdict
from bitewright.files.json_documents import parse_document
from bitewright.log.faults import fault_kinds, faults_as_text
from bitewright.quality.criteria import CriterionName
from bitewright.quality.rating import Outcome
from bitewright.tasks.assess.film_assessment import ASSESSMENT_FORMAT
from bitewright.words.verdicts import OUTCOME_WORDS

SCHEMAS = {ASSESSMENT_FORMAT: "assessment-1.json"}
UPPER_LIMITS = frozenset(
    name.value
    for name in (
        CriterionName.CONTACTS_OPEN,
        CriterionName.LEVEL,
        CriterionName.CENTRAL,
        CriterionName.CLOSURE,
    )
)
"""Criteria whose value is the fault's size; of the others, the size is what is missing."""


def assessed_fields(content: bytes, where: str) -> dict[str, str]:
    """View, rating and faults of an assessment's file. Our choice: a failed criterion is a fault.

    Raises
    ------
    NotJsonError, DocumentFormatError, SchemaViolationError
    """
    document = parse_document(content, where, schemas=SCHEMAS)
    rating = document["rating"]
    fields = {"view": document["view"], "rating": f"{rating['scheme']}:{rating['grade']}"}
    faults = failed_as_faults(document["criteria"])
    if faults:
        fields["faults"] = faults_as_text(faults)
    return (
        fields
        | looked_at_fields(document.get("proposed_marks"))
        | aim_fields(document.get("explanation"))
    )


def looked_at_fields(proposed: Mapping[str, Any] | None) -> dict[str, str]:
    """What a person made of proposed marks; nothing where none was proposed."""
    return {f"marks_{name}": str(value) for name, value in (proposed or {}).items()}


def aim_fields(explanation: Mapping[str, Any] | None) -> dict[str, str]:
    """How far tube and receptor were off, each with its standard uncertainty.

    What is off is the needed movement turned round. Marks that cannot tell say nothing of the aim.
    """
    if explanation is None or explanation["verdict"] == Verdict.CANNOT_TELL.value:
        return {}
    fields = {}
    for movement in explanation["movements"]:
        stem, unit = AIM_ERRORS.get(movement["part"], ("", ""))
        if stem:
            spread = (movement["high"] - movement["low"]) / (2.0 * SD_TO_END)
            fields[f"{stem}_{unit}"] = f"{-movement['value']:.2f}"
            fields[f"{stem}_sd_{unit}"] = f"{spread:.2f}"
    return fields


AIM_ERRORS = {
    Part.SWING.value: ("contact_error", "deg"),
    Part.VERTICAL.value: ("vertical_error", "deg"),
    Part.FORWARD.value: ("forward", "mm"),
    Part.HEIGHT.value: ("height", "mm"),
}
"""Stem and unit of the log's field for the error that each movement mends."""


def failed_as_faults(criteria: list[Mapping[str, Any]]) -> list[dict[str, Any]]:
    """The faults of failed criteria, the largest size of each; a cone cut also where it is short.

    A cone cut that hides nothing wanted fails no film, and is a fault of technique all the same.
    """
    fault_of = {name: kind.name for kind in fault_kinds().values() for name in kind.criteria}
    largest: dict[str, float | None] = {}
    for finding in criteria:
        name = fault_of.get(finding["criterion"])
        counted = {OUTCOME_WORDS[Outcome.FAILED]}
        if finding["criterion"] == CriterionName.BEAM.value:
            counted.add(OUTCOME_WORDS[Outcome.SHORT])
        if name is None or finding["outcome"] not in counted:
            continue
        size = _size(finding)
        before = largest.get(name)
        largest[name] = size if before is None else max(before, size or 0.0)
    return [
        {"fault": name} if size is None else {"fault": name, "size": round(size, 2)}
        for name, size in largest.items()
    ]


def _size(finding: Mapping[str, Any]) -> float | None:
    value = finding.get("value")
    if value is None:
        return None
    if finding["criterion"] in UPPER_LIMITS:
        return abs(float(value))
    return max(float(finding["target"]) - float(value), 0.0)


__all__ = ["aim_fields", "assessed_fields", "failed_as_faults", "looked_at_fields"]
