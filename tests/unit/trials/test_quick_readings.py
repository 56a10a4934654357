"""What the light box's page says of quick readings is of the code as it is."""

import json
from typing import Any

import pytest

from trials.explained_films import Case
from trials.quick_readings import CANNOT_TELL, FIRST_FILMS, KEEP, quick_film
from trials.quick_tables import agreement_table, settled_table

CHANGED = (
    "the code that reads films quickly has changed since the run that docs/light-box.md quotes: "
    "renew it as the docstring of builders/quick_reading.py says"
)


def line(told: str, whole: str, *, settled: bool, swing: float = -9.0) -> dict[str, Any]:
    """A film read at once by its twelve marks."""
    step = {
        "marks": 12,
        "is_quick": True,
        "told": told,
        "serves": False,
        "settled": settled,
        "swing": swing,
    }
    return {
        "view": "right-premolar",
        "marks": 46,
        "steps": [step],
        "whole": whole,
        "swing": -8.0,
        "true": {"swing": -10.0},
        "truly": "swing -",
    }


def test_tables_count_what_changed_after_it_was_called_settled() -> None:
    lines = [
        line("swing -", "swing -", settled=True),
        line("swing -", "vertical +", settled=True),
        line("swing +", "swing -", settled=False, swing=7.0),
        line(CANNOT_TELL, KEEP, settled=False),
    ]
    settled = settled_table(lines).splitlines()[-1]
    assert "| all | 4 | 50% | 50% | 12 | 1 of 2 | 50.0%, 97% |" in settled
    agreement = agreement_table(lines).splitlines()[-1]
    assert agreement.startswith("| all | 4 | 12 of 46 | 25% | 1 |")
    assert "75.0% of 4 | 100.0%" in agreement


@pytest.mark.slow
@pytest.mark.parametrize("written", json.loads(FIRST_FILMS.read_text(encoding="utf-8")))
def test_the_code_reads_the_first_films_of_the_run_as_it_did(written: dict[str, Any]) -> None:
    now = quick_film(Case(run=written["run"], number=written["number"]))
    for name in ("whole", "truly", "serves", "marks"):
        assert now[name] == written[name], CHANGED
    assert now["swing"] == pytest.approx(written["swing"], abs=0.01), CHANGED
    for was, step in zip(written["steps"], now["steps"], strict=True):
        assert step["told"] == was["told"], CHANGED
        assert step["settled"] == was["settled"], CHANGED
        assert step["swing"] == pytest.approx(was["swing"], abs=0.01), CHANGED
