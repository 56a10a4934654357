"""Marks proposed on the light box: kept as such, and nothing is told before they are confirmed."""

import json
from dataclasses import replace
from importlib.resources import files
from typing import Any

import numpy as np
import pytest
from fastapi.testclient import TestClient

from bitewright.files.marks_file import marks_from_document, marks_to_document
from bitewright.proposing.refusals import FilmDoubt
from bitewright.tasks.light_box import propose_kept
from bitewright.tasks.page_documents import check_page_document
from bitewright.tasks.propose.propose_marks import propose_marks
from bitewright.web.pages import light_box
from tests.surfaces.test_light_box_pages import FILMS, browser

__all__ = ["browser"]
SAMPLE = files("bitewright.web") / "static/light_box"
TRUE = json.loads((SAMPLE / "sample.marks").read_text(encoding="utf-8"))
VIEW = TRUE["view"]


@pytest.fixture
def sample(browser: TestClient) -> TestClient:
    """The sample film on a light box, its view chosen."""
    browser.put(f"{FILMS}?label=sample", content=(SAMPLE / "sample.png").read_bytes())
    return browser


def keep(browser: TestClient, marks: dict[str, Any], version: int) -> None:
    answer = browser.put(f"{FILMS}/1/marks", json={"version": version, "marks": marks})
    assert answer.status_code == 200, answer.text


@pytest.mark.slow
def test_proposed_marks_tell_nothing_before_a_person_has_looked(sample: TestClient) -> None:
    assert "has no view yet" in sample.get(f"{FILMS}/1/proposal").json()["error"]
    likely = sample.get(f"{FILMS}/1/proposal?view_too=true").json()
    check_page_document(likely)
    assert likely["marks"]["view"] == VIEW, "by the teeth alone"
    keep(sample, {"view": VIEW}, 0)
    made = sample.get(f"{FILMS}/1/proposal").json()
    check_page_document(made)
    proposed = made["marks"]["marks"]
    assert {mark["state"] for mark in proposed.values()} == {"proposed"}
    off = [
        made["marks"]["pixel_mm"] * np.hypot(mark["x_px"] - own["x_px"], mark["y_px"] - own["y_px"])
        for name, mark in TRUE["marks"].items()
        if name.count(".") == 1 and "x_px" in mark and (own := proposed.get(name))
    ]
    assert len(off) >= 12
    assert np.median(off) < 0.3, "a third of a millimetre along and down the row"
    assert sample.get(f"{FILMS}/1").json()["marks"] == {"view": VIEW}, "the page keeps them"

    keep(sample, {"view": VIEW, "marks": proposed}, 1)
    for what in ("assessment", "reading", "explanation"):
        assert "proposed, not confirmed" in sample.get(f"{FILMS}/1/{what}").json()["cannot"]
    refused = sample.get("/record/log/film/1")
    assert refused.status_code == 400
    assert "proposed, not confirmed" in refused.json()["error"]
    told = sample.get(f"{FILMS}/1/marks-file").json()
    assert told["marks"] == proposed

    looked = {name: mark | {"state": "confirmed"} for name, mark in proposed.items()}
    keep(sample, {"view": VIEW, "marks": looked}, 2)
    assert sample.get(f"{FILMS}/1/assessment").json()["rating"]["grade"]
    told = sample.get(f"{FILMS}/1/marks-file").json()
    assert {mark["state"] for mark in told["marks"].values()} == {"confirmed"}


@pytest.mark.slow
def test_what_is_not_proposed_is_said_and_changes_no_marks(sample: TestClient) -> None:
    other = VIEW.replace("right", "left")
    keep(sample, {"view": other, "marks": {"25.mesial": {"x_px": 40.0, "y_px": 50.0}}}, 0)
    before = sample.get(f"{FILMS}/1").json()
    made = sample.get(f"{FILMS}/1/proposal").json()
    check_page_document(made)
    assert made["marks"] is None
    assert "the other end" in made["sentences"][0]
    assert sample.get(f"{FILMS}/1").json() == before


@pytest.mark.slow
def test_what_is_doubtful_about_a_film_is_a_doubt_of_each_mark_and_the_view_stays(
    sample: TestClient, monkeypatch: pytest.MonkeyPatch
) -> None:
    def propose(*given: Any, **_: Any) -> Any:
        made = propose_marks(*given)
        return replace(made, doubts=(FilmDoubt.UNEXPLAINED,))

    monkeypatch.setattr(propose_kept, "propose_marks", propose)
    other = VIEW.replace("premolar", "molar") if "premolar" in VIEW else "right-premolar"
    keep(sample, {"view": other}, 0)
    made = sample.get(f"{FILMS}/1/proposal").json()
    marks = made["marks"]
    assert all("doubt" in mark for mark in marks["marks"].values())
    assert made["doubtful_marks"] == list(marks["marks"])
    assert marks["view"] == other
    assert "as chosen" in made["sentences"][-1]
    first = marks["proposed"]
    assert (first["film_doubts"], first["likely_view"]) == (["unexplained"], VIEW)
    kept = {"view": other, "marks": marks["marks"], "proposed": first}
    keep(sample, kept, 1)
    told = sample.get(f"{FILMS}/1/marks-file").json()
    assert marks_to_document(marks_from_document(told))["proposed"] == first


@pytest.mark.slow
def test_nothing_of_a_film_is_logged_whose_marks_are_to_be_checked_first(
    sample: TestClient,
) -> None:
    marks = {name: dict(mark) for name, mark in TRUE["marks"].items()}
    marks["16.mesial"]["x_px"] -= 4.0 / TRUE["pixel_mm"]  # a space so wide is a tooth's
    keep(sample, {"view": VIEW, "marks": marks}, 0)
    assert sample.get(f"{FILMS}/1/explanation").json()["answer"]["marks_first"]
    refused = sample.get("/record/log/film/1")
    assert refused.status_code == 400
    assert "checked first, on the light box" in refused.json()["error"]
    keep(sample, {"view": VIEW, "marks": TRUE["marks"]}, 1)
    assert sample.get("/record/log/film/1").json()["fields"]["view"] == VIEW


def test_without_the_extra_the_page_says_so_and_offers_nothing(
    browser: TestClient, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(light_box, "may_propose", lambda: False)
    page = browser.get("/light-box").text
    assert "Marks cannot be proposed here: `pip install" in page.replace("&#39;", "'")
    assert 'title="Propose the marks of this film (P)" hidden disabled' in page
    monkeypatch.setattr(light_box, "may_propose", lambda: True)
    assert "cannot be proposed" not in browser.get("/light-box").text
