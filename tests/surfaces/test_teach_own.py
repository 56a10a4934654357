"""Films of one's own as exercises: kept with consent, in a set only when chosen, dropped whole."""

import json
from io import BytesIO
from pathlib import Path

import pytest
from PIL import Image, ImageDraw, ImageFont
from PIL.PngImagePlugin import PngInfo

from bitewright.tasks.teach.own_exercises import own_exercise
from tests.surfaces.test_command_line import refusal, said

CONSENT = ("--consent-by", "T1", "--consent-on", "2026-01-31", "--no-names-seen")
SAYS = "Look at 45-46: the crowns lie over one another there."


@pytest.fixture(autouse=True)
def own_folder(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    folder = tmp_path / "own"
    monkeypatch.setattr("bitewright.files.own_folder.user_data_path", lambda *_a, **_k: folder)
    return folder


@pytest.fixture
def film(demonstration: tuple[Path, str]) -> str:
    out, _ = demonstration
    return str(out / "exposed.png")


def keep(film: str, name: str = "film-7", *more: str) -> str:
    faults = ("--fault", "overlap", "--says", SAYS)
    return said("teach", "own", "keep", name, film, *faults, *CONSENT, *more)


def test_a_film_is_kept_listed_and_dropped(film: str, own_folder: Path) -> None:
    assert "in no set until you choose it" in " ".join(keep(film).split())
    (listed,) = json.loads(said("teach", "own", "list", "--json"))["own_exercises"]
    assert listed["faults"] == ["overlap"]
    assert (listed["read_by"], listed["consent_on"]) == ("T1", "2026-01-31")
    assert "film-7" in said("teach", "own", "list")
    assert "already" in refusal(
        "teach", "own", "keep", "film-7", film, "--fault", "tilted", *CONSENT
    )
    said("teach", "own", "drop", "film-7")
    assert not list(own_folder.rglob("*.json"))
    assert "none is kept yet" in refusal("teach", "own", "drop", "film-7")


def test_the_picture_is_drawn_afresh_and_wrong_choices_are_not_like_the_reading(film: str) -> None:
    keep(film)
    own = own_exercise("film-7")
    with Image.open(BytesIO(own.film_png)) as picture:
        assert picture.mode == "L"
        assert not picture.text  # type: ignore[attr-defined]
    assert "overlap" in own.offered
    assert "horizontal-angle" not in own.offered
    assert len(set(own.offered)) == 6
    item = own.item()
    assert [own.offered[k] for k in item.key] == ["overlap"]
    assert SAYS in item.explanation


def test_further_readings_are_right_too(film: str) -> None:
    keep(film, "film-8", "--fault", "cone-cut")
    own = own_exercise("film-8")
    assert {own.offered[k] for k in own.item().key} == {"overlap", "cone-cut"}


@pytest.mark.parametrize(
    ("given", "word"),
    [
        (("--fault", "overlap", *CONSENT[:4]), "say with --no-names-seen that you saw none"),
        (("--fault", "overlapp", *CONSENT), "Did you mean 'overlap'?"),
        (("--fault", "overlap", *CONSENT[:2], "--consent-on", "2999-01-01", CONSENT[4]), "to come"),
        (("--fault", "overlap", "--consent-by", "Mary Smith", *CONSENT[2:]), "Mary Smith"),
    ],
)
def test_what_may_not_be_shown_is_refused_and_nothing_is_kept(
    film: str, own_folder: Path, given: tuple[str, ...], word: str
) -> None:
    told = " ".join(refusal("teach", "own", "keep", "film-7", film, *given).split())
    assert word in told
    assert not own_folder.exists()


def test_a_name_that_is_none_is_refused(film: str, own_folder: Path) -> None:
    told = refusal("teach", "own", "keep", "Film 7", film, "--fault", "overlap", *CONSENT)
    assert "small letters, digits and hyphens" in " ".join(told.split())
    assert not list(own_folder.rglob("*.json"))


def test_names_drawn_into_the_film_are_told(film: str, tmp_path: Path) -> None:
    named = tmp_path / "named.png"
    with Image.open(film) as picture:
        grey = picture.convert("I;16") if picture.mode == "I" else picture.copy()
    level = 65535 if grey.mode.startswith("I") else 255
    ImageDraw.Draw(grey).text((60, 20), "DOE JANE", fill=level, font=ImageFont.load_default(40))
    grey.save(named, pnginfo=PngInfo())
    told = refusal("teach", "own", "keep", "film-7", str(named), "--fault", "overlap", *CONSENT[:4])
    assert "may say whose it is: what looks like" in " ".join(told.split())


def test_a_set_holds_it_only_when_chosen_and_marks_by_the_reading(
    film: str, tmp_path: Path
) -> None:
    keep(film)
    asked = ("--count", "1", "--seed", "3", "--own", "film-7")
    told = said("teach", "set", "--out", str(tmp_path / "set"), *asked)
    assert "1 exercise: 1 real film" in told
    page, key = tmp_path / "set" / "exercises.html", tmp_path / "set" / "key.json"
    assert SAYS not in page.read_text("utf-8")
    (kept,) = json.loads(key.read_text("utf-8"))["items"]
    own = own_exercise("film-7")
    answers = tmp_path / "answers.json"
    for chosen, points in ((own.offered.index("overlap"), 1.0), (_wrong(own.offered), 0.0)):
        document = {
            "format": "bitewright.exercise-answers/1",
            "set": json.loads(key.read_text("utf-8"))["set"],
            "answers": [{"id": kept["id"], "chosen": chosen}],
        }
        answers.write_text(json.dumps(document), "utf-8")
        marked = said("teach", "mark", str(page), str(answers), "--key", str(key), "--json")
        assert json.loads(marked)["points"] == points
    said("teach", "handout", str(page), "--pdf", str(tmp_path / "key.pdf"), "--key", str(key))
    assert (tmp_path / "key.pdf").read_bytes().startswith(b"%PDF-")
    assert "There is no exercise" in refusal(
        "teach", "set", "--out", str(tmp_path / "other"), "--count", "1", "--own", "film-9"
    )


def _wrong(offered: tuple[str, ...]) -> int:
    return next(k for k, each in enumerate(offered) if each != "overlap")
