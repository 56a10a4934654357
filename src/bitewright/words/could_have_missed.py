"""What an audit that found nothing about a person could have missed."""

from collections.abc import Sequence

from bitewright.audit.could_have_missed import RateFoundFrom, aim_found_from
from bitewright.audit.counted_by import Event
from bitewright.audit.operator_aim import FEWEST_ASSESSED, OperatorAim
from bitewright.words.phrases import counted

NAMED = {Event.REJECT: "rejects", Event.RETAKE: "retakes"}


def rates_missed(ends: Sequence[RateFoundFrom], event: Event) -> str:
    """From which rate on somebody is named, so that lower ones are not taken for absent."""
    told = [_rate_end(each, event) for each in ends]
    return f"What this could miss: {'; '.join(told)}." if told else ""


def _rate_end(end: RateFoundFrom, event: Event) -> str:
    films = counted(end.exposures, "exposure")
    if end.rate is None:
        return f"with {films} nobody would be named, whatever the rate"
    return (
        f"with {films} somebody who truly {NAMED[event]} {end.rate:.0%} is named four times in "
        "five, at a lower rate less often"
    )


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
    told = [f"{_films(aim)} a contact error of {_degrees(aim)}" for aim in ends]
    return f"What this could miss: with {'; with '.join(told)}."


def aim_missed(aim: OperatorAim) -> str:
    """What an operator's own assessed exposures could leave unsaid."""
    if aim_found_from(aim) is None:
        return ""
    return f"With {_films(aim)} this could miss a contact error of {_degrees(aim)}."


def _films(aim: OperatorAim) -> str:
    return counted(aim.parts[0].assessed, "assessed exposure")


def _degrees(aim: OperatorAim) -> str:
    found_from = aim_found_from(aim)
    return f"less than {found_from:.1f} degrees (one of that size is told four times in five)"


__all__ = ["aim_missed", "aims_missed", "rates_missed"]
