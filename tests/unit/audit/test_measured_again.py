"""The tables of docs/audit-methods.md are of the code as it is."""

import tomllib

import numpy as np
import pytest

from benchmarks.simulated_records import BLOCK, cells, judged_records
from benchmarks.simulated_years import judged_year
from bitewright.audit.simulated_school import planned_odds
from builders.audit_tables import AGAIN, FIRST, PAGE, odds_table
from builders.school_odds import failing

KEPT = tomllib.loads(FIRST.read_text(encoding="utf-8"))
RENEW = "run benchmarks/simulated_records.py and simulated_years.py, then builders/audit_tables.py"


@pytest.mark.parametrize("name", AGAIN)
def test_first_records_are_judged_as_in_the_run(name: str) -> None:
    (cell,) = (each for each in cells() if each.name == name)
    assert judged_records(cell, range(BLOCK)) == KEPT["records"][name], RENEW


@pytest.mark.parametrize("kind", ["with the effects", "without"])
def test_the_first_year_is_judged_as_in_the_run(kind: str) -> None:
    assert judged_year((kind, 0)) == KEPT["years"][kind], RENEW


def test_the_page_shows_the_planners_odds() -> None:
    assert odds_table() in PAGE.read_text(encoding="utf-8"), "run builders/audit_tables.py"


@pytest.mark.slow
def test_the_planner_still_gives_these_odds() -> None:
    """Within three standard deviations of 4000 draws, and exactly where nothing has changed."""
    table = planned_odds()
    ours = failing("plate-2", "right-molar", tuple(table["means_deg"]))
    kept = table["plate-2"]["right-molar"]
    assert np.abs(np.subtract(ours, kept)).max() < 3 * np.sqrt(0.25 / 4000), (
        "run builders/school_odds.py"
    )
