"""The command line: every wish end to end, and every refusal one sentence with nothing written."""

import json
import subprocess
import sys
from pathlib import Path
from typing import Any

import numpy as np
import pytest
from PIL import Image
from typer.testing import CliRunner

from bitewright.cli.main import app
from bitewright.dicom.read import decode_dicom
from bitewright.errors import BitewrightError
from bitewright.files.images import read_image, write_image
from bitewright.files.json_documents import check_document
from bitewright.files.marks_file import read_marks
from bitewright.marking.assess import Assessment
from bitewright.marking.marks import MarkedFilm
from bitewright.marking.raw_image import RawImage
from bitewright.planning.tolerance import SlipWay
from bitewright.report.film_overlay import film_overlay
from bitewright.report.shapes import Drawing
from bitewright.tasks.assess import assessment_files
from bitewright.tasks.catalogue.named_mouths import mouth_names
from bitewright.words.reasons import reason
from bitewright.words.verdicts import STATE_WORDS
from tests.edges.test_dicom_reading import saved

run = CliRunner()


def said(*arguments: str) -> str:
    """What a command prints when it succeeds."""
    answer = run.invoke(app, list(arguments))
    assert answer.exit_code == 0, answer.output + repr(answer.exception)
    return answer.output


def refusal(*arguments: str) -> str:
    """The one sentence of a command that refuses."""
    answer = run.invoke(app, list(arguments))
    assert isinstance(answer.exception, BitewrightError), answer.output
    sentence = str(answer.exception)
    assert "\n" not in sentence
    return sentence


@pytest.fixture(scope="module")
def marked(demonstration: tuple[Path, str]) -> tuple[Path, Path]:
    """The demonstration's exposed film and its marks."""
    out, text = demonstration
    assert "8 degrees too far towards the front" in " ".join(text.split())
    return out / "exposed.png", out / "exposed.marks.json"


def test_an_assessment_and_its_film_are_logged(
    marked: tuple[Path, Path], own_folders: Path
) -> None:
    image = str(marked[0])
    overlapped = json.loads(marked[1].read_text(encoding="utf-8"))
    overlapped["marks"]["16.mesial"]["x_px"] += 40.0  # towards the front, into 15
    worse = own_folders / "overlapped.json"
    worse.write_text(json.dumps(overlapped), encoding="utf-8")
    answer = own_folders / "assessment.json"
    answer.write_text(said("assess", image, "--marks", str(worse), "--json"), encoding="utf-8")
    who = ("--operator", "S1", "--supervisor", "T1", "--decision", "rejected")
    files = ("--assessment", str(answer), "--film", image)
    logged = json.loads(said("log", "add", *who, *files, "--json"))["exposure"]
    assessed = json.loads(answer.read_text(encoding="utf-8"))
    assert logged["view"] == assessed["view"]
    assert logged["rating"] == f"uk-2020:{assessed['rating']['grade']}"
    overlaps = [c["overlap_mm"] for c in assessed["contacts"] if c["overlap_mm"] is not None]
    (size,) = (fault["size"] for fault in logged["faults"] if fault["fault"] == "overlap")
    assert size == pytest.approx(max(overlaps), abs=0.01)
    said("log", "add", "--operator", "S2", "--view", logged["view"])
    said("log", "link", "2", *files, "--by", "T1")
    linked = json.loads(said("log", "show", "2", "--json"))["exposure"]
    assert {name: linked[name] for name in ("film", "rating", "faults")} == {
        name: logged[name] for name in ("film", "rating", "faults")
    }
    assert "Everything is as it was written" in said("store", "check")
    assert "not a JSON document" in refusal("log", "add", *who, "--assessment", image)


def test_predict_shows_contacts_criteria_and_cautions() -> None:
    text = said("predict", "--view", "right-premolar", "--receptor", "sensor-2", "--planned")
    for word in ("43-44", "all contacts open", "crest", "not a medical device", "front edge"):
        assert word in text


def test_predict_json_follows_its_schema_and_tells_swing() -> None:
    plain, swung = (
        json.loads(said("predict", "--view", "left-molar", "--contact-error", error, "--json"))
        for error in ("0", "10")
    )
    check_document(plain, "it", schemas={plain["format"]: "prediction-1.json"})
    assert plain["contact_error_deg"] == pytest.approx(0.0, abs=0.05)
    assert swung["contact_error_deg"] == pytest.approx(10.0, abs=0.05)
    widest = [max(c["overlap_mm"] for c in each["contacts"]) for each in (plain, swung)]
    assert widest[1] > widest[0] + 0.2
    assert {row["status"] for row in plain["structures"]} >= {"shown"}


@pytest.mark.parametrize("ending", ["png", "tiff"])
def test_predict_writes_a_film_with_its_pixel_size(tmp_path: Path, ending: str) -> None:
    film = tmp_path / f"film.{ending}"
    said("predict", "--view", "right-molar", "--film", str(film), "--film-pixel", "0.05")
    raw = read_image(film)
    assert raw.bits == 16
    assert raw.pixel_mm == pytest.approx(0.05, abs=1e-4)
    assert raw.size_mm == pytest.approx((41.0, 31.0), abs=0.1)
    assert "SIMULATED" in raw.attributes["provenance"]


def test_plan_json_follows_its_schema_and_names_what_is_lost() -> None:
    plan = json.loads(said("plan", "--view", "right-molar", "--json"))
    check_document(plan, "it", schemas={plan["format"]: "plan-1.json"})
    assert plan["rating"]["grade"] == "A"
    assert [slip["slip"] for slip in plan["tolerances"]] == [each.value for each in SlipWay]
    assert any(slip["failed"] for slip in plan["tolerances"])


def test_assess_json_follows_its_schema(
    marked: tuple[Path, Path], tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """The overlay once told another chance, and other states, than the table beside it."""
    image, marks = marked
    drawn: list[Assessment] = []

    def seen(raw: RawImage, film: MarkedFilm, told: Assessment, **more: Any) -> Drawing:
        drawn.append(told)
        return film_overlay(raw, film, told, **more)

    monkeypatch.setattr(assessment_files, "film_overlay", seen)
    overlay = tmp_path / "overlay.png"
    text = said("assess", str(image), "--marks", str(marks), "--overlay", str(overlay), "--json")
    answer = json.loads(text)
    check_document(answer, "it", schemas={answer["format"]: "assessment-1.json"})
    assert overlay.stat().st_size > 50_000
    assert any(contact["state"] != "open" for contact in answer["contacts"])
    assert "chance" in answer["contacts"][0]
    told = {str(each["criterion"]): each["sentence"] for each in answer["criteria"]}
    assert {each.criterion.name.value: reason(each) for each in drawn[0].findings} == told
    states = [STATE_WORDS[each.state] for each in drawn[0].contacts]
    assert states == [each["told"] for each in answer["contacts"]]


def test_mouth_can_be_written_changed_and_used(tmp_path: Path) -> None:
    file = tmp_path / "mouth.toml"
    said("mouth", "--write", str(file))
    changed = file.read_text("utf-8").replace('name = "standard mouth"', 'name = "my mouth"')
    file.write_text(changed, "utf-8")
    text = said("predict", "--view", "right-premolar", "--mouth", str(file))
    assert "my mouth" in text


def test_mouth_tells_what_teeth_carry_and_lack() -> None:
    text = said("mouth", "--mouth", "restored")
    assert "45  composite filling, disto-occlusal; caries, mesial, middle dentine" in text
    assert "46  crown; root filling" in text
    lost = said("mouth", "--mouth", "angular-loss")
    assert "46  mesial bone 6.5 mm below the junction, 4.0 mm of it angular" in lost
    assert "46  missing, space kept" in said("mouth", "--mouth", "missing-molar")
    assert "Teeth\n" not in said("mouth"), "a sound mouth has nothing to tell"


def test_drawn_mouths_go_by_name() -> None:
    assert "drawn mouth 7: 28 teeth" in said("mouth", "--mouth", "drawn-7")
    assert "drawn mouth 7: 32 teeth" in said("mouth", "--mouth", "drawn-7-thirds")
    told = said("predict", "--view", "right-premolar", "--mouth", "drawn-12")
    assert "drawn mouth 12" in " ".join(told.split())


def test_mouths_of_the_population_go_by_name_too() -> None:
    assert "population mouth 7" in said("mouth", "--mouth", "population-7")
    assert "calm mouth 7" in said("mouth", "--mouth", "calm-7-thirds")
    told = said("predict", "--view", "right-molar", "--mouth", "population-1")
    assert "population mouth 1" in " ".join(told.split())
    assert {"population-1", "calm-1"} <= set(mouth_names())


@pytest.mark.parametrize(
    "what", ["views", "criteria", "receptors", "holders", "tubes", "schemes", "checklists"]
)
def test_everything_listed_names_its_source(what: str) -> None:
    entries = json.loads(said("list", what, "--json"))["entries"]
    assert entries
    assert all(entry["source"] for entry in entries)


def test_own_equipment_is_taken_and_bad_equipment_refused(tmp_path: Path) -> None:
    file = tmp_path / "mine.toml"
    entry = """
format = "bitewright.equipment/1"
[[receptors]]
name = "mine"
kind = "sensor"
size = 2
outer_long_mm = 42.0
outer_short_mm = 30.0
active_long_mm = {active}
active_short_mm = 25.0
thickness_mm = 5.0
active_depth_mm = 1.0
pixel_mm = 0.02
flex_mm = 0.0
confidence = "practice"
source = "measured with a calliper"
"""
    file.write_text(entry.format(active=35.0), "utf-8")
    text = said("plan", "--view", "right-molar", "--receptor", "mine", "--equipment", str(file))
    assert "mine" in text
    file.write_text(entry.format(active=350.0), "utf-8")
    sentence = refusal(
        "plan", "--view", "right-molar", "--receptor", "mine", "--equipment", str(file)
    )
    assert "active_long_mm" in sentence
    assert "350" in sentence


REFUSALS = {
    "view": (["plan", "--view", "right-incisor"], "right-premolar"),
    "receptor": (["plan", "--view", "right-molar", "--receptor", "size-9"], "film-2"),
    "mouth": (["plan", "--view", "right-molar", "--mouth", "nowhere.toml"], "nowhere.toml"),
    "own": (["plan", "--view", "right-molar", "--ladder", "--own", "camera"], "sensor-2"),
    "card": (["plan", "--view", "right-molar", "--card", "card.txt"], ".html"),
    "opens": (["plan", "--view", "right-molar", "--opens", "3"], "from 10 to 80"),
    "scheme": (["plan", "--view", "right-molar", "--scheme", "mars"], "uk-2020"),
    "too large": (
        ["predict", "--view", "right-premolar", "--receptor", "sensor-2", "--forward", "14"],
        "larger than the mouth",
    ),
    "not a number": (["predict", "--view", "right-premolar", "--forward", "nan"], "forward"),
    "aimed twice": (
        ["predict", "--view", "right-molar", "--ring-offset", "3", "--contact-error", "3"],
        "give one of them",
    ),
    "no film": (["predict", "--view", "right-molar", "--film", "x.bmp"], ".tiff, .dcm or .dicom"),
    "no such film": (["assess", "no.png", "--marks", "no.json"], "no.png"),
    "a real film alone": (["demo", "--real-image", "film.png"], "--real-marks together"),
    "no such real film": (
        ["demo", "--real-image", "no.png", "--real-marks", "no.json"],
        "no.png cannot be read",
    ),
    "a sheet of no format": (["sheet", "--out", "sheet.gif"], "end its name in .png"),
    "a sheet nowhere": (["sheet", "--out", "nowhere/sheet.png"], "its folder is not there"),
}


@pytest.mark.parametrize("name", REFUSALS)
def test_refusals_are_one_sentence_and_write_nothing(
    name: str, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.chdir(tmp_path)
    arguments, word = REFUSALS[name]
    assert word in refusal(*arguments)
    assert list(tmp_path.iterdir()) == []


@pytest.mark.parametrize(
    ("option", "given", "meant"),
    [
        ("--mouth", "standrad", "standard"),
        ("--mouth", "drawn-7-third", "drawn-7-thirds"),
        ("--mouth", "Lost-Crest", "lost-crest"),
        ("--receptor", "plat-2", "plate-2"),
        ("--holder", "ringholder", "ring-holder"),
        ("--tube", "rectangular-30", "rectangular-300"),
        ("--view", "rihgt-molar", "right-molar"),
        ("--scheme", "uk2020", "uk-2020"),
        ("--look", "contrast", "contrasty"),
        ("--fault", "movment=2", "movement"),
    ],
)
def test_a_mistyped_name_is_asked_back(option: str, given: str, meant: str, tmp_path: Path) -> None:
    options = {"--view": "right-molar", "--film": str(tmp_path / "film.png")} | {option: given}
    said = refusal("predict", *(word for pair in options.items() for word in pair))
    assert given.split("=", maxsplit=1)[0] in said
    assert said.endswith(f"Did you mean '{meant}'?")
    assert list(tmp_path.iterdir()) == []


@pytest.mark.parametrize("given", ["drawn-x", "elsewhere", "x" * 300])
def test_a_word_that_names_no_mouth_is_told_what_there_is(given: str) -> None:
    said = refusal("predict", "--view", "right-molar", "--mouth", given)
    for words in (
        "is not known",
        "standard, turned-premolars",
        "drawn-7-thirds",
        "path of a mouth",
    ):
        assert words in said


def test_a_path_without_a_mouth_file_is_told_as_a_path(tmp_path: Path) -> None:
    for given in ("standrad.toml", str(tmp_path / "standrad")):
        said = refusal("predict", "--view", "right-molar", "--mouth", given)
        assert "nothing at that path" in said


def test_a_refusal_leaves_with_status_one_and_one_line_on_standard_error() -> None:
    answer = subprocess.run(
        [sys.executable, "-m", "bitewright", "plan", "--view", "right-incisor"],
        capture_output=True,
        text=True,
        check=False,
    )
    assert answer.returncode == 1
    assert answer.stdout == ""
    assert answer.stderr.startswith("bitewright: View 'right-incisor' is not known")
    assert answer.stderr.count("\n") == 1


def changed_marks(marks: Path, to: Path, **changes: object) -> Path:
    """A copy of a marks file with some fields changed."""
    document = json.loads(marks.read_text("utf-8"))
    to.write_text(json.dumps(document | changes), "utf-8")
    return to


def test_assess_refuses_what_does_not_belong_together(
    marked: tuple[Path, Path], tmp_path: Path
) -> None:
    image, marks = marked
    overlay = tmp_path / "overlay.png"

    def refused(picture: Path, file: Path) -> str:
        sentence = refusal("assess", str(picture), "--marks", str(file), "--overlay", str(overlay))
        assert not overlay.exists()
        return sentence

    other = changed_marks(marks, tmp_path / "left.json", view="left-premolar")
    assert "left premolar does not show" in refused(image, other)
    mirrored = changed_marks(marks, tmp_path / "mirror.json", mounting="mirrored")
    assert "front of the mouth on the wrong side" in refused(image, mirrored)
    newer = changed_marks(marks, tmp_path / "newer.json", format="bitewright.marks/9")
    assert "bitewright.marks/9" in refused(image, newer)
    empty = tmp_path / "empty.png"
    empty.write_bytes(b"")
    assert "empty.png" in refused(empty, marks)
    small = tmp_path / "small.png"
    write_image(small, np.zeros((50, 60), dtype=np.uint16), pixel_mm=0.03, description="test")
    assert "60 x 50 pixels" in refused(small, marks)


def test_assess_needs_a_pixel_size_and_takes_it_from_the_receptor(
    marked: tuple[Path, Path], tmp_path: Path
) -> None:
    image, marks = marked
    raw = read_image(image)
    plain = tmp_path / "plain.png"
    write_image(plain, raw.pixels, pixel_mm=None, description="no size")
    document = json.loads(marks.read_text("utf-8"))
    for name in ("pixel_mm", "receptor"):
        document.pop(name)
    file = tmp_path / "plain.marks.json"
    file.write_text(json.dumps(document), "utf-8")
    assert read_marks(file).pixel_mm is None
    assert "--receptor" in refusal("assess", str(plain), "--marks", str(file))
    text = said("assess", str(plain), "--marks", str(file), "--receptor", "sensor-2", "--json")
    answer = json.loads(text)
    assert answer["pixel_mm"] == pytest.approx(0.02, abs=1e-4)
    assert "size 2 sensor" in answer["pixel_from"]


@pytest.mark.parametrize("ending", ["dcm", "jpg", "tiff"])
def test_assess_reads_the_same_film_in_every_format(
    marked: tuple[Path, Path], tmp_path: Path, ending: str
) -> None:
    image, marks = marked
    pixels = read_image(image).pixels
    film = tmp_path / f"film.{ending}"
    if ending == "dcm":
        rows, columns = pixels.shape
        data = pixels.astype("<u2").tobytes()
        saved(tmp_path, BitsStored=16, HighBit=15, Rows=rows, Columns=columns, PixelData=data)
        film = tmp_path / "a.dcm"
    elif ending == "jpg":
        Image.fromarray((pixels // 257).astype(np.uint8)).save(film, quality=95, dpi=(1270, 1270))
    else:
        write_image(film, pixels, pixel_mm=0.02, description="the same film")
    wanted, found = (
        run.invoke(app, ["assess", str(each), "--marks", str(marks), "--no-explain", "--json"])
        for each in (image, film)
    )
    same, other = (json.loads(answer.stdout) for answer in (wanted, found))
    assert other["contacts"] == same["contacts"]
    assert other["rating"] == same["rating"]
    assert ("may say whose it is" in found.stderr) == (ending == "dcm"), "beside the document"


def test_assess_notices_that_the_file_says_another_side(
    marked: tuple[Path, Path], tmp_path: Path
) -> None:
    image, marks = marked
    pixels = read_image(image).pixels
    rows, columns = pixels.shape
    film = saved(
        tmp_path,
        ImageLaterality="L",
        BitsStored=16,
        HighBit=15,
        Rows=rows,
        Columns=columns,
        PixelData=pixels.astype("<u2").tobytes(),
    )
    sentence = refusal("assess", str(film), "--marks", str(marks))
    assert "patient's left side" in sentence


def test_a_film_is_written_as_dicom_with_faults_and_read_again(tmp_path: Path) -> None:
    path = tmp_path / "film.dcm"
    options = ["--view", "right-molar", "--receptor", "plate-2", "--film-pixel", "0.1"]
    options += ["--mas", "1.5", "--look", "crisp", "--film", str(path)]
    said("predict", *options, "--fault", "movement")
    film = decode_dicom(path.read_bytes(), name="film.dcm")
    assert film.pixel_mm == pytest.approx(0.1)
    assert film.columns == 410
    assert "is not known: give one of" in refusal("predict", *options, "--fault", "kinked")
    rigid = [word.replace("plate-2", "sensor-2") for word in options]
    assert "cannot have the fault 'bent'" in refusal("predict", *rigid, "--fault", "bent")
