"""What an audit report says of itself: its record, when to audit again, what made it."""

from bitewright.audit.sample_size import fall_seen, images_for_change
from bitewright.audit.whole_audit import Audit
from bitewright.words.alarm import alarm_of
from bitewright.words.phrases import counted
from bitewright.words.rates import percent


def about_words(told: Audit, only: str) -> str:
    """The record a report is of, and what is counted in it; ``only``: which exposures of it."""
    taken = f"Only {only}. " if only else ""
    return f"{taken}Counted: {told.settings.event.value}s."


def lead_title(title: str) -> str:
    """Heading of the sheet that tells people apart."""
    return f"{title}: for the lead alone"


def audit_again(told: Audit) -> str:
    """When to audit again, and what of a fall is then seen; of an alarm, soon."""
    event, rate = told.settings.event.value, told.overall.share
    if alarm_of(told) is not None:
        few = images_for_change(rate, 0.5 * rate)
        return f"Count again after every ten films. {_shows(told, few, HALVED[event])}."
    wait = next(
        (
            _shows(told, needed, less)
            for left, less in ((0.75, f"a quarter of the {event}s is gone"), (0.5, HALVED[event]))
            if _months(told, needed := images_for_change(rate, left * rate)) <= LONGEST_WAIT
        ),
        None,
    )
    if wait is not None:
        return f"Audit again: {wait}."
    year = round(told.exposures * YEAR_DAYS / (told.last_day - told.first_day + 1))
    least = fall_seen(rate, year)
    films = f"About {counted(year, 'film')} a year"
    sees = (
        f"{films} show a fall from {percent(rate)} to {percent(least)} or less four times in "
        "five, a smaller one less often."
        if least is not None
        else f"{films} are too few to show that fewer are {PASSIVE[event]}."
    )
    return (
        f"Audit again in a year. {sees} Until then look at each {event} by itself, with the "
        "checklist."
    )


def _shows(told: Audit, films: int, what: str) -> str:
    months = counted(_months(told, films), "month")
    return (
        f"{counted(films, 'film')} more, about {months} at the pace of this record, show whether "
        f"{what}"
    )


PASSIVE = {"reject": "rejected", "retake": "taken again"}
HALVED = {"reject": "the rejects have halved", "retake": "the retakes have halved"}
YEAR_DAYS = 365.25
LONGEST_WAIT = 18
"""Months beyond which a cycle is too long to be of use. Our choice."""


def _months(told: Audit, exposures: int) -> int:
    """Months in which so many exposures come, at the pace of the record."""
    days = told.last_day - told.first_day + 1
    return max(1, round(exposures * days / told.exposures / 30.4))


def made_words(version: str, date: str) -> str:
    """What made a report, and when."""
    return f"Made with Bitewright {version} on {date}"


__all__ = ["about_words", "audit_again", "lead_title", "made_words"]
