"""The gate by command: not exposing first, the odds, and a decision that goes to the log once."""

import json
from pathlib import Path

import pytest

from bitewright.files.json_documents import check_document
from bitewright.files.marks_file import write_marks
from bitewright.marking.marks import Mark
from tests.surfaces.test_command_line import refusal, said
from tests.unit.visit.marked import changed, film, with_content

SHUT = film("right-premolar", {"44-45": 1.2})
STATED = ("--purpose", "pain at 45", "--cause", "tube too far forward", "--change", "tube back")


def test_not_marked_places_are_listed_and_marked_first(own_folders: Path) -> None:
    """A premolar film alone: what it may show of 16-17 nobody marked."""
    seen = {"16.distal": Mark(x_px=620.0, y_px=400.0)}
    write_marks(own_folders / "a.json", changed(film("right-premolar"), seen).marks)
    write_marks(own_folders / "b.json", film("right-molar", {"16-17": 1.4}).marks)
    asked = ("gate", str(own_folders / "a.json"), str(own_folders / "b.json"), "--side", "right")
    document = json.loads(said(*asked, *STATED, "--json"))
    check_document(document, "it", schemas={"bitewright.gate/1": "gate-1.json"})
    assert document["not_marked"] == ["16.distal", "17.mesial"]
    assert document["not_exposing"][0].startswith("Mark first")
    assert not any("no place that is needed is unread" in each for each in document["exposing"])


@pytest.fixture
def visit(own_folders: Path) -> tuple[str, ...]:
    """A visit with 44-45 closed, its poor film in the log as exposure 1."""
    folder = own_folders / "visit"
    folder.mkdir()
    write_marks(folder / "a.json", with_content(SHUT, 1).marks)
    write_marks(folder / "b.json", film("right-molar").marks)
    said("log", "add", "--operator", "S12", "--view", "right-premolar", "--key", "poor")
    return ("gate", str(folder), "--side", "right")


def test_not_exposing_stands_first_and_nothing_is_offered_unstated(visit: tuple[str, ...]) -> None:
    (Path(visit[1]) / "broken.json").write_text("{", "utf-8")
    text = " ".join(said(*visit).split())
    first = text.index("Do not expose: it leaves unread 44 distal, 45 mesial.")
    assert first < text.index("No exposure is offered before somebody states what it is wanted for")
    assert "uSv" not in text
    assert "Set aside: broken.json." in text, "no film is left out silently"
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


@pytest.mark.slow
def test_decision_film_and_outcome_go_to_the_log_once_and_are_audited(
    visit: tuple[str, ...], own_folders: Path
) -> None:
    signed = ("--decide", "exposing", "--reason", "pain", "--student", "S7", "--by", "T1")
    for _ in range(2):
        document = json.loads(said(*visit, *STATED, *signed, "--json"))
    assert not document["recorded"]["added"]
    odds = document["best"]["chances"]
    listed = json.loads(said("log", "list", "--json"))
    (poor,) = [each for each in listed["exposures"] if each["key"].startswith("film-")]
    assert (poor["operator"], poor["supervisor"], poor["decision"]) == ("S7", "T1", "rejected")
    waits = json.loads(said("audit", "gates", "--json"))
    check_document(waits, "it", schemas={"bitewright.audit-gates/1": "audit-gates-1.json"})
    assert "1 of them without an outcome" in waits["sentences"][0]

    same = ("--outcome", "a.json", "--about", poor["key"], "--by", "T1")
    assert "it is the film that the decision is about" in refusal(*visit, *same)
    write_marks(own_folders / "visit" / "c.json", with_content(film("right-premolar"), 2).marks)
    outcome = ("--outcome", "c.json", "--about", poor["key"], "--student", "S7", "--by", "T1")
    for _ in range(2):
        kept = json.loads(said(*visit, *outcome, "--json"))["recorded"]
    assert not kept["added"]
    history = " ".join(said("log", "show", poor["key"]).split())
    assert "decision at the gate of a visit by T1: Expose once more: pain" in history
    assert "decision from the further film of a visit by T1: Outcome: 2 of 2 places" in history
    told = json.loads(said("audit", "gates", "--json"))
    assert told["decisions"][0]["stated"] == pytest.approx(odds, abs=0.006)
    assert (told["rows"][0]["places"], told["rows"][0]["won"]) == (2, 2)
    assert "too few to tell" in said("audit", "gates")
    said("audit", "report", "--out", str(own_folders / "report"))
    page = (own_folders / "report" / "audit.html").read_text("utf-8")
    assert "Before another exposure: said and won" in page
    assert told["sentences"][1] in page
    table = (own_folders / "report" / "gates.csv").read_text("utf-8-sig").splitlines()
    assert table[0].startswith("chance stated,exposures,places,stated,won")
    assert len(table) == 1 + len(told["rows"])


def test_an_outcome_needs_stated_odds_and_a_film_of_the_visit(visit: tuple[str, ...]) -> None:
    asked = (*visit, "--outcome", "b.json", "--about", "poor", "--by", "T1")
    assert "No odds were stated with a decision on exposure poor" in refusal(*asked)
    unknown = refusal(*visit, "--decide", "not-exposing", "--reason", "recall", "--by", "T1")
    assert "not in the log, and nobody is named" in unknown
    assert "--operator, or --student" in unknown


def test_an_outcome_by_command_says_what_it_lacks(visit: tuple[str, ...]) -> None:
    asked = (*visit, "--outcome", "b.json")
    alone = refusal(*asked)
    assert "--about" in alone
    assert "--by" in alone
    assert "--decide" not in alone
    assert "--about" not in refusal(*asked, "--about", "poor")
    both = refusal(*asked, "--about", "poor", "--by", "T1", "--decide", "exposing")
    assert both.endswith("leave out --decide.")
