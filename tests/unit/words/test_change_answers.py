"""What follows from a drift: a question to ask, unless a change that was found asks it already."""

from dataclasses import replace

import numpy as np
import pytest

from bitewright.audit.groupings import date_of
from bitewright.audit.whole_audit import AuditSettings, ChangeView, change_view
from bitewright.words.answer import Found
from bitewright.words.change_answers import slow_drift, unnamed_change
from tests.unit.audit.made_logs import FIRST_DAY, made_log

WEEKS, FILMS = 48, 20


def stepped(first: int, second: int) -> ChangeView:
    """Weeks of films of which so many are rejected in the first and in the second half."""
    bad = [first if week < WEEKS // 2 else second for week in range(WEEKS)]
    rejected = np.concatenate([np.arange(FILMS) < count for count in bad])
    # The log's first day is a Wednesday; films begin on the Monday after.
    day = FIRST_DAY + 5 + 7 * np.repeat(np.arange(WEEKS), FILMS)
    log = made_log(rejected=rejected, day=day)
    return change_view(log, AuditSettings(), np.random.default_rng(0))


@pytest.mark.parametrize(
    ("first", "second", "asks"),
    [
        (2, 8, "Lay the rejected films from the week of {day} on beside those before it"),
        (9, 2, "Ask what has become better since the week of {day}, and keep it."),
    ],
)
def test_a_drift_without_a_change_asks_what_happened(first: int, second: int, asks: str) -> None:
    view = stepped(first, second)
    alone = slow_drift(replace(view, points=()))
    assert alone.found is Found.YES
    watch = view.drift
    assert watch is not None
    began = watch.cusum.began_up if second > first else watch.cusum.began_down
    assert began is not None
    day = date_of(int(view.weeks.starts[watch.reference + began]))
    (action,) = alone.actions
    assert action.startswith(asks.format(day=day))
    assert f"beginning about {day}" in alone.sentence


def test_a_change_that_was_found_asks_instead() -> None:
    view = stepped(2, 8)
    assert slow_drift(view).actions == ()
    (action,) = unnamed_change(view).actions
    assert action.startswith(
        f"Rejects rose about the week of {date_of(view.points[0].day)}: ask what was different"
    )


def test_of_several_changes_the_weeks_are_named_together() -> None:
    view = stepped(2, 8)
    point = view.points[0]
    two = replace(view, points=(point, replace(point, day=point.day + 70)))
    days = f"{date_of(point.day)} and {date_of(point.day + 70)}"
    assert f"Rejects rose about the weeks of {days}: ask" in unnamed_change(two).actions[0]


def test_no_drift_asks_for_nothing() -> None:
    assert slow_drift(stepped(3, 3)).actions == ()
