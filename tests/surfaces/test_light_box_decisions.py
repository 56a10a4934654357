"""What a person decides on a film is kept, with what it was rated for and by."""

from pathlib import Path
from typing import Any

import pytest
from fastapi.testclient import TestClient

from bitewright.tasks.page_documents import check_page_document
from tests.surfaces.test_light_box_pages import FILMS, VIEW, browser, png

__all__ = ["browser", "png"]
PROPOSED = {"x_px": 50.0, "y_px": 60.0, "state": "proposed"}
MARKED = {
    name: {"x_px": x, "y_px": 60.0, "state": "confirmed"}
    for name, x in {
        "14.distal": 120.0,
        "15.mesial": 118.0,
        "15.distal": 84.0,
        "16.mesial": 82.0,
    }.items()
}


def test_decisions_are_a_persons_and_kept(browser: TestClient, png: Path) -> None:
    browser.put(FILMS, content=png.read_bytes())
    given = {"decision": "accepted", "by": "op-3", "note": "crest seen"}
    made = browser.put(f"{FILMS}/1/decision", json=given).json()
    assert made["decision"] | given == made["decision"]
    assert made["decision"] | {"question": "enamel-caries", "scheme": "uk-2020"} == made["decision"]
    assert browser.put(f"{FILMS}/1/decision", json={"decision": "x"}).status_code == 400


def test_a_decision_keeps_what_the_film_was_rated_for_and_by(
    browser: TestClient, png: Path
) -> None:
    browser.put(FILMS, content=png.read_bytes())
    given = {"decision": "accepted", "question": "bone-level", "scheme": "uk-2001"}
    browser.put(f"{FILMS}/1/decision", json=given)
    kept = browser.get(f"{FILMS}/1").json()
    assert kept["decision"] | given == kept["decision"]
    unmarked = {"not_rated": "its marks told no rating"}
    assert kept["titles"] == {"question": "bone level", "scheme": "UK 2001"} | unmarked
    for wrong in ({"question": "beauty"}, {"scheme": "uk-1066"}):
        told = browser.put(f"{FILMS}/1/decision", json=given | wrong)
        assert told.status_code == 400
        assert "is not known" in told.json()["error"]
    assert browser.get(f"{FILMS}/1").json() == kept


@pytest.mark.parametrize(
    ("given", "why"),
    [
        ({"marks": {"15.mesial": PROPOSED}}, "its proposed marks were not all looked at"),
        ({"marks": MARKED, "numbers": "asked"}, "its proposed marks were not all looked at"),
        ({"marks": MARKED, "numbers": "right"}, None),
    ],
)
def test_a_decision_says_of_a_film_that_was_not_rated_that_it_was_not(
    browser: TestClient, png: Path, given: dict[str, Any], why: str | None
) -> None:
    browser.put(FILMS, content=png.read_bytes())
    body = {"version": 0, "marks": {"view": VIEW, **given}}
    assert browser.put(f"{FILMS}/1/marks", json=body).status_code == 200
    browser.put(f"{FILMS}/1/decision", json={"decision": "accepted", "by": "op-3"})
    kept = browser.get(f"{FILMS}/1").json()
    check_page_document(kept)
    assert kept["titles"].get("not_rated") == why


def test_a_film_whose_proposed_numbers_nobody_answered_for_tells_nothing(
    browser: TestClient, png: Path
) -> None:
    browser.put(FILMS, content=png.read_bytes())
    for version, numbers in enumerate(("asked", "right")):
        marks = {"view": VIEW, "marks": MARKED, "numbers": numbers}
        browser.put(f"{FILMS}/1/marks", json={"version": version, "marks": marks})
        told = [browser.get(f"{FILMS}/1/{what}").json() for what in ("assessment", "reading")]
        assert all(
            ("nobody has said whether the teeth are numbered right" in each.get("cannot", ""))
            is (numbers == "asked")
            for each in told
        )
        assert all("--" not in each.get("cannot", "") for each in told)
        assert browser.get(f"{FILMS}/1/marks-file").json()["numbers"] == numbers
