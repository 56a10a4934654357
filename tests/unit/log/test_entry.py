"""Entries: keys, seals and what is standing after them."""

from dataclasses import replace

import pytest

from bitewright.log.entry import (
    FIRST_DIGEST,
    KeyNotAllowedError,
    body_text,
    checked_key,
    says_the_same,
    sealed,
    standing,
)
from bitewright.log.faults import fault_kinds
from bitewright.quality.criteria import CriterionName
from tests.stores import exposure, later, some_entries, states


@pytest.mark.parametrize("key", ["a", "paper-12", "A/2026:7", "12a"])
def test_keys_that_may_be(key: str) -> None:
    assert checked_key(key) == key


@pytest.mark.parametrize("key", ["", "12", "a b", "x" * 65, "=1a", "a\nb"])
def test_keys_that_may_not_be(key: str) -> None:
    with pytest.raises(KeyNotAllowedError):
        checked_key(key)


def test_a_seal_changes_with_everything_that_is_said_and_with_what_came_before() -> None:
    entry = exposure("a-1")
    seals = {
        sealed(before, each, body_text(each.body))
        for before, each in (
            (FIRST_DIGEST, entry),
            ("1" * 64, entry),
            *((FIRST_DIGEST, replace(entry, **change)) for change in CHANGES),
        )
    }
    assert len(seals) == 2 + len(CHANGES)


CHANGES: list[dict[str, object]] = [
    {"key": "a-2"},
    {"about": "a-0"},
    {"written_at": "2026-01-31T10:00:01Z"},
    {"written_by": "S2"},
    {"why": "because"},
    {"body": {"room": "R1"}},
]


def test_a_retry_says_the_same_whenever_it_is_written() -> None:
    entry = exposure("a-1")
    assert says_the_same(entry, replace(entry, written_at="later", written_by="S9"))
    assert not says_the_same(entry, exposure("a-1", room="R1"))


def test_standing_is_the_last_word_on_each_field() -> None:
    entries = [entry for entry in some_entries() if "a-1" in (entry.key, entry.about)]
    assert standing(entries) == states(entries)["a-1"]
    assert standing([*entries, later("z", "a-1", room=None)]).get("room") is None


def test_each_criterion_is_exactly_one_fault() -> None:
    named = [name for kind in fault_kinds().values() for name in kind.criteria]
    assert sorted(named) == sorted(name.value for name in CriterionName)
