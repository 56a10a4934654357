"""Simulated answers are true of the exposure, and what is said of them is of the code as it is."""

import json
from dataclasses import asdict, replace
from pathlib import Path
from typing import Any

import numpy as np
import pytest

from bitewright.estimation.mouth_prior import mean_mouth
from bitewright.explanation.chairside_answers import ChairsideQuestion
from bitewright.explanation.correction import CauseName
from bitewright.planning.best_aim import Setting
from bitewright.quality.views import view
from builders.chairside_page import FIRST, PAGE, RENEWED_BY
from trials.chairside_answers import (
    AnsweredFilm,
    Meant,
    Told,
    answered_film,
    answered_of,
    answers_table,
    fault_cases,
    of_run,
    read_answered,
    true_answers,
    write_answered,
)
from trials.explained_films import Case
from trials.known_films import Equipment, KnownFilm, single_fault

AS_MEANT = {
    ChairsideQuestion.RIM: True,
    ChairsideQuestion.GAP_ALONG: False,
    ChairsideQuestion.GAP_ABOVE: False,
    ChairsideQuestion.FRONT: False,
    ChairsideQuestion.BACK: False,
    ChairsideQuestion.HIGH: False,
    ChairsideQuestion.LOW: False,
    ChairsideQuestion.LEVEL: True,
}


FLUSH = Setting(
    forward_mm=0.5, lingual_mm=12.0, turn_deg=5.0, ring_offset_deg=0.0, vertical_deg=0.0
)
"""As the general plan sets a molar view up: the rim flush with its ring."""


def faulty(fault: str, meant: Setting) -> KnownFilm:
    """A film of one fault, the hand following a set-up."""
    return single_fault(
        fault,
        mean_mouth(),
        view("right-molar"),
        Equipment.usual(),
        np.random.default_rng(4),
        meant=meant,
    )


@pytest.mark.parametrize(
    ("fault", "unlike"),
    [
        ("tube 10 degrees to the back", {"rim": False, "gap-along": True}),
        ("tube 12 degrees too high", {"rim": False, "gap-above": True}),
        ("receptor 5 mm to the back", {"back": True}),
        ("receptor 3 mm too low", {"low": True}),
        ("receptor's front 8 degrees up", {"level": False}),
    ],
)
def test_who_saw_it_all_tells_the_fault_and_nothing_else(
    fault: str, unlike: dict[str, bool]
) -> None:
    answers = dict(true_answers(faulty(fault, FLUSH), FLUSH))
    del answers[ChairsideQuestion.BITE]  # as palate and floor have it
    expected = AS_MEANT | {ChairsideQuestion(name): said for name, said in unlike.items()}
    assert answers == expected


def test_a_set_up_that_leaves_its_ring_shows_a_gap_though_it_is_as_meant() -> None:
    """Answers told instead how far the tube stood from the best of the mouth, which nobody sees."""
    beside = replace(FLUSH, ring_offset_deg=8.0)
    answers = true_answers(faulty("receptor 5 mm to the back", beside), beside)
    assert answers[ChairsideQuestion.GAP_ALONG]
    assert not answers[ChairsideQuestion.RIM]
    # Back on its ring by a fault, there is none.
    onto = true_answers(faulty("tube 10 degrees to the back", beside), beside)
    assert not onto[ChairsideQuestion.GAP_ALONG]


def told(first: CauseName, alternative: CauseName | None = None, *, asked: int = 0) -> Told:
    return Told(first=first, chance=0.5, alternative=alternative, asked=asked)


def test_the_table_counts_by_hand() -> None:
    """Two films of a tube too high: at first one right of two in doubt, with an answer both."""
    high, low = CauseName.TUBE_TOO_HIGH, CauseName.TUBE_TOO_LOW
    one = AnsweredFilm(
        run=1,
        number=0,
        fault="tube 12 degrees too high",
        meant=Meant.BEST,
        true=(told(high), told(high), told(high)),
        some_wrong=(told(high), told(low), told(low)),
        asked=(),
    )
    other = replace(
        one, true=(told(low, high), told(high, low, asked=1), told(high, asked=2)), number=1
    )
    rows = [line.split(" | ", 1)[1] for line in answers_table([one, other]).splitlines()[2:]]
    assert rows == [
        "none | 50.0% | 50.0% | 100.0% | 100.0% | 0.00 |",
        "one | 100.0% | 50.0% | 100.0% | 100.0% | 0.50 |",
        "one, one in ten wrong | 0.0% | 100.0% | 0.0% | 0.0% | 0.00 |",
        "two | 100.0% | 100.0% | 100.0% | 100.0% | 1.00 |",
        "two, one in ten wrong | 0.0% | 100.0% | 0.0% | 0.0% | 0.00 |",
    ]


def test_a_run_is_asked_for_by_its_own_number() -> None:
    """The benchmark's table had no films: single faults' runs are numbered a thousand higher."""
    kept = answered_of(json.loads(FIRST.read_text(encoding="utf-8"))[0])
    (case,) = fault_cases(986, 1)
    film = replace(kept, run=case.run)
    assert of_run([film, replace(film, run=case.run + 1)], 986) == [film]


def test_films_come_back_from_their_lines(tmp_path: Path) -> None:
    film = answered_of(json.loads(FIRST.read_text(encoding="utf-8"))[0])
    write_answered(tmp_path / "films.jsonl", [film])
    assert read_answered(tmp_path / "films.jsonl") == [film]


@pytest.mark.parametrize("kept", json.loads(FIRST.read_text(encoding="utf-8")))
def test_what_is_said_of_answers_is_of_the_code_as_it_is(kept: dict[str, Any]) -> None:
    case = Case(run=kept["run"], number=kept["number"], fault=kept["fault"])
    again = json.loads(json.dumps(asdict(answered_film(case, Meant(kept["meant"])))))
    for each in (*kept["true"], *kept["some_wrong"]):
        each["chance"] = pytest.approx(each["chance"], abs=0.002)
    assert again == kept, f"renew {PAGE.name} as the docstrings of {RENEWED_BY} say"
