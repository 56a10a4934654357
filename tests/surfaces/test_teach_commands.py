"""`bitewright teach`: the student's page holds no answer, the key marks it."""

import json
import re
from pathlib import Path

import numpy as np
import pytest
from typer.testing import CliRunner, Result

from bitewright.cli.main import app
from bitewright.errors import BitewrightError
from bitewright.film.radiograph import Radiograph
from bitewright.tasks.teach.exercise_places import PIXEL_MM, ExercisePlace
from bitewright.teaching.fault_names import PlantedFault
from bitewright.teaching.item import ItemKind
from bitewright.words.exercises import right_words, set_title
from bitewright.words.given_sets import said_words
from bitewright.words.skills import KIND_TITLES, SKILLS
from tests.edges.test_qti_package import broken_rules

COUNT = 6
PLACE = ["--mouth", "population-3", "--view", "left-premolar"]


def ran(*words: object) -> Result:
    return CliRunner().invoke(app, ["teach", *map(str, words)])


@pytest.fixture(scope="module")
def folder(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A set of six, its films blank."""

    def blank(
        _place: ExercisePlace, _exposure: object, *, seed: int, **_more: object
    ) -> Radiograph:
        pixels = np.full((60, 80), seed % 60_000, dtype=np.uint16)
        return Radiograph(pixels=pixels, pixel_mm=PIXEL_MM, provenance={})

    out = tmp_path_factory.mktemp("set")
    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(ExercisePlace, "film", blank)
        answer = ran("set", "--count", COUNT, "--seed", 5, "--out", out, *PLACE)
    assert answer.exit_code == 0, answer.output + repr(answer.exception)
    return out


def answers_of(folder: Path, kind: str) -> dict[str, object]:
    """Right answers from the key ("right"), or wrong ones."""
    key = json.loads((folder / "key.json").read_text("utf-8"))
    told = []
    for item in key["items"]:
        answer: dict[str, object] = {"id": item["id"], "sure": 1}
        is_right = kind == "right"
        if item["kind"] == "correct":
            turned = sum(item["slip"].get(name, 0.0) for name in ("swing_deg", "turn_deg"))
            back = 1.0 if is_right else -1.0
            answer["swing_deg"] = -back * turned
            answer["forward_mm"] = -back * item["slip"].get("forward_mm", 0.0)
        elif item["kind"] == "order":
            answer["order"] = item["key"] if is_right else item["key"][::-1]
        else:
            wrong = next(k for k in range(20) if k not in item["key"])
            answer["chosen"] = item["key"][0] if is_right else wrong
        told.append(answer)
    return {"format": "bitewright.exercise-answers/1", "set": key["set"], "answers": told}


def test_aiming_is_not_written_to_files(tmp_path: Path) -> None:
    refused = ran("set", "--kind", "aim", "--out", tmp_path / "a").exception
    assert isinstance(refused, BitewrightError)
    assert "begin them on the page Teach" in str(refused)
    assert not (tmp_path / "a").exists()


def test_a_place_that_cannot_be_written_is_told_before_a_film_is_made(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    def none_made(*_given: object, **_more: object) -> None:
        raise AssertionError

    monkeypatch.setattr("bitewright.tasks.teach.set_files.made_items", none_made)
    (tmp_path / "list.txt").write_text("here")
    answer = ran("set", "--count", 1, "--out", tmp_path / "list.txt" / "class-1")
    assert isinstance(answer.exception, BitewrightError)
    assert "a file stands where a folder is needed" in str(answer.exception)


def test_the_page_for_students_holds_films_and_questions_and_no_answer(folder: Path) -> None:
    page = (folder / "exercises.html").read_text("utf-8")
    found = re.search(r'id="set">(.*?)</script>', page, re.DOTALL)
    assert found is not None
    given = json.loads(found[1])
    assert len(given["items"]) == COUNT
    assert set(given["items"][0]) == {"id", "kind", "question", "choices", "film"}
    key = json.loads((folder / "key.json").read_text("utf-8"))
    without_films = re.sub(r'"film": "[^"]+"', "", page)
    assert not any(fault.value in page for fault in PlantedFault)
    assert "population-3" not in page
    assert '"seed"' not in page
    for item in key["items"]:
        assert not any(sentence in without_films for sentence in item["explanation"])


def test_right_answers_score_all_and_wrong_ones_nothing(folder: Path, tmp_path: Path) -> None:
    for kind, score in (("right", 1.0), ("wrong", 0.0)):
        file = tmp_path / f"{kind}.json"
        file.write_text(json.dumps(answers_of(folder, kind)), "utf-8")
        page, key = folder / "exercises.html", folder / "key.json"
        answer = ran("mark", page, file, "--key", key, "--json")
        assert answer.exit_code == 0, answer.output + repr(answer.exception)
        marked = json.loads(answer.output)["answers"]
        named = [each for each in marked if each["kind"] in ("name", "read", "decide", "order")]
        assert all((each["said"] in each["right"]) is (kind == "right") for each in named)
        assert [each["score"] for each in marked if each["kind"] != "correct"] == [score] * 5
        # A movement the wrong way may open another contact: scored by what the film becomes.
        (moved,) = [each["score"] for each in marked if each["kind"] == "correct"]
        assert (moved == 1.0) is (kind == "right")


def test_what_was_not_answered_is_said_to_be(folder: Path, tmp_path: Path) -> None:
    told = answers_of(folder, "right") | {"answers": []}
    (tmp_path / "none.json").write_text(json.dumps(told), "utf-8")
    answer = ran(
        "mark", folder / "exercises.html", tmp_path / "none.json", "--key", folder / "key.json"
    )
    assert answer.output.count("Not answered") == COUNT
    assert "0.0 of 6 exercises" in answer.output


@pytest.mark.parametrize(
    ("change", "word"),
    [
        ({"set": "0" * 16}, "belongs to another set"),
        ({"answers": [{"id": "0" * 12, "chosen": 0}]}, "is not in the set"),
        ({"answers": [{"id": "x"}]}, "twelve digits"),
        ({"student": "Ann Other"}, "never a name"),
    ],
)
def test_answers_that_cannot_be_marked_are_refused_in_a_sentence(
    folder: Path, tmp_path: Path, change: dict[str, object], word: str
) -> None:
    file = tmp_path / "answers.json"
    file.write_text(json.dumps(answers_of(folder, "right") | change), "utf-8")
    answer = ran("mark", folder / "exercises.html", file, "--key", folder / "key.json")
    assert answer.exit_code == 1
    assert isinstance(answer.exception, BitewrightError)
    assert word in str(answer.exception)


def test_a_page_without_a_set_is_told_so(tmp_path: Path) -> None:
    (tmp_path / "page.html").write_text("<p>nothing</p>", "utf-8")
    answer = ran("handout", tmp_path / "page.html", "--pdf", tmp_path / "out.pdf")
    assert "holds no set" in str(answer.exception)
    assert not (tmp_path / "out.pdf").exists()


def test_handout_and_key_are_two_papers(folder: Path, tmp_path: Path) -> None:
    page = folder / "exercises.html"
    for name, more in (("handout.pdf", ()), ("key.pdf", ("--key", folder / "key.json"))):
        answer = ran("handout", page, "--pdf", tmp_path / name, *more)
        assert answer.exit_code == 0, answer.output + repr(answer.exception)
        assert (tmp_path / name).read_bytes().startswith(b"%PDF")


def test_a_set_goes_to_other_programs_with_its_key_alone(folder: Path, tmp_path: Path) -> None:
    out = tmp_path / "set.zip"
    answer = ran("qti", folder / "exercises.html", out, "--key", folder / "key.json")
    assert answer.exit_code == 0, answer.output + repr(answer.exception)
    key = json.loads((folder / "key.json").read_text("utf-8"))
    moved = sum(item["kind"] == "correct" for item in key["items"])
    assert f"{COUNT - moved} exercises written" in answer.output
    assert f"{moved} left out" in " ".join(answer.output.split())
    assert broken_rules(out.read_bytes()) == []


def test_marked_answers_are_kept_where_a_code_is_given(folder: Path, tmp_path: Path) -> None:
    told, store = tmp_path / "answers.json", tmp_path / "log.sqlite"
    told.write_text(json.dumps(answers_of(folder, "right")), "utf-8")
    words = ("mark", folder / "exercises.html", told, "--key", folder / "key.json")
    kept = ran(*words, "--keep-as", "S12", "--store", store)
    assert kept.exit_code == 0
    assert f"{COUNT} attempts kept, of 1 student." in kept.output
    sheet = CliRunner().invoke(app, ["competence", "of", "S12", "--store", str(store)])
    assert f"S12: {COUNT} attempts" in sheet.output
    assert "cannot be told yet" in sheet.output


def test_a_file_given_twice_is_kept_once_and_under_no_other_code(
    folder: Path, tmp_path: Path
) -> None:
    told, store = tmp_path / "answers.json", tmp_path / "log.sqlite"
    said = {"student": "S.12", "saved_at": "2026-01-31T09:30:00.250Z"}
    told.write_text(json.dumps(answers_of(folder, "right") | said), "utf-8")
    words = ("mark", folder / "exercises.html", told, "--key", folder / "key.json")
    refused = ran(*words, "--keep-as", "S13", "--store", store).exception
    assert "The answers give the code 'S.12'" in str(refused)
    assert not store.exists()
    first = ran(*words, "--keep-as", "S.12", "--store", store)
    again = ran(*words, "--keep-as", "S.12", "--store", store)
    assert f"{COUNT} attempts kept, of 1 student." in first.output
    assert f"0 attempts kept, {COUNT} kept before, of 1 student." in again.output


def test_the_key_gives_the_numbers_that_choices_have_on_the_handout() -> None:
    choices = ("the tube", "the receptor", "the head")
    assert right_words(ItemKind.NAME, choices, (1,)) == "2, the receptor."
    assert right_words(ItemKind.NAME, choices, (0, 2)) == "1, the tube; or 3, the head."
    assert right_words(ItemKind.ORDER, choices, (2, 0, 1)) == "In this order: 3, 1, 2."


def test_a_set_and_competence_call_a_kind_alike() -> None:
    title = set_title(3, (ItemKind.NAME, ItemKind.READ, ItemKind.ORDER))
    assert title == "3 exercises: name what went wrong, read a film and order the steps"
    assert {kind: title.lower() for kind, title in KIND_TITLES.items()} == {
        ItemKind(skill.value): said for skill, said in SKILLS.items()
    }


def test_a_marked_answer_says_what_was_moved() -> None:
    assert said_words((), movement=(-5.0, 2.0)) == (
        "tube 5 degrees to the back and receptor 2 mm to the front"
    )
    assert said_words((), movement=(0.0, 0.0)) == "nothing moved"
    assert said_words(()) == ""
