"""Two films of the light box at recall, as a page: the answer as by command, its card, refusals."""

from collections.abc import Iterator
from dataclasses import replace
from datetime import UTC, datetime
from pathlib import Path
from typing import Any

import numpy as np
import pytest
from fastapi.testclient import TestClient

from bitewright.exposing.aim import Aim
from bitewright.exposing.exposure import expose
from bitewright.exposing.placement import Placement
from bitewright.exposing.project import project
from bitewright.exposing.targets import targets
from bitewright.files.marks_file import marks_to_document
from bitewright.marking.marks import MarkedFilm
from bitewright.marking.raw_image import RawImage
from bitewright.marking.simulated_marker import true_marks
from bitewright.quality.views import view
from bitewright.tasks.assess.decoded_film import DecodedFilm
from bitewright.tasks.light_box.kept_marks import change_marks
from bitewright.tasks.light_box.light_box import enter_film, open_own_light_box
from bitewright.web.application import create_app
from bitewright.web.pages.light_box import own_box
from tests.scenes import station_of

HOME = "http://127.0.0.1:8642"
VIEW, PIXEL_MM = "right-molar", 0.1
EARLIER, LATER, OTHER_PATIENT, UNMARKED = 1, 2, 3, 4


def marked(vertical_deg: float, **said: Any) -> MarkedFilm:
    """The standard mouth with the tube so high, marked as it is."""
    at = station_of(VIEW, "sensor-2")
    exposure = expose(at, Placement(lingual_mm=6.0), Aim(vertical_deg=vertical_deg))
    landmarks, _ = project(exposure, targets(at.outlines, at.region))
    marks = true_marks(
        landmarks, view(VIEW), pixel_mm=PIXEL_MM, image_name="film.png", receptor="sensor-2"
    )
    return replace(marks, mark_sd_mm=0.05, **said)


@pytest.fixture(scope="module")
def browser(tmp_path_factory: pytest.TempPathFactory) -> Iterator[TestClient]:
    """A light box with an earlier film, a later one with the tube higher, and two beside."""
    box = open_own_light_box(Path(tmp_path_factory.mktemp("box")) / "box.sqlite")
    films = (
        marked(2.0, patient="P-1", taken_on="2025-11-02"),
        marked(14.0, patient="P-1", taken_on="2026-11-29"),
        marked(14.0, patient="P-2", taken_on="2026-11-29"),
        None,
    )
    for number, film in enumerate(films):
        enter(box, number, film)
    app = create_app()
    app.dependency_overrides[own_box] = lambda: box
    with TestClient(app, base_url=HOME, headers={"origin": HOME}) as client:
        yield client


def enter(box: Any, number: int, film: MarkedFilm | None) -> None:
    columns, rows = (300, 200) if film is None else (film.columns, film.rows)
    raw = RawImage(
        pixels=np.full((rows, columns), 20_000 + number, dtype=np.uint16),
        bits=16,
        pixel_mm=PIXEL_MM,
        source="png",
        attributes={},
        caveats=(),
    )
    taken = DecodedFilm(name=f"film {number}", sha256=str(number) * 64, image=raw)
    kept = enter_film(box, taken, visit="recall", now=datetime.now(UTC), looked_at=True)
    if film is not None:
        document = marks_to_document(film)
        stated = {name: document[name] for name in document if name not in {"format", "image"}}
        change_marks(box, kept.id, stated, version=kept.marks_version)


def test_nothing_chosen_offers_marked_films_earlier_ones_first(browser: TestClient) -> None:
    text = browser.get("/light-box/recall").text
    assert "film 0, right molar, 2025-11-02" in text
    assert text.index("film 0, ") < text.index("film 1, ")
    assert "film 3" not in text
    assert "Not comparable" not in text


@pytest.mark.slow
def test_the_answer_both_exposures_the_card_and_never_a_word_of_disease(
    browser: TestClient,
) -> None:
    chosen = {"earlier": EARLIER, "later": LATER}
    text = browser.get("/light-box/recall", params=chosen).text
    assert "tube, up or down, later against earlier" in text
    assert "whether disease has changed is judged by a practitioner" in text
    assert text.count('data-site="') >= 4
    assert "not comparable" in text
    assert "The earlier right molar, 2025-11-02" in text
    for word in ("progress", "stable", "worse", "bone loss", "healed"):
        assert word not in text.lower().replace("<progress", "")
    card = browser.get("/light-box/recall/card.pdf", params=chosen)
    assert card.content[:5] == b"%PDF-"


@pytest.mark.parametrize(
    ("chosen", "said"),
    [
        ((EARLIER, EARLIER), "they are the same film"),
        ((LATER, EARLIER), "give the earlier one first"),
        ((EARLIER, OTHER_PATIENT), "the one is of P-1, the other of P-2"),
        ((EARLIER, UNMARKED), "no view yet"),
    ],
)
def test_what_cannot_be_compared_is_refused_in_a_sentence_on_the_page(
    browser: TestClient, chosen: tuple[int, int], said: str
) -> None:
    answer = browser.get("/light-box/recall", params={"earlier": chosen[0], "later": chosen[1]})
    assert answer.status_code == 400
    assert said in answer.text
    assert "Compare</button>" in answer.text


def test_a_film_that_is_gone_is_said_so(browser: TestClient) -> None:
    answer = browser.get("/light-box/recall", params={"earlier": 1, "later": 99})
    assert answer.status_code == 404
    assert "Compare</button>" in answer.text
