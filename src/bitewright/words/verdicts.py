"""How a criterion, a contact or a target came out, in a word or two."""

from bitewright.audit.targets import TargetVerdict
from bitewright.quality.rating import ContactState, Outcome

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
TARGET_WORDS = {
    TargetVerdict.MET: "met",
    TargetVerdict.MISSED: "missed",
    TargetVerdict.TOO_FEW: "too few to tell",
}

__all__ = ["OUTCOME_WORDS", "STATE_WORDS", "TARGET_WORDS"]
