"""What the chairside is asked and answers: the light box and the command line say the same."""

import json
from pathlib import Path

import pytest
from fastapi.testclient import TestClient
from typer.testing import CliRunner

from bitewright.cli.main import app as command_line
from bitewright.files.marks_file import write_marks
from tests.surfaces.test_command_line import refusal
from tests.surfaces.test_light_box_pages import FILMS, browser, png, simulated_marks

__all__ = ["browser", "png"]


@pytest.mark.slow
def test_an_answer_is_weighed_by_the_page_as_by_the_command_line(
    browser: TestClient, png: Path, tmp_path: Path
) -> None:
    browser.put(f"{FILMS}?label=w", content=png.read_bytes())
    simulated = simulated_marks(swing_deg=20.0)
    document = dict(simulated["document"])  # type: ignore[call-overload]
    marks = {k: v for k, v in document.items() if k not in {"format", "image"}}
    marks["holder"] = "ring-holder"
    browser.put(f"{FILMS}/1/marks", json={"version": 0, "marks": marks})
    before = browser.get(f"{FILMS}/1/explanation").json()
    assert before["answer"]["asked"] is None, "one cause is sure"
    answered = marks | {"answers": {"low": True}}
    browser.put(f"{FILMS}/1/marks", json={"version": 1, "marks": answered})
    after = browser.get(f"{FILMS}/1/explanation").json()
    assert "too low in its holder? Yes." in after["explanation"]["sentences"]["teacher"]
    height = [
        next(each for each in told["explanation"]["movements"] if each["part"] == "height")
        for told in (before, after)
    ]
    assert height[1]["value"] > height[0]["value"]
    write_marks(tmp_path / "m.json", simulated["film"])  # type: ignore[arg-type]
    (tmp_path / "film-1").write_bytes(png.read_bytes())
    command = ["assess", str(tmp_path / "film-1"), "--marks", str(tmp_path / "m.json"), "--json"]
    said = CliRunner().invoke(
        command_line, [*command, "--holder", "ring-holder", "--answer", "low=yes"]
    )
    assert json.loads(said.stdout) == after


def test_an_answer_to_no_question_is_not_kept(browser: TestClient, png: Path) -> None:
    browser.put(f"{FILMS}?label=w", content=png.read_bytes())
    for answers in ({"teeth": True}, {"low": "yes"}):
        marks = {"view": "right-premolar", "answers": answers}
        answer = browser.put(f"{FILMS}/1/marks", json={"version": 0, "marks": marks})
        assert answer.status_code == 400
    assert browser.get(FILMS).json()[0]["marks"] == {}


@pytest.mark.parametrize("answer", [{"rim_flush": False}, {"answers": {"gap-above": True}}])
def test_rim_and_ring_are_not_answered_of_a_holder_without_one(
    browser: TestClient, png: Path, answer: dict[str, object]
) -> None:
    """They were kept, and weighed nothing."""
    browser.put(f"{FILMS}?label=w", content=png.read_bytes())
    marks = {"view": "right-premolar", "holder": "tab", **answer}
    refused = browser.put(f"{FILMS}/1/marks", json={"version": 0, "marks": marks})
    assert refused.status_code == 400
    assert "'tab', which has no ring: leave it out" in refused.json()["error"]
    assert browser.get(FILMS).json()[0]["marks"] == {}
    marks["holder"] = "ring-holder"
    kept = browser.put(f"{FILMS}/1/marks", json={"version": 0, "marks": marks})
    assert kept.status_code == 200


@pytest.mark.parametrize("given", [["--answer", "gap-along=no"], ["--rim-off"]])
def test_a_ring_that_the_holder_lacks_is_refused_in_one_sentence(
    png: Path, tmp_path: Path, given: list[str]
) -> None:
    write_marks(tmp_path / "m.json", simulated_marks(swing_deg=20.0)["film"])  # type: ignore[arg-type]
    (tmp_path / "film-1").write_bytes(png.read_bytes())
    command = ["assess", str(tmp_path / "film-1"), "--marks", str(tmp_path / "m.json")]
    said = refusal(*command, "--holder", "tab", *given)
    assert said.startswith("No answer about rim and ring (")
    assert said.endswith("bite, front, back, high, low and level can be answered.")


@pytest.mark.parametrize(
    ("given", "told"),
    [
        (["--answer", "bite=yes", "--answer", "low=no"], "--answer 'bite=yes' and --answer"),
        (["--rim-flush"], "leave out --rim-flush."),
    ],
)
def test_answers_that_nothing_would_weigh_are_refused(given: list[str], told: str) -> None:
    """They said nothing."""
    command = ["assess", "no-film.png", "--marks", "none.json", "--no-explain"]
    said = refusal(*command, *given)
    assert said.startswith("--no-explain goes with no answers")
    assert told in said
