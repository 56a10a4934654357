"""What an audit that found nothing about a person could have missed."""

from collections.abc import Sequence
from math import ceil

from bitewright.audit.could_have_missed import RateFoundFrom, aim_found_from
from bitewright.audit.counted_by import Event
from bitewright.audit.operator_aim import FEWEST_ASSESSED, OperatorAim
from bitewright.words.phrases import counted, listed

TOLD = "one of that size is told four times in five"
NAMED = {Event.REJECT: "rejects", Event.RETAKE: "retakes"}


def rates_missed(ends: Sequence[RateFoundFrom], event: Event) -> str:
    """From which rate on somebody is named, so that lower ones are not taken for absent."""
    below = [
        f"less than {end.rate:.0%} (with {counted(end.exposures, 'exposure')})"
        for end in ends
        if end.rate is not None
    ]
    never = [counted(end.exposures, "exposure") for end in ends if end.rate is None]
    said = []
    if below:
        said.append(
            f"What this could miss: somebody who truly {NAMED[event]} {listed(below, last='or')}; "
            "at just that rate somebody is named four times in five."
        )
    if never:
        said.append(f"With {listed(never, last='or')} nobody would be named, whatever the rate.")
    return " ".join(said)


def aims_missed(aims: Sequence[OperatorAim]) -> str:
    """What the fewest and the most assessed exposures of an operator could leave unsaid."""
    judged = sorted(
        (aim for aim in aims if aim.parts[0].assessed >= FEWEST_ASSESSED),
        key=lambda aim: aim.parts[0].assessed,
    )
    if not judged:
        return f"Nobody has {FEWEST_ASSESSED} assessed exposures: nothing would be said of anybody."
    fewest, most = judged[0], judged[-1]
    ends = (fewest,) if fewest.parts[0].assessed == most.parts[0].assessed else (fewest, most)
    told = [f"with {_films(aim)} a contact error of {_degrees(aim)}" for aim in ends]
    return f"What this could miss: {', '.join(told)} ({TOLD})."


def aim_missed(aim: OperatorAim) -> str:
    """What an operator's own assessed exposures could leave unsaid."""
    if aim_found_from(aim) is None:
        return ""
    return f"With {_films(aim)} this could miss a contact error of {_degrees(aim)} ({TOLD})."


def _films(aim: OperatorAim) -> str:
    return counted(aim.parts[0].assessed, "assessed exposure")


def _degrees(aim: OperatorAim) -> str:
    """Rounded up to half a degree: what is as large is told no less often than is said of it."""
    found_from = aim_found_from(aim)
    return f"less than {ceil(2.0 * (found_from or 0.0)) / 2.0:g} degrees"


__all__ = ["aim_missed", "aims_missed", "rates_missed"]
