"""What a person decides on a film is kept, with what it was rated for and by."""

from pathlib import Path

from fastapi.testclient import TestClient

from tests.surfaces.test_light_box_pages import FILMS, browser, png

__all__ = ["browser", "png"]


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
    assert kept["titles"] == {"question": "bone level", "scheme": "UK 2001"}
    for wrong in ({"question": "beauty"}, {"scheme": "uk-1066"}):
        told = browser.put(f"{FILMS}/1/decision", json=given | wrong)
        assert told.status_code == 400
        assert "is not known" in told.json()["error"]
    assert browser.get(f"{FILMS}/1").json() == kept
