"""`bitewright plan --ladder` and `--card`: what to try in order, and a card of what is taken."""

import json
from pathlib import Path

import pytest

from tests.surfaces.test_command_line import check_document, refusal, said

pytestmark = pytest.mark.slow

ROOM = ["--receptor", "sensor-2", "--own", "sensor-2", "--own", "plate-1", "--own", "ring-holder"]


def test_the_ladder_says_what_to_take_and_the_same_to_machines() -> None:
    asked = ["plan", "--view", "right-molar", *ROOM, "--limit", "shallow-palate"]
    found = json.loads(said(*asked, "--json"))
    check_document(found, "it", schemas={found["format"]: "ladder-1.json"})
    take = found["steps"][found["take"]]
    assert take["fits"]
    assert not any(
        each["odds"].get(found["decided_by"], 0) >= 0.9 for each in found["steps"][: found["take"]]
    )
    assert {each["receptor"] for each in found["steps"]} == {"sensor-2", "plate-1"}
    plates = [each for each in found["steps"] if each["receptor"] == "plate-1"]
    assert all(each["dose"] > 1.0 for each in plates)
    text = " ".join(said(*asked).split())
    assert text.count(" ".join(found["answer"].split())) == 1
    assert "Assumed of this patient. Shallow palate" in text
    assert "Set the receptor" in text


def test_no_film_here_serves_is_an_answer_and_brings_no_instruction() -> None:
    asked = ["plan", "--view", "right-molar", "--receptor", "sensor-2", "--own", "sensor-2"]
    asked += ["--own", "ring-holder", "--limit", "shallow-palate", "--limit", "upper-torus"]
    text = " ".join(said(*asked).split())
    assert "No film of this view serves here" in text
    assert "Nothing that this room has fits" in text
    assert "Set the receptor" not in text


def test_a_card_is_of_the_step_to_take_and_there_is_none_where_nothing_serves(
    tmp_path: Path,
) -> None:
    asked = ["plan", "--view", "right-molar", *ROOM, "--limit", "shallow-palate"]
    file = tmp_path / "card.html"
    assert "card.html, 1 card" in said(*asked, "--card", str(file))
    text = file.read_text(encoding="utf-8")
    assert "to the midline" in text
    assert "If it does not go so" in text
    none = tmp_path / "none.pdf"
    hopeless = ["--own", "sensor-2", "--own", "ring-holder", "--limit", "upper-torus"]
    asked = ["plan", "--view", "right-molar", "--receptor", "sensor-2", *hopeless]
    assert "There is no card" in refusal(*asked, "--limit", "shallow-palate", "--card", str(none))
    assert not none.exists()
