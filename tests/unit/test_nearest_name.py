"""A mistyped name is asked back; a strange one is not."""

import pytest

from bitewright.nearest_name import meant

NAMES = ("standard", "narrow-arch", "drawn-7", "drawn-7-thirds")


@pytest.mark.parametrize(
    ("given", "likely"),
    [
        ("standrad", "standard"),
        ("Standard", "standard"),
        ("narow arch", "narrow-arch"),
        ("drawn-7-third", "drawn-7-thirds"),
    ],
)
def test_a_slip_of_the_hand_is_asked_back(given: str, likely: str) -> None:
    assert meant(given, NAMES) == f" Did you mean '{likely}'?"


@pytest.mark.parametrize("given", ["", "x", "quite another thing", 7, "s" * 5000])
def test_what_is_like_none_of_them_is_not(given: object) -> None:
    assert meant(given, NAMES) == ""
