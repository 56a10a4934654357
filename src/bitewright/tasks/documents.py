"""Findings as plain data, the same in every JSON answer."""

from typing import Any

from bitewright.assessment.assess import StateChance
from bitewright.imaging.placement_words import EdgePlace
from bitewright.quality.rating import ContactState, Outcome
from bitewright.quality.reasons import ContactFinding, Finding

OUTCOME_WORDS = {
    Outcome.MET: "met",
    Outcome.SHORT: "short",
    Outcome.FAILED: "failed",
    Outcome.UNKNOWN: "cannot tell",
}
STATE_WORDS = {
    ContactState.OPEN: "open",
    ContactState.SLIGHT: "slight overlap",
    ContactState.UNREADABLE: "unreadable",
    ContactState.NOT_SHOWN: "not shown",
    ContactState.UNKNOWN: "cannot tell",
}
CAUTION = (
    "Educational and quality-assurance aid; not a medical device, not for diagnosis. Every "
    "exposure needs its own justification; the decision to expose, or to expose again, belongs to "
    "the licensed practitioner under local rules and the maker's instructions."
)


def finding_document(finding: Finding) -> dict[str, Any]:
    """One criterion's outcome."""
    return {
        "criterion": finding.criterion.name.value,
        "outcome": OUTCOME_WORDS[finding.outcome],
        "value": _rounded(finding.value),
        "sd": _rounded(finding.sd),
        "unit": finding.criterion.unit,
        "place": finding.place,
        "target": finding.criterion.met,
        "fails": finding.criterion.fails,
        "sentence": finding.sentence,
        "source": finding.criterion.source,
    }


def contact_document(contact: ContactFinding, chance: StateChance | None = None) -> dict[str, Any]:
    """One contact's overlap and state."""
    document: dict[str, Any] = {
        "contact": contact.name,
        "overlap_mm": _rounded(contact.overlap_mm),
        "overlap_sd_mm": _rounded(contact.overlap_sd_mm),
        "enamel_share": _rounded(contact.enamel_share),
        "state": STATE_WORDS[contact.state],
    }
    if chance is not None:
        document["chance"] = {
            "open": round(chance.open, 3),
            "slight overlap": round(chance.slight, 3),
            "unreadable": round(chance.unreadable, 3),
        }
    return document


def edge_document(edge: EdgePlace) -> dict[str, Any]:
    """Where one edge of the receptor lies."""
    return {
        "edge": edge.edge.value,
        "row": "upper" if edge.upper else "lower",
        "tooth": edge.tooth,
        "place": edge.words,
    }


def _rounded(value: float | None) -> float | None:
    return None if value is None else round(value, 3)


__all__ = [
    "CAUTION",
    "OUTCOME_WORDS",
    "STATE_WORDS",
    "contact_document",
    "edge_document",
    "finding_document",
]
