"""When the next audit is due, and which targets hold."""

import pytest

from bitewright.audit.audit_calendar import (
    AuditCalendar,
    AuditDone,
    Due,
    YearTargets,
    day_in_months,
)
from bitewright.log.days import day_number
from bitewright.words.audit_calendar import due_words

DONE = AuditDone(day=day_number("2026-08-31"))


@pytest.mark.parametrize(
    ("day", "months", "then"),
    [
        ("2026-08-31", 6, "2027-02-28"),
        ("2024-01-31", 1, "2024-02-29"),
        ("2026-12-15", 1, "2027-01-15"),
        ("2026-02-28", 12, "2027-02-28"),
    ],
)
def test_months_on_is_the_same_day_or_the_months_last(day: str, months: int, then: str) -> None:
    assert day_in_months(day_number(day), months) == day_number(then)


@pytest.mark.parametrize(
    ("calendar", "today", "due", "words"),
    [
        (AuditCalendar(), "2026-11-30", Due.NOT_SET, "None is set"),
        (AuditCalendar(every_months=6), "2026-11-30", Due.NONE_YET, "Due now"),
        (AuditCalendar(done=(DONE,)), "2026-11-30", Due.NOT_SET, "None is set"),
        (AuditCalendar(every_months=6, done=(DONE,)), "2026-11-30", Due.LATER, "in 90 days"),
        (AuditCalendar(every_months=3, done=(DONE,)), "2026-11-30", Due.SOON, "today"),
        (AuditCalendar(every_months=3, done=(DONE,)), "2026-12-01", Due.OVERDUE, "1 day ago"),
    ],
)
def test_the_reminder_follows_the_last_audit(
    calendar: AuditCalendar, today: str, due: Due, words: str
) -> None:
    assert calendar.due(day_number(today)) is due
    assert words in due_words(calendar, day_number(today))


def test_a_day_settled_with_the_audit_goes_before_the_months() -> None:
    again = day_number("2026-10-01")
    done = AuditDone(day=DONE.day, again_day=again)
    assert AuditCalendar(every_months=12, done=(done,)).due_day == again


def test_the_newest_targets_of_the_year_hold_together() -> None:
    def of(year: int, **shares: float) -> YearTargets:
        return YearTargets(year=year, scheme="uk-2020", film=False, shares=shares, source="staff")

    calendar = AuditCalendar(targets=(of(2024, A=0.9), of(2026, A=0.97), of(2026, N=0.03)))
    assert calendar.targets_of("uk-2020", 2023) is None
    assert calendar.targets_of("uk-2001", 2026) is None
    held = calendar.targets_of("uk-2020", 2025)
    assert held is not None
    assert held.shares == {"A": 0.9}
    newest = calendar.targets_of("uk-2020", 2031)
    assert newest is not None
    assert newest.shares == {"A": 0.97, "N": 0.03}
