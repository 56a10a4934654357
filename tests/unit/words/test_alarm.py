"""When a rate reads like an alarm, and that its words never say more than its interval."""

import pytest

from bitewright.audit.counted_by import Event
from bitewright.audit.proportions import share_of
from bitewright.audit.targets import target_standings
from bitewright.quality.rating_schemes import rating_scheme
from bitewright.words.alarm import Alarm, alarm_words

SCHEME = rating_scheme("uk-2020")


def told(count: int, total: int, grades: dict[str, int] | None = None) -> Alarm | None:
    return alarm_words(
        share_of(count, total),
        target_standings(grades or {}, SCHEME),
        SCHEME,
        event=Event.REJECT,
        expected=None,
        faults=(),
    )


@pytest.mark.parametrize(
    ("count", "total", "least"),
    [
        (90, 180, "More than every third film"),
        (110, 180, "More than every second film"),
        (54, 60, "More than three films in four"),
        (6000, 12000, "More than every third film"),
        (60, 180, "More than every fourth film"),
        (10, 15, "yet more than every third film"),
    ],
)
def test_half_of_all_films_is_an_alarm(count: int, total: int, least: str) -> None:
    alarm = told(count, total)
    assert alarm is not None
    assert alarm.heading == f"Alarm: {count} of {total} films were rejected"
    assert f"{least}, chance allowed for" in alarm.figures
    assert "95% interval" in alarm.figures
    assert ("Too few films to rely on the rate" in alarm.figures) == (total < 20)


@pytest.mark.parametrize(("count", "total"), [(22, 180), (4, 4), (50, 180), (8, 20), (0, 60)])
def test_what_chance_may_make_is_none(count: int, total: int) -> None:
    assert told(count, total) is None


def test_films_kept_though_half_of_them_fail_are_an_alarm() -> None:
    alarm = told(0, 60, {"A": 30, "N": 30})
    assert alarm is not None
    assert alarm.heading == "Alarm: 30 of 60 films were of grade N (UK 2020)"
    assert "at most 5%" in alarm.figures
