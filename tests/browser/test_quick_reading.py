"""A film read in twelve marks: the answer in its place, crests by a key, faults by a tick."""

import json
import re
from collections.abc import Iterator
from pathlib import Path

import pytest
from playwright.sync_api import expect

from tests.browser.conftest import Visit, spilling
from tests.browser.marking import Marker, by_keys, by_pointer
from tests.browser.test_light_box import VIEW, rendered_film

PHONE = {"width": 390, "height": 844}


@pytest.fixture
def marker(visit: Visit, tmp_path: Path) -> Iterator[Marker]:
    """A person before a film, 18 degrees off, with its view, holder and receptor stated."""
    film, given = rendered_film(tmp_path, ring_offset_deg=20.0)
    page = visit.go("/light-box")
    page.set_input_files("#files", film)
    expect(page.locator("#film-name")).to_have_text("film")
    for name, value in (("receptor", "plate-2"), ("holder", "ring-holder"), ("view", VIEW)):
        page.locator(f"#{name}").select_option(value)
    expect(page.locator("#teeth")).to_be_visible()
    marks = json.loads(given.read_text(encoding="utf-8"))["marks"]
    places = {
        name: (mark["x_px"], mark["y_px"]) if "x_px" in mark else None
        for name, mark in marks.items()
    }
    yield Marker(page=page, places=places)
    page.on("dialog", lambda dialog: dialog.accept())
    page.set_viewport_size({"width": 1280, "height": 800})
    page.locator("#remove-film").click()
    expect(page.locator("#places li")).to_have_count(0)


def mark_contacts(marker: Marker) -> None:
    """The first three by keys, the others by pointer."""
    page = marker.page
    while (name := marker.wanted()) is not None and name.count(".") == 1:
        where = marker.places[name]
        if where is None:
            marker.press("o")
        elif len(marker.acts_of) < 3:
            by_keys(marker, where)
        else:
            by_pointer(marker, where)
        marker.acts_of[name] = marker.acts
        expect(page.locator("#next")).not_to_have_attribute("data-name", name)


def test_twelve_marks_give_an_answer_and_crests_and_faults_need_no_places(
    marker: Marker, visit: Visit
) -> None:
    page = marker.page
    answer = page.locator("#answer")
    expect(answer).to_contain_text("No answer yet")
    page.locator("#stage").focus()
    mark_contacts(marker)
    expect(page.locator("#answer-movement")).to_contain_text("towards the back of the mouth")
    expect(answer).to_contain_text(re.compile("Serves|Does not serve|Can be read|Doubtful"))
    expect(page.locator("#answer-sure")).to_contain_text(re.compile("marks"))
    assert visit.findings() == []
    page.locator("#rim").get_by_label("flush", exact=True).check()
    expect(page.locator("#answer-movement")).to_contain_text("Turn the receptor's front end")
    page.locator("#rim").get_by_label("not known").check()
    expect(page.locator("#answer-movement")).to_contain_text("lide the tube")

    page.locator("#stage").focus()
    page.keyboard.press("c")
    expect(page.locator("#count")).to_contain_text("13 placed")
    page.locator("#all-crests").click()
    expect(page.locator("#next")).to_contain_text("cusp tip")
    expect(page.locator("#crest-seen")).to_be_hidden()
    expect(page.locator("#criteria")).to_contain_text("is seen with bone beyond it: target met")

    page.locator("#faults summary").click()
    page.locator("#faults").get_by_role("checkbox", name=re.compile("^movement")).check()
    expect(page.locator("#faults")).to_contain_text("Patient, receptor or tube moved")
    expect(page.locator("#answer-movement")).to_contain_text("Rest the head")
    expect(answer).not_to_contain_text("othing needs to move")
    assert visit.findings() == []
    assert visit.codes() == []
    page.reload()
    expect(page.locator("#fault-count")).to_have_text("(1)")

    page.set_viewport_size(PHONE)
    assert spilling(page) == []
    bar, window = answer.bounding_box(), PHONE["height"]
    assert bar is not None
    assert bar["y"] + bar["height"] <= window + 1, "the answer stays in sight on a phone"
    assert visit.findings() == []
