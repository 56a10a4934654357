"""What an audit report says of itself: its record, when to audit again, what made it."""

from bitewright.audit.groupings import date_of
from bitewright.audit.whole_audit import Audit
from bitewright.words.phrases import counted


def about_words(told: Audit, only: str) -> str:
    """The record a report is of, and what is counted in it; ``only``: which exposures of it."""
    taken = f", only {only}" if only else ""
    return (
        f"{counted(told.exposures, 'exposure')} from {date_of(told.first_day)} to "
        f"{date_of(told.last_day)}{taken}. Counted: {told.settings.event.value}s."
    )


def audit_again(told: Audit, exposures: int) -> str:
    """How many exposures would show a rate that fell by a quarter."""
    return (
        f"Audit again. To see a quarter fewer {told.settings.event.value}s take "
        f"{counted(exposures, 'exposure')} in each cycle."
    )


def made_words(version: str, date: str) -> str:
    """What made a report, and when."""
    return f"Made with Bitewright {version} on {date}"


__all__ = ["about_words", "audit_again", "made_words"]
