"""The first pairs of the run behind docs/recall.md: the films are told apart as they were then."""

import json

import pytest

from benchmarks.recalls import simulated_pair
from builders.recall_page import FIRST, PAGE
from trials.recall_tables import REPEATED_HEAD

KEPT = json.loads(FIRST.read_text(encoding="utf-8"))
NEAR = {"abs": 0.005}
"""Estimates are found by iteration."""


@pytest.mark.slow
def test_the_first_pair_is_told_as_in_the_run() -> None:
    kept = KEPT[0]
    made = simulated_pair((kept["run"], kept["number"]))
    assert [each["name"] for each in made["sites"]] == [each["name"] for each in kept["sites"]]
    for now, then in zip(made["sites"], kept["sites"], strict=True):
        figures = ("said_mm", "low_mm", "high_mm", "true_mm")
        assert [now[name] for name in figures] == pytest.approx([then[n] for n in figures], **NEAR)
    assert made["repeated_off_deg"] == pytest.approx(kept["repeated_off_deg"], abs=0.05)


def test_the_page_holds_the_tables() -> None:
    assert REPEATED_HEAD in PAGE.read_text(encoding="utf-8")
