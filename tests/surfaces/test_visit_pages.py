"""A visit of the light box as a page: the same answer as by command, and the gate below it."""

from collections.abc import Iterator
from datetime import UTC, datetime
from html import unescape
from pathlib import Path

import numpy as np
import pytest
from fastapi.testclient import TestClient

from bitewright.files.marks_file import marks_to_document
from bitewright.marking.raw_image import RawImage
from bitewright.tasks.assess.decoded_film import DecodedFilm
from bitewright.tasks.light_box.kept_marks import change_marks
from bitewright.tasks.light_box.light_box import enter_film, open_own_light_box
from bitewright.visit.film_evidence import FilmOfVisit
from bitewright.web.application import create_app
from bitewright.web.pages.light_box import own_box
from tests.unit.visit.marked import COLUMNS, PIXEL_MM, ROWS, film, mirrored

SIGN = "/record/visit/decision"
HOME = "http://127.0.0.1:8642"
FILMS = (
    film("right-premolar", {"44-45": 1.2}),
    film("right-molar"),
    mirrored(film("right-premolar")),
    mirrored(film("right-molar")),
    None,
)
STATED = {"purpose": "pain <at> 45", "cause": "tube too far forward", "change": "tube back"}


@pytest.fixture(scope="module")
def browser(tmp_path_factory: pytest.TempPathFactory) -> Iterator[TestClient]:
    """A light box with one visit: four marked films, 44-45 closed, and one without marks."""
    folder = tmp_path_factory.mktemp("box")
    box = open_own_light_box(folder / "box.sqlite")
    for number, each in enumerate(FILMS):
        enter(box, number, each)
    app = create_app()
    app.dependency_overrides[own_box] = lambda: box
    with TestClient(app, base_url=HOME, headers={"origin": HOME}) as client:
        yield client


def enter(
    box: object, number: int, each: FilmOfVisit | None, *, pixel_mm: float | None = PIXEL_MM
) -> None:
    raw = RawImage(
        pixels=np.full((ROWS, COLUMNS), 20_000 + number, dtype=np.uint16),
        bits=16,
        pixel_mm=pixel_mm,
        source="png",
        attributes={},
        caveats=(),
    )
    taken = DecodedFilm(name=f"film {number}", sha256=str(number) * 64, image=raw)
    kept = enter_film(box, taken, visit="visit 1", now=datetime.now(UTC), looked_at=True)  # type: ignore[arg-type]
    if each is not None:
        document = marks_to_document(each.marks)
        marks = {name: document[name] for name in ("view", "marks", "mark_sd_mm")}
        change_marks(box, kept.id, marks, version=kept.marks_version)  # type: ignore[arg-type]


def test_the_page_says_what_nothing_shows_and_sets_unmarked_films_aside(
    browser: TestClient,
) -> None:
    text = browser.get("/light-box/visit", params={"visit": "visit 1"}).text
    assert "No film shows what caries in enamel needs at 44 distal, 45 mesial." in text
    assert "Set aside: film 4 (film 5). The film &#39;film 4&#39; has no view yet" in text
    assert text.index("Do not expose: it leaves unread") < text.index("No exposure is offered")
    assert text.count("<svg xmlns") == 1
    assert "uSv" not in text
    other = {"visit": "visit 1", "question": "bone-level"}
    assert "bone level" in browser.get("/light-box/visit", params=other).text


def test_a_visit_with_nothing_to_read_yet_says_what_to_do_and_leads_back(tmp_path: Path) -> None:
    box = open_own_light_box(tmp_path / "box.sqlite")
    enter(box, 0, None)
    enter(box, 1, film("right-premolar"), pixel_mm=None)
    app = create_app()
    app.dependency_overrides[own_box] = lambda: box
    with TestClient(app, base_url=HOME, headers={"origin": HOME, "accept": "text/html"}) as client:
        told = client.get("/light-box/visit", params={"visit": "visit 1"})
    assert told.status_code == 400
    said = unescape(told.text)
    assert "No film of the visit 'visit 1' can be read yet." in said
    assert "The film 'film 0' has no view yet: choose what it was taken for." in said
    assert "The film 'film 1' says no pixel size: choose its receptor, or give" in said
    assert "pixel_mm" not in said
    assert '<a href="/light-box">Go to the light box</a>' in said


@pytest.mark.slow
def test_what_is_stated_is_weighed_and_shown_as_text(browser: TestClient) -> None:
    text = browser.get("/light-box/visit", params={"visit": "visit 1", **STATED}).text
    assert "Expose once more, right premolar" in text
    assert "Ludlow et al. 2008" in text
    assert "pain &lt;at&gt; 45" in text


def test_a_visit_that_is_none_is_refused(browser: TestClient) -> None:
    answer = browser.get("/light-box/visit", params={"visit": "no such"})
    assert answer.status_code == 404
    assert "No film on the light box is of the visit" in answer.text


@pytest.mark.slow
@pytest.mark.usefixtures("own_folders")
def test_a_decision_is_signed_on_the_page_and_goes_to_the_log_once(browser: TestClient) -> None:
    signed = {"visit": "visit 1", "which": 0, "decision": "exposing", "reason": "pain", "by": "T1"}
    refused = browser.post(SIGN, json=signed)
    assert refused.status_code == 400
    assert "No exposure is offered" in refused.json()["error"]
    signed |= STATED | {"operator": "T1", "is_students": True}
    assert "cannot sign for it" in browser.post(SIGN, json=signed).json()["error"]
    signed |= {"operator": "S7"}
    assert "saved as entry 2" in browser.post(SIGN, json=signed).json()["said"]
    assert "was saved before" in browser.post(SIGN, json=signed).json()["said"]
    shown = browser.get("/light-box/visit", params={"visit": "visit 1"}).text
    assert "It is exposure 1 in the log." in shown
    assert "What came of exposure 1" in shown
    log = browser.get("/record/log/exposures/1").text
    assert "Decision at the gate of a visit" in log
    assert "44 distal " in log
    outcome = {"visit": "visit 1", "which": 0, "about": f"film-{'0' * 40}", "by": "T1"}
    told = browser.post("/record/visit/outcome", json=outcome | {"further": "film 9"})
    assert "is none of this visit's films" in told.json()["error"]


@pytest.mark.usefixtures("own_folders")
def test_of_what_is_only_doubtful_a_decision_is_signed_about_the_film_that_it_lies_on(
    tmp_path: Path,
) -> None:
    """Exposing is not offered then, but that nobody exposes is a decision like any other."""
    box = open_own_light_box(tmp_path / "box.sqlite")
    near_the_limit = film("right-premolar", {"44-45": 0.9})
    films = (FILMS[1], near_the_limit, FILMS[2], FILMS[3])
    for number, each in enumerate(films):
        enter(box, number, each)
    app = create_app()
    app.dependency_overrides[own_box] = lambda: box
    with TestClient(app, base_url=HOME, headers={"origin": HOME}) as client:
        text = client.get("/light-box/visit", params={"visit": "visit 1"}).text
        assert "it leaves doubtful 44 distal" in text
        assert "About the film right premolar." in text
        assert "Weigh one more exposure" not in text
        signed = {"visit": "visit 1", "which": 0, "decision": "not-exposing", "by": "T1"}
        signed |= {"reason": "another reader looks", "operator": "S7"}
        assert "saved as entry" in client.post(SIGN, json=signed).json()["said"]
        log = client.get("/record/log/exposures/1").text
    assert "left doubtful: 2 places" in log
    assert "right premolar" in log
