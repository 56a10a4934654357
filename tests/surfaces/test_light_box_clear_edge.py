"""The edge of a cone cut's blank part, marked on the light box: kept, and measured in mm."""

import json
from importlib.resources import files
from typing import Any

import pytest
from fastapi.testclient import TestClient

from tests.surfaces.test_light_box_pages import FILMS, browser

__all__ = ["browser"]
SAMPLE = files("bitewright.web") / "static/light_box"
TRUE = json.loads((SAMPLE / "sample.marks").read_text(encoding="utf-8"))
COLUMNS, ROWS = TRUE["image"]["columns"], TRUE["image"]["rows"]
CUT_MM = 5.0
CUT_PX = CUT_MM / TRUE["pixel_mm"]


def assessed(browser: TestClient, edge: list[tuple[float, float]]) -> list[str]:
    """What is said of the sample film, on which a cone cut was seen, its edge through places."""
    browser.put(f"{FILMS}?label=sample", content=(SAMPLE / "sample.png").read_bytes())
    seen: dict[str, Any] = {"name": "cone-cut"}
    if edge:
        seen["edge"] = [{"x_px": x, "y_px": y} for x, y in edge]
    fields = ("view", "receptor", "pixel_mm", "marks")
    marks = {name: TRUE[name] for name in fields} | {"observations": [seen]}
    answer = browser.put(f"{FILMS}/1/marks", json={"version": 0, "marks": marks})
    assert answer.status_code == 200, answer.text
    assert browser.get(f"{FILMS}/1/marks-file").json()["observations"] == [seen]
    told = browser.get(f"{FILMS}/1/assessment").json()
    return [each["sentence"] for each in told["criteria"]]


@pytest.mark.parametrize(
    ("edge", "place"),
    [
        ([(COLUMNS - CUT_PX, 60.0), (COLUMNS - CUT_PX, ROWS - 60.0)], "front edge"),
        ([(80.0, CUT_PX), (COLUMNS - 80.0, CUT_PX)], "upper edge"),
    ],
)
def test_what_stayed_blank_is_told_in_mm_at_its_edge(
    browser: TestClient, edge: list[tuple[float, float]], place: str
) -> None:
    # Pixel size times pixels, from the picture's own edge: the front of a right side lies right.
    said = " ".join(assessed(browser, edge))
    assert f"The beam misses {CUT_MM:.1f} mm at the {place} of the receptor" in said


def test_without_its_edge_how_much_stayed_blank_is_not_told(browser: TestClient) -> None:
    assert any("mark its edge to tell how much" in each for each in assessed(browser, []))


def test_one_place_is_no_edge(browser: TestClient) -> None:
    browser.put(f"{FILMS}?label=sample", content=(SAMPLE / "sample.png").read_bytes())
    seen = {"name": "cone-cut", "edge": [{"x_px": 9.0, "y_px": 9.0}]}
    marks = {"view": TRUE["view"], "observations": [seen]}
    answer = browser.put(f"{FILMS}/1/marks", json={"version": 0, "marks": marks})
    assert answer.status_code == 400
    assert "two where it is straight" in answer.json()["error"]
