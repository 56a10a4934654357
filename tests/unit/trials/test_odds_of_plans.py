"""The first mouth of the run behind docs/odds.md comes out as it did, and tables count rightly."""

import json
from itertools import pairwise
from typing import Any

import pytest

from benchmarks.ladders import answered, taken_step, told
from benchmarks.odds_of_plans import mouth_planned_for
from builders.odds_page import FIRST, FIRST_LADDER, PAGE
from trials.odds_tables import by_tenth, odds_tables, worth

RENEW = "the code has changed since the run: renew it as builders/odds_page.py says"
OFF_FILMS = 1
"""Films by which another processor may differ. Our choice."""


@pytest.mark.slow
def test_the_first_mouth_is_planned_for_and_filmed_as_in_the_run() -> None:
    kept = json.loads(FIRST.read_text(encoding="utf-8"))
    made = mouth_planned_for((kept["run"], kept["number"]))
    for now, then in zip(made["plans"], kept["plans"], strict=True):
        assert (now["plan"], now["hand"]) == (then["plan"], then["hand"])
        assert now["said"] == pytest.approx(then["said"], abs=0.005), RENEW
        for name in ("served", "served_by_outlines", "alike"):
            assert now[name] == pytest.approx(then[name], abs=OFF_FILMS), RENEW
        # Solids and outlines are built apart and mostly agree.
        assert now["alike"] >= 0.8 * now["films"]


@pytest.mark.slow
def test_the_first_ladder_takes_the_step_it_took_in_the_run() -> None:
    kept = json.loads(FIRST_LADDER.read_text(encoding="utf-8"))
    now = taken_step(answered(kept["number"], kept["view"])[2])
    assert (now["take"], now["with"]) == (kept["take"], kept["with"]), RENEW
    assert now["likeliest"] == pytest.approx(kept["likeliest"], abs=0.01), RENEW


def test_the_page_was_written_from_a_run() -> None:
    assert "Not run yet" not in PAGE.read_text(encoding="utf-8")


def mouth(number: int, served: int) -> dict[str, Any]:
    plans = ("mouth known", "mouth not known", "best aim, mouth not known", "straight across")
    return {
        "number": number,
        "kind": "calm",
        "receptor": "plate-2",
        "purpose": "enamel-caries",
        "plans": [
            {
                "plan": plan,
                "hand": "learner",
                "said": 0.75 if place < 2 else None,
                "films": 10,
                "served": served - place,
                "served_by_outlines": served,
                "read": 20,
            }
            for place, plan in enumerate(plans)
        ],
    }


def test_films_of_a_mouth_count_together() -> None:
    """Two mouths, 5 and 9 of 10 films: the error is over two mouths, not over 20 films."""
    kept = [mouth(0, 5), mouth(1, 9)]
    (row,) = (line for line in by_tenth(kept).splitlines() if "mouth known | 70%" in line)
    cells = [cell.strip() for cell in row.strip("|").split("|")]
    # Half of 1.96 standard errors: deviations -2 and 2 of 20 films, times the root of 2 / 1.
    assert cells[2:] == ["2", "20", "75.0%", "70.0%", "-5.0 (-44.2 to +34.2)", "70.0%"]
    rows = [line for line in worth(kept).splitlines() if line.startswith("| learner")]
    lost = [line.split("|")[-2].strip() for line in rows]
    assert lost[0] == ""
    assert lost[1].startswith("10.0%")
    assert [a < b for a, b in pairwise(lost[1:])] == [True, True]
    assert odds_tables(kept).count("\n\n") == 2


@pytest.mark.parametrize(
    ("taken", "said"),
    [
        (0.8004, "Nowhere does the step to take serve more often than brute force's best by 0.1%"),
        (0.803, "more often than brute force's best by up to 0.3%."),
    ],
)
def test_no_share_is_told_that_rounds_to_nought(taken: float, said: str) -> None:
    kept = {"brute": 0.8, "taken": taken, "take": "turned", "ladder_s": 1.0}
    assert said in told([kept])
