"""What is told of generated exercises was measured with the code as it is."""

import json

import pytest

from benchmarks.exercises import place_line
from builders.exercises import PAGE, RECORD, SAID
from trials.exercise_tables import QUICK, exercise_tables

FIRST = json.loads(RECORD.read_text("utf-8"))


def test_the_page_has_every_table() -> None:
    text = PAGE.read_text("utf-8")
    for name in exercise_tables(FIRST):
        assert f"<!-- {name}: {SAID} -->\n\n| " in text


def test_what_is_promised_holds_in_the_tables() -> None:
    """Twins never say otherwise, fans seldom; no film but differs visibly from the good one."""
    judged = PAGE.read_text("utf-8").partition("<!-- judged: ")[2].partition("<!-- end -->")[0]
    rows = [line.strip("|").split("|") for line in judged.splitlines() if line.startswith("|")][2:]
    counts = {title.strip(): told.strip().split(" of ") for title, told in rows}
    for title, (some, of) in counts.items():
        if "both are right" in title:
            assert some == of, title
        if "By the fans" in title:
            assert int(some) > 0.75 * int(of), title
        if "The fans" in title:
            assert int(some) > 0.95 * int(of), title
        if "hardly differs" in title:
            assert some == "0", title


@pytest.mark.slow
def test_the_first_place_is_drawn_as_in_the_run() -> None:
    now = place_line((0, 0, False))["items"]
    assert [{name: item[name] for name in QUICK if name in item} for item in now] == FIRST, (
        "exercises are drawn otherwise since the tables of docs/teach.md were measured: run "
        "benchmarks/exercises.py and builders/exercises.py again"
    )


def test_tables_count_by_hand() -> None:
    found = {"kind": "name", "fault": "tube-too-low", "agrees": True, "found": "tube-too-low"}
    missed = {**found, "agrees": False, "found": "none", "changed_share": 0.01}
    made = exercise_tables([found, missed])
    assert "| Name what went wrong | 2 |" in made["exercises"]
    assert "names what was planted first | 1 of 2 |" in made["judged"]
    assert "a scratch or a crease | 1 of 1 |" in made["judged"]
    assert "| 2 | 1 of 2 | none 1 | 1.0% |" in made["planted"]
