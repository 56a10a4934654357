"""Films of one's own on the page: from the light box to an exercise, a set and a tip sheet."""

from collections.abc import Iterator
from pathlib import Path

import pytest
from fastapi.testclient import TestClient

from bitewright.tasks.light_box.light_box import open_own_light_box
from bitewright.tasks.teach.own_exercises import own_exercise
from bitewright.web.application import create_app
from bitewright.web.pages.light_box import own_box
from bitewright.web.permissions import may
from bitewright.web.sessions import Kind
from tests.surfaces.test_visit_pages import HOME, enter
from tests.unit.visit.marked import film

NOTED = {
    "fault": "overlap",
    "consent_by": "T1",
    "consent_on": "2026-01-31",
    "no_names_seen": True,
}
EXERCISE = {**NOTED, "name": "film-7", "says": "See 44-45."}


@pytest.fixture
def app(tmp_path: Path) -> object:
    box = open_own_light_box(tmp_path / "box.sqlite")
    enter(box, 0, film("right-premolar", {"44-45": 1.2}))
    enter(box, 1, film("right-premolar"))
    made = create_app()
    made.dependency_overrides[own_box] = lambda: box
    return made


@pytest.fixture
def browser(app: object) -> Iterator[TestClient]:
    with TestClient(app, base_url=HOME, headers={"origin": HOME}) as client:  # type: ignore[arg-type]
        yield client


def test_a_film_of_the_light_box_becomes_an_exercise_that_is_in_a_set_when_chosen(
    browser: TestClient,
) -> None:
    text = browser.get("/own-films", params={"film": 1}).text
    assert "film 0" in text
    assert browser.get("/own-films/films/1.png").content.startswith(b"\x89PNG")
    kept = browser.post("/own-films/1/exercise", json=EXERCISE)
    assert (kept.status_code, "in no set until you choose it" in kept.json()["said"]) == (201, True)
    assert browser.get("/own-films/exercises/film-7.png").content.startswith(b"\x89PNG")
    assert "film-7" in browser.get("/own-films").text
    assert 'name="own" value="film-7"' in browser.get("/teach").text
    asked = {"count": 1, "own": ["film-7"]}
    address = browser.post("/teach/sets", json=asked).json()["address"]
    given = browser.get(f"{address}/0").json()
    assert given["question"].startswith("What is wrong with this film?")
    assert "See 44-45." not in str(given)
    right = own_exercise("film-7").offered.index("overlap")
    told = browser.post(f"{address}/0/answer", json={"chosen": right, "sure": 1.0}).json()["told"]
    assert (told["score"], told["best"], told["drawing"]) == (1.0, False, None)
    assert "See 44-45." in told["explanation"]
    assert "1 real film" in browser.get("/teach").text
    assert browser.delete("/own-films/exercises/film-7").status_code == 204
    assert browser.delete("/own-films/exercises/film-7").status_code == 404
    assert "film-7" not in browser.get("/teach").text


@pytest.mark.parametrize(
    ("changed", "word"),
    [
        ({"no_names_seen": False}, "tick the box on the page"),
        ({"consent_on": "2999-01-01"}, "still to come"),
        ({"consent_by": "Mary Smith"}, "Mary Smith"),
        ({"fault": "overlapp"}, "Did you mean 'overlap'?"),
        ({"name": "../x"}, "small letters"),
        ({"says": "x" * 401}, "400 characters"),
    ],
)
def test_what_may_not_be_shown_is_refused(
    browser: TestClient, changed: dict[str, object], word: str
) -> None:
    refused = browser.post("/own-films/1/exercise", json={**EXERCISE, **changed})
    assert 400 <= refused.status_code < 500
    assert word in refused.json()["error"]
    assert "None yet." in browser.get("/own-films").text


@pytest.mark.slow
def test_a_tip_sheet_is_made_from_the_marks_of_the_light_box(browser: TestClient) -> None:
    made = browser.post("/own-films/1/tip", json={**NOTED, "better": 2})
    assert (made.status_code, made.headers["content-type"]) == (200, "application/pdf")
    assert made.content.startswith(b"%PDF-")
    refused = browser.post("/own-films/1/tip", json={**NOTED, "no_names_seen": False})
    assert refused.status_code == 422


def test_a_class_reaches_none_of_it() -> None:
    for method, path in (
        ("GET", "/own-films"),
        ("GET", "/own-films/films/1.png"),
        ("POST", "/own-films/1/exercise"),
        ("POST", "/own-films/1/tip"),
        ("DELETE", "/own-films/exercises/film-7"),
    ):
        assert not may(Kind.CLASS, method, path)
