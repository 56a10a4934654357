"""The plan of a visit by command: films in order with their odds, cards, and what none shows."""

import json
from pathlib import Path

import pytest

from bitewright.files.json_documents import check_document
from tests.surfaces.test_command_line import refusal, said

HERE = ("plan-visit", "--side", "right", "--mouth", "standard")


@pytest.mark.slow
def test_a_visit_is_planned_with_cards_for_its_films(own_folders: Path) -> None:
    document = json.loads(said(*HERE, "--json", "--card", str(own_folders / "cards.html")))
    check_document(document, "it", schemas={"bitewright.visit-plan/1": "visit-plan-1.json"})
    places = [name for film in document["films"] for name in film["places"]]
    assert len(places) == len(set(places))
    assert {"14.distal", "16.mesial", "46.distal"} <= set(places)
    assert document["all"]["very-steady"] >= document["all"]["learner"]
    cards = (own_folders / "cards.html").read_text("utf-8")
    assert all(film["view"].replace("-", " ").capitalize() in cards for film in document["films"])


@pytest.mark.slow
def test_lost_teeth_and_named_ones_narrow_what_is_wanted() -> None:
    asked = ("--lost", "47", "--tooth", "46", "--tooth", "45")
    document = json.loads(said(*HERE, *asked, "--json"))
    places = {name for film in document["films"] for name in film["places"]}
    assert places | set(document["not_shown"]) == {"45.mesial", "45.distal", "46.mesial"}


def test_what_cannot_be_wanted_is_refused_in_a_sentence() -> None:
    assert "Tooth 47 is not in this mouth" in refusal(*HERE, "--lost", "47", "--tooth", "47")
    assert "needs nothing of 11 on a bitewing" in refusal(*HERE, "--tooth", "11")
    assert "no receptor or holder" in refusal(*HERE, "--own", "sensor-9")
    assert "A chair card is written as PDF" in refusal(*HERE, "--card", "cards.txt")
