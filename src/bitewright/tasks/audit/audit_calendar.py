"""The audit calendar of a record: what was done, what is due, the targets that hold."""

from dataclasses import dataclass, replace
from typing import Any

from bitewright import __version__
from bitewright.audit.audit_calendar import AuditCalendar, Due
from bitewright.audit.groupings import date_of
from bitewright.audit.logged_exposures import LoggedExposures
from bitewright.audit.whole_audit import AuditSettings
from bitewright.errors import BitewrightError
from bitewright.log.days import day_number
from bitewright.tasks.audit.audit_request import AuditRequest
from bitewright.tasks.log.logged_exposures import StoreRecord
from bitewright.tasks.log.record_settings import (
    add_setting,
    calendar_of,
    record_settings,
    set_every_months,
)
from bitewright.tasks.log.store_place import today_text
from bitewright.words.audit_calendar import (
    NONE_SET,
    NONE_SET_HERE,
    due_words,
    every_words,
    last_audit_words,
    own_targets_words,
    year_targets_words,
)
from bitewright.words.phrases import capital

CALENDAR_FORMAT = "bitewright.audit-calendar/1"


class NothingDoneError(BitewrightError):
    """When to audit again is given without an audit that was done."""

    def __init__(self) -> None:
        super().__init__(
            "--again and --note belong to an audit that was done: give its day with --done."
        )


@dataclass(frozen=True, slots=True, kw_only=True)
class CalendarToday:
    """A record's calendar as it stands today. [days since 1970-01-01]"""

    calendar: AuditCalendar
    today: int

    @property
    def reminder(self) -> str:
        """Whether an audit is due."""
        return due_words(self.calendar, self.today)

    @property
    def reminder_here(self) -> str:
        """The same on the calendar's own page."""
        return self.reminder.replace(NONE_SET, NONE_SET_HERE)

    @property
    def is_due(self) -> bool:
        """Whether the reminder asks for something."""
        return self.calendar.due(self.today) in {Due.NONE_YET, Due.SOON, Due.OVERDUE}

    def sentences(self) -> tuple[str, ...]:
        """For people."""
        return (
            f"Next audit: {self.reminder}",
            last_audit_words(self.calendar),
            every_words(self.calendar),
            *(capital(year_targets_words(each)) for each in self.calendar.targets),
        )

    def document(self) -> dict[str, Any]:
        """As data for machines."""
        day = self.calendar.due_day
        return {
            "format": CALENDAR_FORMAT,
            "version": __version__,
            "today": date_of(self.today),
            "due": self.calendar.due(self.today).value,
            "due_date": None if day is None else date_of(day),
            "every_months": self.calendar.every_months,
            "audits": [
                {
                    "day": date_of(each.day),
                    "again": None if each.again_day is None else date_of(each.again_day),
                    "note": each.note,
                }
                for each in sorted(self.calendar.done, key=lambda each: each.day)
            ],
            "targets": [
                {
                    "year": each.year,
                    "scheme": each.scheme,
                    "film": each.film,
                    "shares": dict(each.shares),
                    "source": each.source,
                }
                for each in self.calendar.targets
            ],
        }


def calendar_today(store: str | None = None) -> CalendarToday:
    """The calendar of a record; errors as `record_settings`."""
    return CalendarToday(
        calendar=calendar_of(record_settings(store)), today=day_number(today_text())
    )


def change_calendar(
    *,
    every: int | None = None,
    done: str | None = None,
    again: str | None = None,
    note: str = "",
    store: str | None = None,
) -> bool:
    """Settle how often to audit, note an audit; whether anything was to change.

    Raises
    ------
    NothingDoneError; errors as `record_settings`
    """
    if done is None and (again is not None or note):
        raise NothingDoneError
    if every is not None:
        set_every_months(every or None, store)
    if done is not None:
        given = {"day": done, "again": again, "note": note}
        add_setting("audits", {name: text for name, text in given.items() if text}, store)
    return every is not None or done is not None


def calendar_for(request: AuditRequest) -> CalendarToday | None:
    """The calendar of what is audited; a table of exposures has none."""
    source = request.source
    return calendar_today(source.store) if isinstance(source, StoreRecord) else None


def with_year_targets(
    settings: AuditSettings, request: AuditRequest, log: LoggedExposures
) -> AuditSettings:
    """The settings with the record's own targets of the year of the last exposure.

    Targets that the request itself gives stay as they are.
    """
    held = calendar_for(request)
    if held is None or settings.own_targets or not len(log):
        return settings
    year = int(date_of(int(log.day.max()))[:4])
    own = held.calendar.targets_of(settings.scheme.name, year)
    if own is None:
        return settings
    return replace(
        settings,
        own_targets=own.shares,
        film=settings.film or own.film,
        own_source=own_targets_words(own),
    )


__all__ = [
    "CalendarToday",
    "NothingDoneError",
    "calendar_for",
    "calendar_today",
    "change_calendar",
    "with_year_targets",
]
