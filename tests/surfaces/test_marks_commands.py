"""Marks files made by command: one to fill in, and the true one of a predicted film."""

import json
from pathlib import Path

import numpy as np
import pytest

from bitewright.files.images import write_image
from bitewright.files.marks_file import read_marks
from tests.surfaces.test_command_line import refusal, said

VIEW = ("--view", "right-molar")


@pytest.fixture
def film(tmp_path: Path) -> Path:
    path = tmp_path / "film.png"
    write_image(path, np.full((130, 180), 30000, dtype=np.uint16), pixel_mm=0.2, description="")
    return path


def test_an_empty_marks_file_knows_its_film_and_lists_what_to_mark(film: Path) -> None:
    text = said("marks", "new", str(film), *VIEW, "--receptor", "sensor-2", "--absent", "46")
    marks = read_marks(film.with_name("film.marks.json"))
    assert (marks.columns, marks.rows, marks.pixel_mm) == (180, 130, 0.2)
    assert (marks.view, marks.receptor, marks.absent_teeth) == ("right-molar", "sensor-2", (46,))
    assert not marks.marks
    assert "15.distal            the distal edge of 15 at its contact" in text
    assert text.index("15.distal ") < text.index("15.distal.crest")
    assert "46." not in text, "an absent tooth is not asked for"
    assert text.splitlines()[-1].endswith("film.marks.json.")


def test_marks_that_are_there_are_never_overwritten(film: Path) -> None:
    kept = film.with_name("film.marks.json")
    kept.write_text("mine", "utf-8")
    assert "is already there and may hold marks" in refusal("marks", "new", str(film), *VIEW)
    assert kept.read_text("utf-8") == "mine"
    other = film.with_name("second.json")
    said("marks", "new", str(film), *VIEW, "--out", str(other))
    assert not read_marks(other).marks


@pytest.mark.parametrize(
    ("wrong", "why"),
    [
        (("--view", "right-molars"), "right-molar"),
        ((*VIEW, "--receptor", "sensor-9"), "sensor-9"),
        ((*VIEW, "--absent", "19"), "not known in ISO 3950"),
    ],
)
def test_a_wrong_name_is_refused_and_nothing_written(
    film: Path, wrong: tuple[str, ...], why: str
) -> None:
    assert why in refusal("marks", "new", str(film), *wrong)
    assert sorted(each.name for each in film.parent.iterdir()) == ["film.png"]


def test_true_marks_of_a_predicted_film_give_back_what_was_predicted(tmp_path: Path) -> None:
    film, marks = tmp_path / "film.png", tmp_path / "true.json"
    setting = (*VIEW, "--receptor", "sensor-2", "--swing-forward", "6")
    answer = json.loads(
        said("predict", *setting, "--film", str(film), "--film-pixel", "0.1", "--marks", str(marks),
             "--json")
    )  # fmt: skip
    assessed = json.loads(
        said("assess", str(film), "--marks", str(marks), "--no-explain", "--json")
    )
    found = {each["contact"]: each["overlap_mm"] for each in assessed["contacts"]}
    predicted = {each["contact"]: each["overlap_mm"] for each in answer["contacts"]}
    assert len(found) >= 4
    # The film's own scale is not known: 1.04 is assumed, the truth is within a few percent.
    assert found == pytest.approx({name: predicted[name] for name in found}, abs=0.03)


@pytest.mark.parametrize(
    ("options", "why"),
    [((), "give --film as well"), (("--film", "f.png", "--fault", "bent"), "without --fault")],
)
def test_true_marks_need_a_film_that_shows_them(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, options: tuple[str, ...], why: str
) -> None:
    monkeypatch.chdir(tmp_path)
    assert why in refusal("predict", *VIEW, "--marks", "true.json", *options)
    assert not list(tmp_path.iterdir())
