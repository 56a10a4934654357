"""The light box's addresses: films in, marks kept, the same words as the command line."""

import json
import re
import sqlite3
from collections.abc import Iterator
from concurrent.futures import ThreadPoolExecutor
from contextlib import closing
from dataclasses import replace
from pathlib import Path
from threading import Barrier

import numpy as np
import pytest
from fastapi.testclient import TestClient
from typer.testing import CliRunner

from bitewright.cli.main import app as command_line
from bitewright.exposing.aim import Aim
from bitewright.exposing.exposure import expose
from bitewright.exposing.placement import Placement
from bitewright.files.images import write_image
from bitewright.files.marks_file import marks_to_document, write_marks
from bitewright.marking.mark_order import mark_order
from bitewright.marking.simulated_marker import marked_by_simulation
from bitewright.quality.predicted import asked, predict
from bitewright.quality.views import view
from bitewright.tasks.light_box.light_box import open_own_light_box
from bitewright.web.application import create_app
from bitewright.web.pages.light_box import opened_box, own_box
from tests.edges.test_dicom_reading import saved
from tests.scenes import station_of
from tests.unit.marking.test_burnt_in_text import wedge, with_text

HOME = "http://127.0.0.1:8642"
OWN = {"origin": HOME}
FILMS = "/light-box/films"
VIEW = "right-premolar"
JSON = {"content-type": "application/json"}
COLUMNS, ROWS, PIXEL_MM = 205, 155, 0.2


@pytest.fixture
def browser(tmp_path: Path) -> Iterator[TestClient]:
    app = create_app()
    box = open_own_light_box(tmp_path / "box.sqlite")
    app.dependency_overrides[own_box] = lambda: box
    with TestClient(app, base_url=HOME, headers=OWN) as client:
        yield client


@pytest.fixture
def png(tmp_path: Path) -> Path:
    """A grey wedge of the size of a plate."""
    path = tmp_path / "wedge.png"
    wedge = np.linspace(0, 65535, COLUMNS * ROWS).astype(np.uint16).reshape(ROWS, COLUMNS)
    write_image(path, wedge, pixel_mm=PIXEL_MM, description="wedge")
    return path


def test_every_key_that_works_is_in_the_list_of_keys(browser: TestClient) -> None:
    """T, for a tooth that is missing, was not."""
    script = browser.get("/static/light_box/light_box.js").text
    works = re.search(r"const KEYS = \{(.+?)\};", script)
    assert works is not None
    keys = set(re.findall(r"(\w): \"", works[1]))
    assert {"t", "p", "0"} <= keys
    listed = re.findall(r"<dt>(.*?)</dt>", browser.get("/light-box").text)
    told = {key.lower() for line in listed for key in re.findall(r"<kbd>(.)</kbd>", line)}
    assert keys <= told


def simulated_marks(swing_deg: float) -> dict[str, object]:
    at = station_of(VIEW, "plate-2")
    aim = Aim(ring_offset_deg=swing_deg, vertical_deg=5.0)
    exposure = expose(at, Placement(lingual_mm=3.0), aim)
    landmarks = predict(exposure, asked(view(VIEW), at)).landmarks
    film = marked_by_simulation(
        landmarks,
        view(VIEW),
        pixel_mm=PIXEL_MM,
        image_name="film-1",
        receptor="plate-2",
        sd_mm=0.1,
        generator=np.random.default_rng(3),
    )
    return {"film": film, "document": marks_to_document(film)}


def test_a_film_comes_back_pixel_for_pixel(browser: TestClient, png: Path) -> None:
    made = browser.put(f"{FILMS}?label=wedge&visit=v", content=png.read_bytes())
    assert made.status_code == 201
    number = made.json()["id"]
    answer = browser.get(f"{FILMS}/{number}/pixels")
    pixels = np.frombuffer(answer.content, "<u2").reshape(ROWS, COLUMNS)
    assert pixels[0, 0] == 0
    assert pixels[-1, -1] == 65535
    assert answer.headers["x-columns"] == str(COLUMNS)
    assert [film["label"] for film in browser.get(FILMS).json()] == ["wedge"]
    answer = browser.get(f"{FILMS}/{number}/picture")
    rows, columns = int(answer.headers["x-rows"]), int(answer.headers["x-columns"])
    small = np.frombuffer(answer.content, np.uint8).reshape(rows, columns)
    assert columns <= 160
    assert columns / rows == pytest.approx(COLUMNS / ROWS, rel=0.05)
    assert small[0, 0] < 10
    assert small[-1, -1] > 245


@pytest.mark.slow
def test_marks_tell_what_the_command_line_tells(
    browser: TestClient, png: Path, tmp_path: Path
) -> None:
    browser.put(f"{FILMS}?label=w", content=png.read_bytes())
    simulated = simulated_marks(swing_deg=9.0)
    document = dict(simulated["document"])  # type: ignore[call-overload]
    marks = {k: v for k, v in document.items() if k not in {"format", "image"}}
    kept = browser.put(
        f"{FILMS}/1/marks", json={"version": 0, "marks": marks | {"holder": "ring-holder"}}
    )
    assert kept.json()["marks_version"] == 1
    answer = browser.get(f"{FILMS}/1/explanation")
    told = answer.json()
    write_marks(tmp_path / "m.json", simulated["film"])  # type: ignore[arg-type]
    (tmp_path / "film-1").write_bytes(png.read_bytes())
    command = ["assess", str(tmp_path / "film-1"), "--marks", str(tmp_path / "m.json"), "--json"]
    said = CliRunner().invoke(command_line, [*command, "--holder", "ring-holder"])
    same = json.loads(said.stdout)
    assert told == same
    assert answer.headers["x-has-drawing"] == "yes"
    assert answer.headers["x-marks-version"] == "1"
    assert browser.get(f"{FILMS}/1/drawing").text.startswith("<svg")
    predicted = browser.get(f"{FILMS}/1/explained-film")
    size = int(predicted.headers["x-columns"]) * int(predicted.headers["x-rows"])
    assert len(predicted.content) == size
    quick = browser.get(f"{FILMS}/1/assessment").json()
    assert quick["contacts"] == told["contacts"]
    assert "explanation" not in quick
    exported = browser.get(f"{FILMS}/1/marks-file").json()
    assert exported["marks"].keys() == document["marks"].keys()


def test_a_film_is_rated_for_and_by_what_is_asked(browser: TestClient, png: Path) -> None:
    browser.put(f"{FILMS}?label=w", content=png.read_bytes())
    document = dict(simulated_marks(swing_deg=20.0)["document"])  # type: ignore[call-overload]
    marks = {k: v for k, v in document.items() if k not in {"format", "image"}}
    browser.put(f"{FILMS}/1/marks", json={"version": 0, "marks": marks})

    def told(query: str) -> tuple[str, set[str]]:
        answer = browser.get(f"{FILMS}/1/assessment?{query}").json()
        return answer["rating"]["scheme_title"], {each["state"] for each in answer["contacts"]}

    usual, states = told("")
    assert usual == "UK 2020"
    assert "unreadable" in states
    assert told("scheme=uk-2001")[0] == "UK 2001"
    assert "unreadable" not in told("question=bone-level")[1]
    explained = browser.get(f"{FILMS}/1/explanation?scheme=uk-2001").json()
    assert explained["rating"]["scheme_title"] == "UK 2001"
    refused = browser.get(f"{FILMS}/1/assessment?question=bone-levl")
    assert refused.status_code == 400
    assert "Did you mean 'bone-level'?" in refused.json()["error"]


def test_marks_changed_elsewhere_are_not_overwritten(browser: TestClient, png: Path) -> None:
    browser.put(FILMS, content=png.read_bytes())
    marks = {"view": VIEW, "marks": {"14.mesial": {"x_px": 10.0, "y_px": 20.0}}}
    assert browser.put(f"{FILMS}/1/marks", json={"version": 0, "marks": marks}).status_code == 200
    late = browser.put(f"{FILMS}/1/marks", json={"version": 0, "marks": {"view": VIEW}})
    assert late.status_code == 409
    assert "changed elsewhere" in late.json()["error"]
    assert browser.get(f"{FILMS}/1").json()["marks"] == marks


def test_too_few_marks_are_told_without_a_failure(browser: TestClient, png: Path) -> None:
    browser.put(FILMS, content=png.read_bytes())
    marks = {"view": VIEW, "marks": {"13.distal": {"status": "outside"}}}
    browser.put(f"{FILMS}/1/marks", json={"version": 0, "marks": marks})
    answer = browser.get(f"{FILMS}/1/explanation")
    assert answer.status_code == 200
    assert "explanation" not in answer.json()


def test_a_view_wants_its_marks_one_after_the_other(browser: TestClient, png: Path) -> None:
    browser.put(FILMS, content=png.read_bytes())
    made = browser.put(f"{FILMS}/1/marks", json={"version": 0, "marks": {"view": VIEW}}).json()
    assert [each["name"] for each in made["wanted"]] == list(mark_order(view(VIEW)))
    assert made["wanted"][0]["words"] == "the distal edge of 13 at its contact"


def test_a_closed_space_is_asked_for_and_shown_as_a_contact(browser: TestClient, png: Path) -> None:
    """On a molar film without 15: 14 distal tells whether its space has closed."""
    browser.put(FILMS, content=png.read_bytes())
    stated = {"view": "right-molar", "absent_teeth": [15]}
    made = browser.put(f"{FILMS}/1/marks", json={"version": 0, "marks": stated | {"marks": {}}})
    asked = [each["name"] for each in made.json()["wanted"]]
    assert {"14.distal", "16.mesial"} <= set(asked)
    assert "14.distal.crest" not in asked
    facing = {
        "14.distal": {"x_px": 130.0, "y_px": 60.0},
        "16.mesial": {"x_px": 135.0, "y_px": 60.0},
    }
    marks = stated | {"marks": facing}
    made = browser.put(f"{FILMS}/1/marks", json={"version": 1, "marks": marks}).json()
    assert "14.distal.crest" in [each["name"] for each in made["wanted"]]
    told = browser.get(f"{FILMS}/1/assessment").json()["contacts"]
    across = next(each for each in told if each["contact"] == "14-16")
    assert across["overlap_mm"] == pytest.approx((5.0 * PIXEL_MM + 0.14) / 1.04, abs=0.05)


def test_dicom_is_entered_without_its_identities(browser: TestClient, tmp_path: Path) -> None:
    path = saved(
        tmp_path, PatientName="Invented^Nobody", PatientID="SECRET-77", StudyDate="20200102"
    )
    assert b"SECRET-77" in path.read_bytes()
    warned = browser.put(f"{FILMS}?label=DICOM", content=path.read_bytes())
    assert warned.status_code == 409
    assert "fills in the patient's name, ID and birth date" in warned.json()["error"]
    assert "SECRET" not in warned.text
    assert browser.get(FILMS).json() == []
    made = browser.put(f"{FILMS}?label=DICOM&looked_at=true", content=path.read_bytes())
    assert made.status_code == 201, made.text
    everything = made.text + browser.get(FILMS).text
    kept = b"".join(file.read_bytes() for file in tmp_path.rglob("box.sqlite*") if file.is_file())
    for secret in ("Invented", "SECRET-77", "20200102"):
        assert secret not in everything
        assert secret.encode() not in kept
    assert "source" in made.json()["kept"]


@pytest.mark.parametrize(
    ("body", "status", "sentence"),
    [
        (b"", 400, "The file is empty"),
        (b"no picture at all", 400, "of no format known here"),
        (b"\x89PNG\r\n\x1a\n broken", 400, "damaged"),
    ],
)
def test_bad_files_are_told_and_nothing_is_kept(
    browser: TestClient, body: bytes, status: int, sentence: str
) -> None:
    answer = browser.put(FILMS, content=body, headers=JSON)
    assert answer.status_code == status
    assert sentence in answer.json()["error"]
    assert browser.get(FILMS).json() == []


def test_a_file_that_is_too_large_is_refused(
    browser: TestClient, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr("bitewright.web.pages.light_box.MOST_UPLOAD_BYTES", 1000)
    answer = browser.put(FILMS, content=b"x" * 1001)
    assert answer.status_code == 413


@pytest.mark.parametrize(
    ("marks", "sentence"),
    [
        ({"view": "left-wing", "marks": {}}, "not known"),
        ({"view": VIEW, "marks": {"14.mesial": {"x_px": 9999.0, "y_px": 1.0}}}, "outside"),
        ({"view": VIEW, "marks": {"99.mesial": {"x_px": 9.0, "y_px": 1.0}}}, "99"),
        ({"marks": {"14.mesial": {"x_px": 9.0, "y_px": 1.0}}}, "no view yet"),
        ({"colour": "red"}, "have no field 'colour'"),
        ({"holder": {"a": 1}}, "holder: {'a': 1} is not allowed"),
        ({"holder": ["x"]}, "holder"),
        ({"absent_teeth": "x"}, "absent_teeth: 'x' is not allowed"),
        ({"absent_teeth": [49]}, "49"),
        ({"receptor": 5}, "receptor: 5 is not allowed"),
        ({"view": []}, "view: [] is not allowed"),
        ({"note": "cut emoji \ud83d"}, "half a character"),
        ({"marked_by": "\0"}, "control character"),
        ({"view": VIEW, "note": "x\x1b[2J"}, "control character"),
        ({"pixel_mm": 10**400}, "too many digits"),
    ],
)
def test_bad_marks_are_refused_in_a_sentence(
    browser: TestClient, png: Path, marks: dict[str, object], sentence: str
) -> None:
    browser.put(FILMS, content=png.read_bytes())
    body = json.dumps({"version": 0, "marks": marks})
    answer = browser.put(f"{FILMS}/1/marks", content=body, headers=JSON)
    assert answer.status_code == 400, answer.text
    assert sentence in answer.json()["error"]
    assert browser.get(f"{FILMS}/1").json()["marks"] == {}


def test_a_film_with_text_in_it_is_kept_once_somebody_has_looked(
    browser: TestClient, tmp_path: Path
) -> None:
    film = with_text(wedge(), "DOE JANE 1970", at=(200, 300), size=24, level=4095)
    write_image(tmp_path / "a.png", film, pixel_mm=0.05, description="a film with text")
    warned = browser.put(f"{FILMS}?label=a", content=(tmp_path / "a.png").read_bytes())
    assert warned.status_code == 409
    assert "a line of text is drawn into its picture, at the bottom" in warned.json()["error"]
    assert browser.get(FILMS).json() == []
    kept = browser.put(f"{FILMS}?looked_at=true", content=(tmp_path / "a.png").read_bytes())
    assert kept.status_code == 201


KEPT_BY_OTHERS = [
    ("marks", json.dumps({"view": VIEW, "note": "cut \ud83d"}), "a sign stands for each"),
    ("marks", json.dumps({"view": VIEW, "holder": {"a": 1}}), "holder"),
    ("marks", json.dumps({"view": VIEW, "absent_teeth": "x"}), "absent_teeth"),
    ("marks", json.dumps({"view": [], "marks": 3}), "marks: 3 is not allowed"),
    ("marks", "{", "marks is damaged"),
    ("marks", "[]", "marks is damaged"),
    ("attributes", "null", "attributes is damaged"),
    ("decision", "\x00", "decision is damaged"),
    ("caveats", "7", "caveats is damaged"),
    ("label", "a\x1bb", "a sign stands for each"),
]


@pytest.mark.parametrize(("column", "text", "caveat"), KEPT_BY_OTHERS)
def test_a_bad_row_hides_no_film(
    browser: TestClient, png: Path, tmp_path: Path, column: str, text: str, caveat: str
) -> None:
    for _ in range(2):
        browser.put(FILMS, content=png.read_bytes())
    with closing(sqlite3.connect(tmp_path / "box.sqlite")) as box, box:
        box.execute(f"UPDATE films SET {column} = ? WHERE id = 1", (text,))  # noqa: S608  ours
    assert [film["id"] for film in browser.get(FILMS).json()] == [1, 2]
    told = browser.get(f"{FILMS}/1")
    assert told.status_code == 200
    assert any(caveat in each for each in told.json()["caveats"]), told.json()["caveats"]
    for what in ("assessment", "explanation"):
        assert "cannot" in browser.get(f"{FILMS}/1/{what}").json()
    assert browser.get(f"{FILMS}/1/edge?name=14.mesial&x_px=1&y_px=1").status_code in {200, 400}
    assert browser.delete(f"{FILMS}/1").status_code == 204


@pytest.mark.parametrize("query", ["label=a%00b", "visit=%1b%5b2J"])
def test_words_that_cannot_be_kept_are_refused(browser: TestClient, png: Path, query: str) -> None:
    answer = browser.put(f"{FILMS}?{query}", content=png.read_bytes())
    assert answer.status_code == 422
    assert "control character" in answer.json()["error"]
    browser.put(FILMS, content=png.read_bytes())
    given = {"label": "a", "visit": "\0"}
    assert browser.patch(f"{FILMS}/1", json=given).status_code == 422
    told = {"decision": "accepted", "by": "R\0", "note": ""}
    assert browser.put(f"{FILMS}/1/decision", json=told).status_code == 422
    assert browser.get(FILMS).json()[0]["decision"] == {}


def test_a_film_taken_off_is_gone_with_its_pixels(
    browser: TestClient, png: Path, tmp_path: Path
) -> None:
    browser.put(FILMS, content=png.read_bytes())
    assert browser.delete(f"{FILMS}/1").status_code == 204
    assert browser.get(f"{FILMS}/1").status_code == 404
    assert list(tmp_path.rglob("1.png")) == []


def test_other_sites_may_not_add_films(browser: TestClient, png: Path) -> None:
    foreign = {"origin": "http://evil.example"}
    assert browser.put(FILMS, content=png.read_bytes(), headers=foreign).status_code == 403


def test_a_contact_mark_snaps_to_a_border_that_is_sure(browser: TestClient, tmp_path: Path) -> None:
    path = tmp_path / "border.png"
    pixels = np.full((ROWS * 4, COLUMNS * 4), 9000, dtype=np.uint16)
    pixels[:, :400] = 40000
    write_image(path, pixels, pixel_mm=0.05, description="border")
    browser.put(FILMS, content=path.read_bytes())
    browser.put(f"{FILMS}/1/marks", json={"version": 0, "marks": {"view": VIEW}})

    def put_down(name: str, x_px: float) -> dict[str, object]:
        given = {"name": name, "x_px": x_px, "y_px": 300.0}
        answer: dict[str, object] = browser.get(f"{FILMS}/1/edge", params=given).json()
        return answer

    near = put_down("15.mesial", 394.0)
    assert near["snapped"]
    assert near["x_px"] == pytest.approx(400.0, abs=0.2)
    assert near["y_px"] == 300.0
    assert "0.30 mm along the row" in str(near["sentence"])
    for name, x_px, sentence in (
        ("15.mesial", 300.0, "No border is sure"),
        ("15.distal", 394.0, "No border is sure"),  # brightness rises that way
        ("15.mesial.crest", 394.0, "Only contact marks"),
    ):
        left = put_down(name, x_px)
        assert not left["snapped"]
        assert left["x_px"] == x_px
        assert sentence in str(left["sentence"])


def test_snapping_before_a_view_is_chosen_is_told(browser: TestClient, png: Path) -> None:
    browser.put(FILMS, content=png.read_bytes())
    answer = browser.get(f"{FILMS}/1/edge?name=15.mesial&x_px=10&y_px=10")
    assert answer.status_code == 400
    assert "no view yet" in answer.json()["error"]


@pytest.mark.slow
def test_films_of_a_visit_are_explained_together_as_by_the_command_line(
    browser: TestClient, png: Path, tmp_path: Path
) -> None:
    paths = []
    other = tmp_path / "other.png"
    wedge = np.linspace(65535, 0, COLUMNS * ROWS).astype(np.uint16).reshape(ROWS, COLUMNS)
    write_image(other, wedge, pixel_mm=PIXEL_MM, description="wedge")
    for number, swing_deg, picture in ((1, 9.0, png), (2, -4.0, other)):
        browser.put(f"{FILMS}?label=film-{number}&visit=v", content=picture.read_bytes())
        marks = simulated_marks(swing_deg)
        document = dict(marks["document"])  # type: ignore[call-overload]
        kept = {k: v for k, v in document.items() if k not in {"format", "image"}}
        browser.put(f"{FILMS}/{number}/marks", json={"version": 0, "marks": kept})
        paths.append(tmp_path / f"film-{number}.marks.json")
        write_marks(paths[-1], replace(marks["film"], image_name=f"film-{number}"))  # type: ignore[type-var]
    alone = browser.get(f"{FILMS}/1/explanation").json()
    told = browser.get(f"{FILMS}/1/explanation?together=true").json()
    command = ["assess", str(png), "--marks", str(paths[0]), "--also", str(paths[1]), "--json"]
    same = json.loads(CliRunner().invoke(command_line, command).stdout)
    assert told["explanation"] == same["explanation"]
    assert told["caveats"][:-1] == same["caveats"]
    assert told["caveats"][-1].startswith("What the other film taught this one: alone its marks")
    assert f"together with film-2 ({view(VIEW).title})" in " ".join(told["caveats"])
    assert told["explanation"] != alone["explanation"]
    assert "together" not in " ".join(alone["caveats"])


def test_a_film_of_another_visit_is_left_out(browser: TestClient, png: Path) -> None:
    for number in (1, 2):
        browser.put(f"{FILMS}?label=f&visit=visit-{number}", content=png.read_bytes())
        document = dict(simulated_marks(9.0)["document"])  # type: ignore[call-overload]
        kept = {k: v for k, v in document.items() if k not in {"format", "image"}}
        browser.put(f"{FILMS}/{number}/marks", json={"version": 0, "marks": kept})
    told = browser.get(f"{FILMS}/1/explanation?together=true").json()
    assert "together" not in " ".join(told["caveats"])


@pytest.mark.usefixtures("own_folders")
def test_two_requests_at_once_open_one_light_box() -> None:
    opened_box.cache_clear()
    together = Barrier(6)

    def ask(_: int) -> object:
        together.wait()
        return own_box()

    with ThreadPoolExecutor(6) as pool:
        assert len(set(map(id, pool.map(ask, range(6))))) == 1
    opened_box.cache_clear()
