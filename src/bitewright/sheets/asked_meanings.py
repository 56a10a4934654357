"""What a word of a sheet may be said to mean, beyond the log's own words."""

from bitewright.log.decisions import DECISION_KINDS
from bitewright.log.faults import fault_kinds
from bitewright.log.fields import FIELDS
from bitewright.sheets.view_words import NOT_INTRAORAL

UNCLEAR = "unclear"
"""Nobody can say: its rows are left out as rows with a fault."""
UNDECIDED = "undecided"
MADE_TWICE = "made-twice"
"""Of one film that was rejected and the one made in its place, which was accepted."""
RETAKE_KEPT = "retake-accepted"
"""The film is itself a retake, and was accepted."""
TWO_BITEWINGS, FOUR_BITEWINGS = "two-bitewings", "four-bitewings"
"""Several films in one row: a bitewing of each side, or one of the premolars and one of the molars
of each side."""
NO_FAULT = "none"


def meanings_allowed(field: str) -> tuple[str, ...]:
    """What a word of a field may be said to mean."""
    if field == "view":
        series = (TWO_BITEWINGS, FOUR_BITEWINGS)
        return (*FIELDS["view"].form.choices, *series, NOT_INTRAORAL, UNCLEAR)
    if field == "decision":
        return (*DECISION_KINDS, UNDECIDED, MADE_TWICE, RETAKE_KEPT, UNCLEAR)
    return (*fault_kinds(), NO_FAULT)


__all__ = [
    "FOUR_BITEWINGS",
    "MADE_TWICE",
    "NO_FAULT",
    "RETAKE_KEPT",
    "TWO_BITEWINGS",
    "UNCLEAR",
    "UNDECIDED",
    "meanings_allowed",
]
