"""How a criterion, a contact or a target came out: a word or two, and a sign.

Every outcome has a sign, so that colour alone carries nothing.
"""

from bitewright.audit.targets import TargetVerdict
from bitewright.exposing.landmarks import Status
from bitewright.quality.rating import ContactState, Outcome

OUTCOME_WORDS = {
    Outcome.MET: "met",
    Outcome.SHORT: "short",
    Outcome.FAILED: "failed",
    Outcome.UNKNOWN: "cannot tell",
}
OUTCOME_SIGNS = {
    Outcome.MET: "=",
    Outcome.SHORT: "~",
    Outcome.FAILED: "x",
    Outcome.UNKNOWN: "?",
}
STATE_WORDS = {
    ContactState.OPEN: "open",
    ContactState.READABLE: "overlapped but readable",
    ContactState.NOT_TOLD_FROM_OPEN: "cannot be told from open",
    ContactState.UNREADABLE: "unreadable",
    ContactState.NOT_TOLD_FROM_READABLE: "cannot be told from readable",
    ContactState.NOT_SHOWN: "not shown",
    ContactState.UNKNOWN: "cannot tell",
}
STATE_SIGNS = {
    ContactState.OPEN: "=",
    ContactState.READABLE: "~",
    ContactState.NOT_TOLD_FROM_OPEN: "=?",
    ContactState.UNREADABLE: "x",
    ContactState.NOT_TOLD_FROM_READABLE: "~?",
    ContactState.NOT_SHOWN: "-",
    ContactState.UNKNOWN: "?",
}
TARGET_WORDS = {
    TargetVerdict.MET: "met",
    TargetVerdict.MISSED: "missed",
    TargetVerdict.TOO_FEW: "too few to tell",
}
STATUS_WORDS = {
    Status.SEEN: "shown",
    Status.OUTSIDE: "outside",
    Status.CUT: "cut by the beam",
}
"""What becomes of a structure: on the image, beyond the receptor, or beyond the beam."""

__all__ = [
    "OUTCOME_SIGNS",
    "OUTCOME_WORDS",
    "STATE_SIGNS",
    "STATE_WORDS",
    "STATUS_WORDS",
    "TARGET_WORDS",
]
