"""The gate by command: not exposing first, the odds, and a decision that goes to the log once."""

import json
from pathlib import Path

import pytest

from bitewright.files.json_documents import check_document
from bitewright.files.marks_file import write_marks
from tests.surfaces.test_command_line import refusal, said
from tests.unit.visit.marked import film

STATED = ("--purpose", "pain at 45", "--cause", "tube too far forward", "--change", "tube back")


@pytest.fixture
def visit(own_folders: Path) -> tuple[str, ...]:
    """A visit with 44-45 closed, its poor film in the log as exposure 1."""
    folder = own_folders / "visit"
    folder.mkdir()
    write_marks(folder / "a.json", film("right-premolar", {"44-45": 1.2}).marks)
    write_marks(folder / "b.json", film("right-molar").marks)
    said("log", "add", "--operator", "S12", "--view", "right-premolar", "--key", "poor")
    return ("gate", str(folder), "--side", "right")


def test_not_exposing_stands_first_and_nothing_is_offered_unstated(visit: tuple[str, ...]) -> None:
    text = " ".join(said(*visit).split())
    first = text.index("Do not expose: it leaves unread 44 distal, 45 mesial.")
    assert first < text.index("No exposure is offered before somebody states what it is wanted for")
    assert "uSv" not in text
    assert text.count("belongs to the licensed practitioner") == 1


def test_the_odds_come_with_dose_and_caution_and_fit_the_schema(visit: tuple[str, ...]) -> None:
    document = json.loads(said(*visit, *STATED, "--hand", "learner", "--json"))
    check_document(document, "it", schemas={"bitewright.gate/1": "gate-1.json"})
    assert document["offered"]
    assert document["best"]["view"] == "right-premolar"
    assert 0.5 < document["best"]["chances"]["44.distal"] <= 1.0
    assert "Ludlow et al. 2008" in document["exposing"][-1]


def test_a_decision_goes_to_the_log_once(visit: tuple[str, ...]) -> None:
    signed = ("--decide", "not-exposing", "--about", "poor", "--reason", "recall in a year")
    first = json.loads(said(*visit, *signed, "--by", "T1", "--json"))["recorded"]
    again = json.loads(said(*visit, *signed, "--by", "T1", "--json"))["recorded"]
    assert (first["added"], again["added"]) == (True, False)
    history = " ".join(said("log", "show", "poor").split())
    assert "Do not expose: recall in a year; left unread: 44 distal, 45 mesial" in history
    assert "T1" in history


def test_what_is_not_offered_or_not_signed_is_not_written(visit: tuple[str, ...]) -> None:
    signed = ("--about", "poor", "--by", "T1", "--reason", "I want it")
    text = refusal(*visit, "--decide", "exposing", *signed)
    assert text.startswith("This decision is not written. No exposure is offered")
    own = ("--decide", "not-exposing", "--student", "T1")
    assert "a supervisor signs" in refusal(*visit, *own, *signed)
    assert "A decision needs a reason" in refusal(
        *visit, "--decide", "not-exposing", "--about", "poor", "--by", "T1"
    )
    assert "Do not expose" not in said("log", "show", "poor")
