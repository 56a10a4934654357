"""The ledger says of the first visits of the run behind docs/visit.md what it said then."""

import json

import pytest

from benchmarks.visits import simulated_visit
from builders.visit_page import FIRST, PAGE
from trials.visit_tables import HEAD

KEPT = json.loads(FIRST.read_text(encoding="utf-8"))


@pytest.mark.parametrize(
    "place", [0, *(pytest.param(place, marks=pytest.mark.slow) for place in (1, 2))]
)
def test_the_first_visits_are_judged_as_in_the_run(place: int) -> None:
    kept = KEPT[place]
    made = simulated_visit((kept["run"], kept["number"], kept["times"]))
    assert json.loads(json.dumps(made)) == kept, "run builders/visit_page.py with a new run"


def test_the_page_holds_the_tables() -> None:
    assert HEAD in PAGE.read_text(encoding="utf-8")
