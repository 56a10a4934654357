"""An attempt is checked whole, and refused in one sentence."""

from datetime import UTC, datetime

import pytest
from hypothesis import given
from hypothesis import strategies as st

from bitewright.competence.attempts import Attempt, AttemptError, Skill, attempt_from, moment_utc

GOOD = {
    "student": "S12",
    "item": "set-a/3",
    "skill": "name",
    "topic": "overlap",
    "score": 0.5,
    "sure": 0.8,
    "answered_at": "2026-01-31T10:30:00+01:00",
    "seconds": 21.5,
}


def test_an_attempt_comes_back_from_its_own_plain_data() -> None:
    attempt = attempt_from(GOOD)
    assert attempt.answered_at == "2026-01-31T09:30:00Z"
    assert attempt.skill is Skill.NAME
    assert attempt_from(attempt.document()) == attempt
    assert attempt_from({name: str(value) for name, value in attempt.document().items()}) == attempt


def test_what_is_not_known_is_left_out() -> None:
    attempt = attempt_from({**GOOD, "sure": "", "seconds": None})
    assert (attempt.sure, attempt.seconds) == (None, None)
    assert not {"sure", "seconds"} & attempt.document().keys()


@pytest.mark.parametrize(
    ("field", "value"),
    [
        ("student", "Mary Smith"),
        ("student", 12),
        ("item", "a b"),
        ("skill", "guess"),
        ("topic", ""),
        ("score", 1.01),
        ("score", "nan"),
        ("score", True),
        ("sure", -0.1),
        ("seconds", -1),
        ("answered_at", "2026-01-31T10:30:00"),
        ("answered_at", "2026-02-30T10:30:00Z"),
        ("answered_at", "1999-12-31T10:30:00Z"),
        ("mark", 3),
    ],
)
def test_a_wrong_field_is_named_with_what_is_allowed(field: str, value: object) -> None:
    with pytest.raises(AttemptError) as refused:
        attempt_from({**GOOD, field: value})
    assert refused.value.field == field
    assert f"'{field}'" in str(refused.value)
    assert ": give " in str(refused.value)


def test_an_attempt_made_by_hand_is_checked_too() -> None:
    with pytest.raises(AttemptError, match="score"):
        Attempt(
            student="S1",
            item="i",
            skill=Skill.READ,
            topic="overlap",
            score=2.0,
            sure=None,
            answered_at="2026-01-31T09:30:00Z",
        )


@given(st.datetimes(datetime(2001, 1, 1), datetime(2099, 1, 1), timezones=st.timezones()))  # noqa: DTZ001
def test_moments_are_those_of_the_standard_library(moment: datetime) -> None:
    whole = moment.replace(microsecond=0)
    offset = whole.utcoffset()
    assert offset is not None
    if offset.total_seconds() % 60 or abs(offset.total_seconds()) > 14 * 3600:
        return
    said = whole.astimezone(UTC).strftime("%Y-%m-%dT%H:%M:%SZ")
    assert moment_utc(whole.isoformat()) == said
