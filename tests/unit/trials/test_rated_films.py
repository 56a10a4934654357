"""The first films of the runs behind docs/ratings.md come out as they did, and lines go on."""

import json
from typing import Any

import numpy as np
import pytest

from builders.ratings_page import PAGE, RECORD
from trials import best_films, marked_films

KEPT = json.loads(RECORD.read_text(encoding="utf-8"))
RENEW = "the code has changed since the run: renew it as builders/ratings_page.py says"
OFF = 0.03
"""Chances and settings by which another processor may differ. Our choice."""


@pytest.mark.slow
@pytest.mark.parametrize("line", KEPT["best"], ids=lambda line: line["kind"])
def test_the_best_films_are_what_they_were_in_the_run(line: dict[str, Any]) -> None:
    kind, seed, receptor, view = best_films.key_of(line)
    case = best_films.Case(kind=kind, seed=seed, receptor=receptor, view=view)
    assert rounded(best_films.best_films(case)) == rounded(line), RENEW


@pytest.mark.parametrize(
    "line", [*KEPT["marked"], *KEPT["noise"]], ids=lambda line: f"{marked_films.key_of(line)[2]} mm"
)
def test_the_first_marked_films_are_told_as_in_the_run(line: dict[str, Any]) -> None:
    run, number, sd = marked_films.key_of(line)
    case = marked_films.Case(run=run, number=number, sets=2, mark_sd_mm=sd)
    now = marked_films.marked_film(case)
    assert now["true"] == line["true"], RENEW
    for ours, then in zip(now["sets"], line["sets"], strict=False):
        for name, said in then.items():
            assert numbers(ours[name]) == pytest.approx(numbers(said), abs=OFF), RENEW


def test_the_page_tells_how_many_films_were_marked() -> None:
    text = PAGE.read_text(encoding="utf-8")
    for name in ("shares", "reasons", "calibration", "noise", "grades", "open"):
        assert f"<!-- {name}: written by" in text


def rounded(line: dict[str, Any]) -> dict[str, Any]:
    """A line without what another processor may change: settings to a whole step, angles."""
    return {
        name: {key: each[key] for key in ("grade", "failed")} if isinstance(each, dict) else each
        for name, each in line.items()
    }


def numbers(said: Any) -> np.ndarray:
    """The numbers among what is said, none as -1."""
    if not isinstance(said, list):
        return np.array([said])
    if said and isinstance(said[0], list):
        return np.array([-1.0 if each[0] is None else each[0] for each in said])
    return np.array([each for each in said if not isinstance(each, str)])


def test_stated_chances_are_set_beside_what_came_true() -> None:
    """Ten films called 70% likely, seven of them acceptable."""
    stated = [(0.7, number < 7, number) for number in range(10)]
    assert marked_films._stated_and_true(stated, 0.6, 0.8).startswith("70%, 70%")
    assert marked_films._stated_and_true(stated, 0.8, 1.0) == ""
