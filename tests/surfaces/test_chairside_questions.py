"""What the chairside is asked and answers: the light box and the command line say the same."""

import json
from pathlib import Path

import pytest
from fastapi.testclient import TestClient
from typer.testing import CliRunner

from bitewright.cli.main import app as command_line
from bitewright.files.marks_file import write_marks
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
