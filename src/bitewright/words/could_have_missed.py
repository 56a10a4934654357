"""What an audit that found nothing about a person could have missed."""

from collections.abc import Sequence

from bitewright.audit.could_have_missed import RateFoundFrom
from bitewright.audit.counted_by import Event
from bitewright.words.phrases import counted

NAMED = {Event.REJECT: "rejects", Event.RETAKE: "retakes"}


def rates_missed(ends: Sequence[RateFoundFrom], event: Event) -> str:
    """From which rate on somebody is named, so that lower ones are not taken for absent."""
    told = [_rate_end(each, event) for each in ends]
    return f"What this could miss: {'; '.join(told)}." if told else ""


def _rate_end(end: RateFoundFrom, event: Event) -> str:
    films = counted(end.exposures, "exposure")
    if end.rate is None:
        return f"nobody with {films} would be named, whatever the rate"
    return (
        f"somebody with {films} who truly {NAMED[event]} {end.rate:.0%} is named in four such "
        "records of five, and less often below that"
    )


__all__ = ["rates_missed"]
