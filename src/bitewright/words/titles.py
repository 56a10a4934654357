"""What is shown in place of a name that is typed: one title a name, never the name itself.

Titles of table rows stand in the tables, those of what the log holds in `log_titles`, those of
other names here.
"""

from collections.abc import Iterable
from dataclasses import replace

from bitewright.audit.faults import FaultCount
from bitewright.explanation.correction import CauseName, Verdict
from bitewright.exposing.scatter import AimPart
from bitewright.quality.criteria import CriterionName, criteria
from bitewright.words.log_titles import fault_title

CAUSES = {
    CauseName.TUBE_TOO_FAR_FORWARD: "tube too far to the front",
    CauseName.TUBE_TOO_FAR_BACK: "tube too far to the back",
    CauseName.TUBE_TOO_HIGH: "tube too high",
    CauseName.TUBE_TOO_LOW: "tube too low",
    CauseName.RECEPTOR_TOO_FAR_FORWARD: "receptor too far to the front",
    CauseName.RECEPTOR_TOO_FAR_BACK: "receptor too far to the back",
    CauseName.RECEPTOR_TOO_HIGH: "receptor too high",
    CauseName.RECEPTOR_TOO_LOW: "receptor too low",
    CauseName.RECEPTOR_ROLLED_FRONT_DOWN: "receptor's front edge dipping",
    CauseName.RECEPTOR_ROLLED_FRONT_UP: "receptor's front edge standing up",
    CauseName.NOT_CLOSED: "teeth not closed",
    CauseName.NONE: "nothing was off",
}
VERDICTS = {
    Verdict.MOVE: "something should move",
    Verdict.SET_UP_ANEW: "the view should be set up anew",
    Verdict.NEARER: "nothing needs to move; a movement would come nearer to the best exposure",
    Verdict.NOTHING: "nothing needs to move",
    Verdict.CANNOT_TELL: "the marks cannot tell",
}
STILL = (Verdict.NOTHING, Verdict.SET_UP_ANEW)
"""Verdicts by which no movement is surely needed."""

KEEP_THE_SET_UP = (
    "Nothing needs to move: keep the set-up, and place the receptor and aim the tube the same way "
    "next time."
)
AIM_PARTS = {
    AimPart.CONTACT_ERROR: "tube to the front, degrees",
    AimPart.VERTICAL_ERROR: "tube too high, degrees",
    AimPart.FORWARD: "receptor to the front, mm",
    AimPart.HEIGHT: "receptor too high, mm",
}

SURFACES = {
    "mesial-occlusal": "mesio-occlusal",
    "distal-occlusal": "disto-occlusal",
    "all": "all surfaces",
}
"""Surfaces of a tooth by the trade's own words."""


UNNAMED_CHANGES = "Changes that nobody named"


def criterion_title(name: CriterionName | None) -> str:
    """A criterion; nothing for none."""
    return "" if name is None else criteria()[name].title


def titled_faults(faults: Iterable[FaultCount]) -> tuple[FaultCount, ...]:
    """Counted faults under their titles, to be shown."""
    return tuple(replace(fault, label=fault_title(fault.label)) for fault in faults)


__all__ = [
    "AIM_PARTS",
    "CAUSES",
    "KEEP_THE_SET_UP",
    "STILL",
    "SURFACES",
    "UNNAMED_CHANGES",
    "VERDICTS",
    "criterion_title",
    "titled_faults",
]
