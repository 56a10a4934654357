"""Documents that the pages send and receive fit the schemas they name."""

import json
from pathlib import Path
from typing import Any

import pytest
from fastapi.testclient import TestClient

from bitewright.files.json_documents import SchemaViolationError
from bitewright.tasks.page_documents import PAGE_FORMATS, check_page_document
from tests.surfaces.test_light_box_pages import FILMS, VIEW, browser, png, simulated_marks

__all__ = ["browser", "png"]
MOLARS = "view=left-molar&receptor=plate-2"


def checked(document: dict[str, Any], name: str) -> dict[str, Any]:
    assert document["format"] == f"bitewright.{name}/1"
    check_page_document(document)
    return document


def test_the_benchs_documents_fit(browser: TestClient) -> None:
    checked(browser.get(f"/bench/station?{MOLARS}").json(), "bench-station")
    for settings in ({}, {"ring_offset_deg": 30.0}, {"height_mm": 12.0, "lingual_mm": 1.0}):
        query = json.dumps(settings)
        checked(browser.get(f"/bench/exposure?{MOLARS}&settings={query}").json(), "bench")
        checked({"format": "bitewright.bench-wish/1", "seq": 1, "settings": settings}, "bench-wish")
    checked(browser.get(f"/bench/plan?{MOLARS}").json(), "bench-plan")
    checked(browser.get(f"/bench/build?{MOLARS}").json(), "progress")


def test_a_page_is_told_of_what_stays_only_when_it_changed(browser: TestClient) -> None:
    """Half of all there is to draw stays while only the tube swings."""
    whole = browser.get(f"/bench/exposure?{MOLARS}").json()["drawing"]
    line = f"ws://127.0.0.1:8642/bench/moving/state?{MOLARS}"
    told = []
    with browser.websocket_connect(line, headers={"origin": "http://127.0.0.1:8642"}) as socket:
        for seq, settings in enumerate(
            (
                {},
                {"ring_offset_deg": 5.0},
                {"ring_offset_deg": 5.0, "vertical_deg": 9.0},
                {"forward_mm": 3.0, "vertical_deg": 9.0},
            )
        ):
            socket.send_json({"seq": seq, "settings": settings})
            told.append(checked(socket.receive_json(), "bench-moving"))
    stays = [each["stays"] for each in told]
    both = ["fans", "seated"]
    assert [sorted(each) for each in stays] == [both, [], ["fans"], both]
    # Put together it is the drawing that is told when it is asked for alone.
    first = told[0]["drawing"]
    assert {**first, "fans": stays[0]["fans"]} | {
        name: first[name] | stays[0]["seated"][name] for name in ("row", "side")
    } == whole
    assert len(json.dumps(told[1])) < len(json.dumps(told[0])) / 2


def test_the_light_boxs_documents_fit(browser: TestClient, png: Path) -> None:
    made = browser.put(f"{FILMS}?label=w", content=png.read_bytes()).json()
    checked(made, "light-box")
    checked(browser.get(f"{FILMS}/1/assessment").json(), "cannot-tell")
    document = dict(simulated_marks(9.0)["document"])  # type: ignore[call-overload]
    marks = {k: v for k, v in document.items() if k not in {"format", "image"}}
    change = {"version": 0, "marks": marks | {"holder": "ring-holder"}}
    checked(change | {"format": "bitewright.marks-change/1"}, "marks-change")
    checked(browser.put(f"{FILMS}/1/marks", json=change).json(), "light-box")
    given = {"decision": "accepted with a remark", "by": "op-3"}
    checked(browser.put(f"{FILMS}/1/decision", json=given).json(), "light-box")
    for each in browser.get(FILMS).json():
        checked(each, "light-box")
    checked(browser.get(f"{FILMS}/1/marks-file").json(), "marks")
    checked(browser.get(f"{FILMS}/1/assessment").json(), "assessment")
    checked(browser.get(f"{FILMS}/1/explanation").json(), "assessment")
    usual = checked(browser.get(f"/light-box/usual-marks/{VIEW}").json(), "usual-marks")
    assert {each["name"] for each in made_wanted(browser)} <= usual["places_mm"].keys()
    for x_px in (20.0, 100.0):
        edge = f"{FILMS}/1/edge?name=15.mesial&x_px={x_px}&y_px=50"
        checked(browser.get(edge).json(), "crown-edge")


def made_wanted(browser: TestClient) -> list[dict[str, str]]:
    wanted: list[dict[str, str]] = browser.get(f"{FILMS}/1").json()["wanted"]
    return wanted


@pytest.mark.parametrize(
    "path",
    [f"{FILMS}/77", f"{FILMS}/x", "/bench/station?view=none", "/nowhere", f"{FILMS}/1/edge"],
)
def test_refusals_fit(browser: TestClient, path: str) -> None:
    answer = browser.get(path, headers={"accept": "application/json"})
    assert 400 <= answer.status_code < 500
    checked(answer.json(), "error")


def test_a_document_with_a_strange_field_does_not_fit(browser: TestClient) -> None:
    document = browser.get(f"/bench/build?{MOLARS}").json()
    with pytest.raises(SchemaViolationError, match="colour"):
        check_page_document(document | {"colour": "red"})


def test_the_described_interface_holds_every_schema(browser: TestClient) -> None:
    described = browser.get("/api/openapi.json").json()
    shapes = described["components"]["schemas"]
    assert {each.replace("/", ".") for each in PAGE_FORMATS} <= shapes.keys()
    told = json.dumps(described["paths"][f"{FILMS}/{{number}}/marks"])
    assert "bitewright.marks-change.1" in told
    assert "bitewright.light-box.1" in told
    assert "bitewright.error.1" in told
    assert VIEW in shapes["bitewright.marks.1"]["properties"]["view"]["description"]
