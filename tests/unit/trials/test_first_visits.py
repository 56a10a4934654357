"""The first visits of the runs behind docs/visit.md: ledger and gate say what they said then."""

import json

import pytest

from benchmarks.gates import visit_with_gate
from benchmarks.visits import simulated_visit
from builders.visit_page import FIRST, FIRST_GATES, PAGE
from trials.visit_tables import HEAD

KEPT = json.loads(FIRST.read_text(encoding="utf-8"))
GATES = json.loads(FIRST_GATES.read_text(encoding="utf-8"))
NEAR = 0.005
"""Chances are counted over 600 drawn exposures."""


@pytest.mark.parametrize(
    "place", [0, *(pytest.param(place, marks=pytest.mark.slow) for place in (1, 2))]
)
def test_the_first_visits_are_judged_as_in_the_run(place: int) -> None:
    kept = KEPT[place]
    made = simulated_visit((kept["run"], kept["number"], kept["times"]))
    assert json.loads(json.dumps(made)) == kept, "run builders/visit_page.py with a new run"


def test_the_page_holds_the_tables() -> None:
    assert HEAD in PAGE.read_text(encoding="utf-8")


@pytest.mark.slow
def test_the_first_gates_say_and_win_what_they_did_in_the_run() -> None:
    kept = GATES[0]
    made = visit_with_gate((kept["run"], kept["number"]))
    assert len(made["decisions"]) == len(kept["decisions"])
    for now, then in zip(made["decisions"], kept["decisions"], strict=True):
        assert (now["view"], now["won"]) == (then["view"], then["won"])
        assert now["places"] == pytest.approx(then["places"], abs=NEAR)
