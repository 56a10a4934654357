"""When the next audit is due, and what a practice aims at from which year on."""

from bitewright.audit.audit_calendar import AuditCalendar, Due, YearTargets
from bitewright.audit.groupings import date_of
from bitewright.words.log_titles import scheme_title
from bitewright.words.phrases import counted, listed

CALENDAR_SAYS = (
    "How often a record is audited is for the practice to settle; local rules or an inspector may "
    "ask for a time of their own."
)
NONE_SET = "None is set. How often to audit is settled in the calendar of the record."
NONE_SET_HERE = "None is set. Say here how often the record is audited."
SETTINGS_KEPT = "Kept: these settings of the record hold from now on."
NOTE_IT = (
    "Note this audit, once it is done, in the calendar of the record (page Calendar, or "
    "`bitewright audit calendar --done DAY`), so that the next one is not forgotten."
)
CALENDAR_KEPT = "Kept in the record's calendar."


def due_words(calendar: AuditCalendar, today: int) -> str:
    """Whether an audit is due, as a reminder. [days since 1970-01-01]"""
    due, day = calendar.due(today), calendar.due_day
    if due is Due.NOT_SET:
        return NONE_SET
    if day is None:
        return "Due now: no audit is noted in the calendar yet. Note this one when it is done."
    if due is Due.OVERDUE:
        return f"Overdue: it was due on {date_of(day)}, {counted(today - day, 'day')} ago."
    when = "today" if day == today else f"in {counted(day - today, 'day')}"
    return f"{'Due soon' if due is Due.SOON else 'Due'} on {date_of(day)}, {when}."


def last_audit_words(calendar: AuditCalendar) -> str:
    """The latest audit of the calendar."""
    last = calendar.last
    if last is None:
        return "No audit is noted yet."
    return f"The last one noted: {date_of(last.day)}{f' ({last.note})' if last.note else ''}."


def every_words(calendar: AuditCalendar) -> str:
    """How often to audit."""
    if calendar.every_months is None:
        return "How often to audit is not settled."
    return f"An audit every {counted(calendar.every_months, 'month')}."


def year_targets_words(targets: YearTargets) -> str:
    """Targets of one's own, with the year from which they hold and their source."""
    shares = listed([f"{grade} {share:.0%}" for grade, share in targets.shares.items()])
    film = ", film" if targets.film else ""
    return (
        f"from {targets.year}, {scheme_title(targets.scheme)}{film}: {shares}. "
        f"Source: {targets.source}."
    )


def own_targets_words(targets: YearTargets) -> str:
    """That targets of one's own hold."""
    return f"Own targets: {year_targets_words(targets)}"


__all__ = [
    "CALENDAR_KEPT",
    "CALENDAR_SAYS",
    "NONE_SET",
    "NONE_SET_HERE",
    "NOTE_IT",
    "SETTINGS_KEPT",
    "due_words",
    "every_words",
    "last_audit_words",
    "own_targets_words",
    "year_targets_words",
]
