"""What an audit report says of itself: its record, when to audit again, what made it."""

from bitewright.audit.groupings import date_of
from bitewright.audit.sample_size import images_for_change
from bitewright.audit.whole_audit import Audit
from bitewright.words.phrases import counted


def about_words(told: Audit, only: str) -> str:
    """The record a report is of, and what is counted in it; ``only``: which exposures of it."""
    taken = f", only {only}" if only else ""
    return (
        f"{counted(told.exposures, 'exposure')} from {date_of(told.first_day)} to "
        f"{date_of(told.last_day)}{taken}. Counted: {told.settings.event.value}s."
    )


def lead_title(title: str) -> str:
    """Heading of the sheet that tells people apart."""
    return f"{title}: for the lead alone"


def audit_again(told: Audit, exposures: int) -> str:
    """How many exposures would show a rate that fell by a quarter, and when there are so many."""
    event = told.settings.event.value
    months = _months(told, exposures)
    quarter = (
        f"Audit again. To see a quarter fewer {event}s take {counted(exposures, 'exposure')} in "
        f"each cycle: at the pace of this record about {counted(months, 'month')} of films."
    )
    if months <= LONGEST_WAIT:
        return quarter
    rate = told.overall.share
    half = images_for_change(rate, 0.5 * rate)
    wait = counted(_months(told, half), "month")
    return (
        f"{quarter} That is long to wait: {counted(half, 'exposure')}, about {wait}, show whether "
        f"the {event}s have halved."
    )


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
