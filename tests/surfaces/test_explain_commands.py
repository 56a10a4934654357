"""Explaining a film, learning its mouth and planning for it, as a person does it."""

import json
from dataclasses import replace
from pathlib import Path

import pytest
from PIL import Image

from bitewright.files.belief_file import read_belief
from bitewright.files.json_documents import check_document
from bitewright.quality.views import view
from bitewright.tasks.plan.plan_view import plan_view
from bitewright.tasks.rated_by import RatedBy
from bitewright.words.plans import plan_instructions
from tests.scenes import station_of
from tests.surfaces.test_command_line import refusal, said


@pytest.fixture(scope="module")
def film(demonstration: tuple[Path, str]) -> list[str]:
    """The demonstration's film, exposed with the tube 8 degrees too far forward."""
    out, _ = demonstration
    return [
        *(str(out / "exposed.png"), "--marks", str(out / "exposed.marks.json")),
        *("--holder", "ring-holder"),
    ]


@pytest.fixture(scope="module")
def planned(tmp_path_factory: pytest.TempPathFactory) -> list[str]:
    """Another film of the same view, as planned."""
    out = tmp_path_factory.mktemp("planned")
    picture, marks = str(out / "planned.png"), str(out / "planned.marks.json")
    made = ("--film", picture, "--marks", marks, "--film-pixel", "0.1")
    said("predict", "--view", "right-premolar", "--planned", *made)
    return [picture, "--marks", marks, "--holder", "ring-holder"]


def test_assess_says_which_way_to_slide_the_tube(film: list[str]) -> None:
    text = " ".join(said("assess", *film).split())
    assert "Next time, or if another exposure is justified:" in text
    assert "lide the tube" in text
    assert "towards the back of the mouth at the rim" in text
    assert "Aim the tube square onto the receptor" in text
    assert "Of what its question needs," in text
    assert "not a medical device" in text
    assert "mesial angle" not in text


def test_a_mark_off_its_edge_is_told_where_the_picture_shows_the_edge(
    film: list[str], tmp_path: Path
) -> None:
    """The edge of a crown marked a millimetre outside it, as a slip of the hand."""
    picture, _, marks, *others = film
    content = json.loads(Path(marks).read_text("utf-8"))
    content["marks"]["15.distal"]["x_px"] -= 1.0 / content["pixel_mm"]
    moved = tmp_path / "moved.json"
    moved.write_text(json.dumps(content), encoding="utf-8")
    document = json.loads(said("assess", picture, "--marks", str(moved), *others, "--json"))
    check_document(document, "it", schemas={document["format"]: "assessment-1.json"})
    explanation = document["explanation"]
    assert "15.distal" in explanation["doubtful_marks"]
    (elsewhere,) = explanation["borders_elsewhere"]
    assert elsewhere == {"mark": "15.distal", "border_mm": pytest.approx(-1.0, abs=0.3)}
    assert "mm further to the front: check the mark" in explanation["sentences"]["doubts"][0]
    assert "The overlap at 15-16 rests on a doubtful mark." in document["answer"]["why"]


def test_a_mark_off_in_height_is_told_where_a_second_look_sees_it(
    film: list[str], tmp_path: Path
) -> None:
    """A junction marked a millimetre and a half too far towards the root; no border tells that."""
    picture, _, marks, *others = film
    content = json.loads(Path(marks).read_text("utf-8"))
    content["marks"]["46.mesial.cej"]["y_px"] += 1.5 / content["pixel_mm"]
    moved = tmp_path / "moved.json"
    moved.write_text(json.dumps(content), encoding="utf-8")
    document = json.loads(said("assess", picture, "--marks", str(moved), *others, "--json"))
    check_document(document, "it", schemas={document["format"]: "assessment-1.json"})
    (elsewhere,) = document["explanation"]["seen_elsewhere"]
    assert elsewhere["mark"] == "46.mesial.cej"
    assert elsewhere["rootward_mm"] == pytest.approx(-1.5, abs=0.3)
    (sentence,) = document["explanation"]["sentences"]["doubts"][:1]
    assert sentence.startswith("Looking by itself, the program sees the mesial cemento-enamel")
    assert "of 46 elsewhere, " in sentence
    assert "mm further towards the crowns: check the mark." in sentence


def test_explanation_follows_its_schema_and_holds_the_truth(film: list[str]) -> None:
    document = json.loads(said("assess", *film, "--json"))
    check_document(document, "it", schemas={document["format"]: "assessment-1.json"})
    explanation = document["explanation"]
    swing = next(each for each in explanation["movements"] if each["part"] == "swing")
    assert swing["low"] <= -8.0 <= swing["high"]
    assert swing["value"] == pytest.approx(-8.0, abs=4.0)
    assert explanation["verdict"] == "move"
    assert explanation["causes"][0]["cause"] == "tube-too-far-forward"


def test_a_rating_near_its_limit_says_that_it_is_uncertain(film: list[str]) -> None:
    """An overlap lies near where none can be read: the reader is told so, and how likely it is."""
    text = " ".join(said("assess", *film, "--no-explain").split())
    document = json.loads(said("assess", *film, "--no-explain", "--json"))
    check_document(document, "it", schemas={document["format"]: "assessment-1.json"})
    grade = document["rating"]["grade"]
    other, outcome = {"A": ("N", "failed"), "N": ("A", "short")}[grade]
    assert document["rating"]["doubt"] in text
    assert document["rating"]["doubt"].startswith(
        "The rating is uncertain: taking all contacts together"
    )
    assert 0.1 < document["rating"]["chances"][other] < 0.6
    doubtful = document["criteria"][0]
    assert doubtful["criterion"] == "contacts-open"
    assert doubtful["doubt"]["other"] == outcome
    assert doubtful["doubt"]["chance"] == pytest.approx(document["rating"]["chances"][other])
    assert "+/-" not in text


def test_that_no_holder_is_named_is_said_once(film: list[str]) -> None:
    text = " ".join(said("assess", *film[:3]).split())
    assert text.count("No holder is named") == 1
    assert "the estimate takes the ring holder" in text


def test_explanation_can_be_left_out(film: list[str]) -> None:
    assert "explanation" not in json.loads(said("assess", *film, "--no-explain", "--json"))


@pytest.mark.slow
def test_same_film_gives_the_same_explanation_twice(film: list[str]) -> None:
    one, two = (json.loads(said("assess", *film, "--json"))["explanation"] for _ in range(2))
    assert one == two


@pytest.mark.parametrize("ending", ["png", "svg"])
def test_the_movement_is_drawn(film: list[str], tmp_path: Path, ending: str) -> None:
    drawing = tmp_path / f"move.{ending}"
    said("assess", *film, "--drawing", str(drawing))
    if ending == "png":
        assert Image.open(drawing).width > 800
    else:
        assert "ESTIMATED" in drawing.read_text(encoding="utf-8")


def test_a_drawing_of_another_kind_is_refused_before_anything_is_written(
    film: list[str], tmp_path: Path
) -> None:
    refusal("assess", *film, "--drawing", str(tmp_path / "move.bmp"))
    assert not list(tmp_path.iterdir())


@pytest.mark.slow
def test_a_learned_mouth_is_saved_taken_again_and_planned_for(
    film: list[str], planned: list[str], tmp_path: Path
) -> None:
    first, second = tmp_path / "one.json", tmp_path / "two.json"
    said("assess", *planned, "--save-belief", str(first))
    again = refusal("assess", *planned, "--belief", str(first), "--save-belief", str(second))
    assert "has taught this belief already" in again
    text = said("assess", *film, "--belief", str(first), "--save-belief", str(second))
    assert "together with what 1 earlier film taught" in " ".join(text.split())
    assert (read_belief(first).films, read_belief(second).films) == (1, 2)
    plan = json.loads(said("plan", "--view", "right-premolar", "--belief", str(first), "--json"))
    check_document(plan, "it", schemas={plan["format"]: "plan-1.json"})
    assert plan["mouth"] == "learned mouth"
    view = ("--view", "right-premolar", "--belief", str(first))
    assert json.loads(said("predict", *view, "--json"))["mouth"] == "learned mouth"
    assert len(plan["open_chances"]) == len(plan["contacts"])
    assert all(0.0 <= share <= 1.0 for share in plan["open_chances"].values())


@pytest.mark.slow
def test_films_of_a_visit_are_estimated_together(
    film: list[str], planned: list[str], tmp_path: Path
) -> None:
    belief = tmp_path / "both.json"
    said("assess", *film, "--also", planned[2], "--save-belief", str(belief))
    assert read_belief(belief).films == 2


def test_two_sets_of_marks_of_one_film_are_no_two_films(planned: list[str], tmp_path: Path) -> None:
    """Another reader's marks narrowed every interval as if they were another exposure's."""
    content = json.loads(Path(planned[2]).read_text("utf-8"))
    for mark in content["marks"].values():
        if "x_px" in mark:
            mark["x_px"] += 1.0
    other = tmp_path / "another-reader.json"
    other.write_text(json.dumps(content), encoding="utf-8")
    for also in (planned[2], str(other)):
        assert "planned.png is given twice" in refusal("assess", *planned, "--also", also)


@pytest.mark.slow
def test_a_known_mouth_is_told_sharper(film: list[str], tmp_path: Path) -> None:
    mouth = tmp_path / "mouth.toml"
    said("mouth", "--mouth", "textbook", "--write", str(mouth))
    widths = []
    for extra in ([], ["--mouth", str(mouth)]):
        document = json.loads(said("assess", *film, *extra, "--json"))
        swing = document["explanation"]["movements"]
        own = next(each for each in swing if each["part"] == "swing")
        assert own["low"] <= -8.0 <= own["high"]
        widths.append(own["high"] - own["low"])
    assert widths[1] < 0.9 * widths[0]


def test_a_mouth_cannot_be_known_and_learned(film: list[str], tmp_path: Path) -> None:
    mouth = tmp_path / "mouth.toml"
    said("mouth", "--write", str(mouth))
    belief = tmp_path / "belief.json"
    assert "both given" in refusal(
        "assess", *film, "--mouth", str(mouth), "--save-belief", str(belief)
    )
    assert not belief.exists()
    said("assess", *film, "--save-belief", str(belief))
    assert "only one mouth" in refusal(
        *("plan", "--view", "right-premolar", "--mouth", str(mouth), "--belief", str(belief))
    )


@pytest.mark.slow
def test_a_belief_about_other_teeth_is_refused(film: list[str], tmp_path: Path) -> None:
    belief = tmp_path / "belief.json"
    said("assess", *film, "--save-belief", str(belief))
    marks = json.loads(Path(film[2]).read_text(encoding="utf-8"))
    marks["marks"] = {name: m for name, m in marks["marks"].items() if not name.startswith("17")}
    marks["absent_teeth"] = [17]
    fewer = tmp_path / "fewer.marks.json"
    fewer.write_text(json.dumps(marks), encoding="utf-8")
    sentence = refusal("assess", film[0], "--marks", str(fewer), "--belief", str(belief))
    assert "differ in teeth 17" in sentence


@pytest.mark.parametrize(
    ("vertical_deg", "words"),
    [
        (-2.5, "from 2 degrees below the occlusal plane"),
        (0.0, "level with the occlusal plane"),
        (5.0, "from 5 degrees above the occlusal plane"),
    ],
)
def test_a_plan_says_from_which_side_the_tube_points(vertical_deg: float, words: str) -> None:
    answer = plan_view(view("right-molar"), station_of("right-molar"), by=RatedBy())
    setting = replace(answer.plan.setting, vertical_deg=vertical_deg)
    assert words in plan_instructions(setting, answer.edges)[1]


def test_a_film_without_a_mark_is_refused(film: list[str], tmp_path: Path) -> None:
    marks = json.loads(Path(film[2]).read_text(encoding="utf-8"))
    empty = tmp_path / "empty.marks.json"
    empty.write_text(json.dumps(marks | {"marks": {}}), encoding="utf-8")
    assert "hold no landmark" in refusal("assess", film[0], "--marks", str(empty))


def test_a_contact_near_its_limit_fails_no_film_for_sure_while_others_are_not_marked(
    film: list[str], tmp_path: Path
) -> None:
    """It did not serve, full stop, beside a table that left an even chance of it."""
    content = json.loads(Path(film[2]).read_text("utf-8"))
    kept = ("13.distal", "14.mesial", "14.distal", "15.mesial", "15.distal", "16.mesial")
    marks = {name: content["marks"][name] for name in kept}
    front = 1.0 if marks["13.distal"]["x_px"] > marks["16.mesial"]["x_px"] else -1.0
    marks["15.distal"]["x_px"] = marks["16.mesial"]["x_px"] - front * 0.85 / content["pixel_mm"]
    few = tmp_path / "few.json"
    few.write_text(json.dumps(content | {"marks": marks}), encoding="utf-8")
    told = json.loads(
        said("assess", film[0], "--marks", str(few), *film[3:], "--no-explain", "--json")
    )
    (contact,) = [each for each in told["contacts"] if each["contact"] == "15-16"]
    assert told["rating"]["grade"] == "N"
    assert contact["chance"]["unreadable"] < 0.9
    assert told["answer"]["served"] == "doubtful"
    assert "that nothing marked so far failed" in told["answer"]["why"]
    assert "more has to be marked to tell" in told["rating"]["doubt"]


def test_an_image_that_lies_the_other_way_than_its_view_is_noted(tmp_path: Path) -> None:
    """An upright film named as one along the row was told, surely, a move that it did not need."""
    picture, marks = str(tmp_path / "film.png"), tmp_path / "film.json"
    made = ("--film", picture, "--marks", str(marks), "--film-pixel", "0.2")
    said("predict", "--view", "left-molar-vertical", "--receptor", "plate-2", *made)
    told = ("assess", picture, "--marks", str(marks), "--no-explain", "--json")
    assert not [each for each in json.loads(said(*told))["caveats"] if "stands" in each]
    content = json.loads(marks.read_text("utf-8"))
    marks.write_text(json.dumps(content | {"view": "left-molar"}), encoding="utf-8")
    (caveat,) = [each for each in json.loads(said(*told))["caveats"] if "stands" in each]
    assert "taller than it is long" in caveat
    assert "if it stood upright, name that view" in caveat
