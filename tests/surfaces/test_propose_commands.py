"""Proposed marks by command: written beside films, and never measured before they are looked at."""

import json
from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest

from bitewright.equipment.catalogue import packaged_catalogue
from bitewright.files.images import read_image, write_image
from bitewright.files.marks_file import read_marks, write_marks
from bitewright.marking.marks import MarkOrigin
from bitewright.tasks.assess.taken_film import UnconfirmedMarksError, read_taken_film
from tests.surfaces.test_command_line import app, refusal, run, said

VIEW = "right-premolar"


@pytest.fixture(scope="module")
def taken(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A simulated film with its true marks beside it."""
    folder = tmp_path_factory.mktemp("taken")
    said(
        *("predict", "--view", VIEW, "--receptor", "sensor-2", "--planned"),
        *("--swing-forward", "3", "--film-pixel", "0.05"),
        *("--film", str(folder / "film.png"), "--marks", str(folder / "true.json")),
    )
    return folder


def not_one_marked(*arguments: str) -> str:
    """What the command says where it proposes nothing on any film, in one line."""
    answer = run.invoke(app, ["propose", *arguments, "--json"])
    assert answer.exit_code == 1, answer.output
    films = json.loads(answer.output)["films"]
    return " ".join([each["failed"] or " ".join(each["proposal"]["sentences"]) for each in films])


@pytest.mark.slow
def test_marks_of_a_simulated_film_are_proposed_where_it_shows_them(taken: Path) -> None:
    out = taken / "out"
    out.mkdir()
    answer = json.loads(said("propose", str(taken / "film.png"), "--out", str(out), "--json"))
    (film,) = answer["films"]
    proposed, true = read_marks(Path(film["written"])), read_marks(taken / "true.json")
    assert proposed.view == VIEW
    assert {mark.origin for mark in proposed.marks.values()} == {MarkOrigin.PROPOSED}
    assert film["proposal"]["marks"]["marks"].keys() == proposed.marks.keys()
    pixel_mm = proposed.pixel_mm or 0.0
    off = {
        name: pixel_mm * np.hypot(mark.x_px - own.x_px, mark.y_px - own.y_px)
        for name, mark in true.marks.items()
        if mark.x_px is not None and (own := proposed.marks.get(name))
    }
    edges = [size for name, size in off.items() if name[3:] in {"mesial", "distal"}]
    assert len(edges) >= 12
    assert np.median(edges) < 0.3, "a third of a millimetre along and down the row"
    assert "already there" in not_one_marked(str(taken / "film.png"), "--out", str(out))


@pytest.mark.slow
def test_the_same_film_kept_or_shown_otherwise_gets_the_same_marks(taken: Path) -> None:
    folder = taken / "looks"
    folder.mkdir()
    film = read_image(taken / "film.png")
    usual = film.pixels >> (film.bits - 12)
    looks = {
        "usual": usual * 16,
        "twelve-in-sixteen": usual,
        "negative": (4095 - usual) * 16,
        "flat": 20000 + usual,
    }
    for name, pixels in looks.items():
        write_image(folder / f"{name}.png", pixels, pixel_mm=0.05, description="")
    answer = json.loads(said("propose", str(folder), "--json"))
    made = {Path(film["film"]).stem: film["proposal"] for film in answer["films"]}
    marks = {name: proposal["marks"]["marks"] for name, proposal in made.items()}
    for name in looks:
        assert made[name]["doubts"] == (["negative"] if name == "negative" else [])
        assert marks[name].keys() == marks["usual"].keys()
        off = [abs(mark["x_px"] - marks["usual"][at]["x_px"]) for at, mark in marks[name].items()]
        assert 0.05 * np.quantile(off, 0.9) < 0.1, name
    assert "shown as its negative" in " ".join(made["negative"]["sentences"])


@pytest.mark.slow
def test_a_film_without_a_pixel_size_is_doubted_in_its_file_and_states_none(taken: Path) -> None:
    folder = taken / "sizeless"
    folder.mkdir()
    film = folder / "film.png"
    write_image(film, read_image(taken / "film.png").pixels, pixel_mm=None, description="")
    (answer,) = json.loads(said("propose", str(film), "--json"))["films"]
    assert "pixel-size" in answer["proposal"]["doubts"]
    written = read_marks(Path(answer["written"]))
    assert written.pixel_mm is None
    assert "pixel_mm" not in answer["proposal"]["marks"]
    assert all(mark.doubt for mark in written.marks.values())
    assert list(written.marks) == answer["proposal"]["doubtful_marks"]
    assert written.proposed is not None
    assert written.proposed.doubted == tuple(written.marks)
    given = ("assess", str(film), "--marks", answer["written"], "--confirmed", "--no-explain")
    assert "says no pixel size" in refusal(*given)
    assert "plate" in said(*given, "--receptor", "plate-2"), "the size is told to be its receptor's"


def test_a_folder_that_is_not_there_is_told_once_before_any_film_is_read(tmp_path: Path) -> None:
    for name in ("one.png", "two.png"):
        (tmp_path / name).write_bytes(b"no film")
    for folder in (tmp_path / "none", tmp_path / "one.png"):
        told = refusal("propose", str(tmp_path), "--out", str(folder))
        assert f"{folder.name} is no folder that marks files can be written to" in told
        assert "two.png" not in told


@pytest.mark.slow
def test_what_is_no_bitewing_gets_a_sentence_and_no_marks(taken: Path) -> None:
    folder = taken / "others"
    folder.mkdir()
    noise = np.random.default_rng(1).integers(20000, 40000, (310, 410)).astype(np.uint16)
    write_image(folder / "noise.png", noise, pixel_mm=0.1, description="")
    write_image(folder / "empty.png", noise * 0, pixel_mm=0.1, description="")
    text = not_one_marked(str(folder))
    assert "the picture is empty" in text
    assert "this does not look like a bitewing" in text
    assert not list(folder.glob("*.json"))
    (folder / "none").mkdir()
    assert "holds no film" in refusal("propose", str(folder / "none"))


def test_marks_that_nobody_looked_at_are_not_measured(
    demonstration: tuple[Path, str], tmp_path: Path
) -> None:
    taken = demonstration[0]
    true, known = read_marks(taken / "exposed.marks.json"), packaged_catalogue()
    path = tmp_path / "proposed.json"
    marks = {
        name: replace(mark, origin=MarkOrigin.PROPOSED)
        for name, mark in true.marks.items()
        if mark.x_px is not None
    }
    write_marks(path, replace(true, marks=marks))
    seen = tmp_path / "seen.json"
    write_marks(seen, replace(true, marks={name: true.marks[name] for name in marks}))
    film = str(taken / "exposed.png")
    wanted = f"{len(marks)} marks are proposed, not confirmed"
    assert wanted in refusal("assess", film, "--marks", str(path))
    assert wanted in refusal("visit", str(path))
    with pytest.raises(UnconfirmedMarksError):
        read_taken_film(path, known)
    confirmed = said("assess", film, "--marks", str(path), "--confirmed", "--no-explain")
    assert confirmed == said("assess", film, "--marks", str(seen), "--no-explain")
    looked = {name: replace(mark, origin=MarkOrigin.CONFIRMED) for name, mark in marks.items()}
    write_marks(path, replace(true, marks=looked))
    assert read_taken_film(path, known).marks.marks == looked
