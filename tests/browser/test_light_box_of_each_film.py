"""What the light box shows of one film stays with it: over going back, in its form, by its name."""

import json
import re
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest
from playwright.sync_api import Dialog, FilePayload, Page, Route, expect

from tests.browser.conftest import Visit, spilling
from tests.browser.test_films import PHONE, add
from tests.browser.test_placing import grey

__all__ = ["grey"]
LONG = "bitewing_right_premolar_retake_2026-11-30_room_4_sensor_2_final_version"
WIDE = {"width": 1920, "height": 1080}
DESK = {"width": 1280, "height": 800}


@pytest.fixture
def page(visit: Visit) -> Iterator[Page]:
    opened = visit.go("/light-box")
    yield opened
    opened.unroute_all(behavior="ignoreErrors")
    visit.go("/entering")  # nothing is asked of a film that is gone
    for film in films(opened):
        opened.evaluate("id => fetch(`/light-box/films/${id}`, {method: 'DELETE'})", film["id"])


def films(page: Page) -> list[dict[str, Any]]:
    """What the server has."""
    asked = "fetch('/light-box/films', {cache: 'no-store'}).then(r => r.text())"
    found: list[dict[str, Any]] = json.loads(page.evaluate(asked))
    return found


def choose(page: Page, name: str) -> None:
    page.locator("#places button", has_text=name).click()
    expect(page.locator("#film-name")).to_have_text(name)


def test_films_that_were_added_lie_there_when_one_comes_back(page: Page, grey: Path) -> None:
    add(page, grey, "one", "two")
    page.goto(page.url.replace("/light-box", "/record/log"))
    page.go_back()
    expect(page.locator("#places li")).to_have_count(2)
    expect(page.locator("#film-name")).to_have_text("two")


def test_long_names_leave_every_film_within_reach(page: Page, visit: Visit, grey: Path) -> None:
    names = [f"{number}_{LONG}"[:60] for number in (1, 2)]
    add(page, grey, *names)
    for size in (DESK, WIDE, PHONE):
        page.set_viewport_size(size)  # type: ignore[arg-type]
        assert spilling(page) == []
        assert page.evaluate("document.documentElement.scrollWidth <= innerWidth")
        for name in names:
            choose(page, name)
    assert visit.findings() == []


def test_the_decision_in_the_form_is_the_chosen_films_own(page: Page, grey: Path) -> None:
    add(page, grey, "one", "two")
    form = page.locator("#decision")
    code, note = form.locator("[name=by]"), form.locator("[name=note]")
    form.get_by_label("rejected").check()
    code.fill("T7")
    note.fill("moved")
    form.locator("button").click()
    expect(page.locator("#decided")).to_have_text(
        re.compile(r"^rejected, \d{4}-\d\d-\d\d T7, not rated: its marks told no rating$")
    )
    choose(page, "one")
    expect(form.get_by_label("undecided")).to_be_checked()
    expect(code).to_have_value("")
    expect(note).to_have_value("")
    form.locator("button").click()
    expect(page.locator("#decided")).to_have_text(re.compile(r"^undecided, \d{4}-\d\d-\d\d, not"))
    choose(page, "two")
    page.reload()
    expect(form.get_by_label("rejected")).to_be_checked()
    expect(code).to_have_value("T7")
    expect(note).to_have_value("moved")
    decided = [film["decision"] for film in films(page)]
    assert [(each["decision"], each["by"], each["note"]) for each in decided] == [
        ("undecided", "", ""),
        ("rejected", "T7", "moved"),
    ]


def marks_of(film: dict[str, Any], sha256: str, *names: str) -> FilePayload:
    image = {"file": "film.png", "columns": film["columns"], "rows": film["rows"], "sha256": sha256}
    document = {
        "format": "bitewright.marks/1",
        "image": image,
        "view": "left-molar",
        "mounting": "as-seen-from-the-tube",
        "marks": {name: {"x_px": 60.0, "y_px": 60.0} for name in names},
    }
    content = json.dumps(document).encode()
    return {"name": "marks.json", "mimeType": "application/json", "buffer": content}


def test_a_marks_file_of_another_film_is_refused_and_one_of_this_asks_and_can_be_taken_back(
    page: Page, grey: Path
) -> None:
    add(page, grey, "one")
    page.locator("#view").select_option("right-premolar")
    expect(page.locator("#next")).to_have_attribute("data-name", "13.distal")
    page.keyboard.press("o")
    expect(page.locator("#count")).to_contain_text("1 placed")
    (film,) = films(page)
    page.set_input_files("#load-marks", marks_of(film, "0" * 64, "26.mesial", "26.distal"))
    expect(page.locator("#say")).to_have_text(
        "Those marks were set on another picture than one, so none of them is taken: its content "
        "differs."
    )
    expect(page.locator("#view")).to_have_value("right-premolar")
    asked: list[str] = []
    own = marks_of(film, film["sha256"], "26.mesial", "26.distal")
    for is_taken in (False, True):
        page.once("dialog", lambda dialog: answer(dialog, asked, is_taken=is_taken))  # noqa: B023
        page.set_input_files("#load-marks", own)
        expect(page.locator("#count")).to_contain_text(f"{1 + is_taken} placed")
    question = "Put the 2 marks of that file in the place of the 1 mark of this film?"
    assert asked == [f"{question} U brings it back."] * 2
    expect(page.locator("#view")).to_have_value("left-molar")
    page.locator("#stage").focus()
    page.keyboard.press("u")
    expect(page.locator("#view")).to_have_value("right-premolar")
    expect(page.locator("#count")).to_contain_text("1 placed")


def answer(dialog: Dialog, asked: list[str], *, is_taken: bool) -> None:
    asked.append(dialog.message)
    if is_taken:
        dialog.accept()
    else:
        dialog.dismiss()


def test_a_proposal_that_another_film_put_an_end_to_is_told(page: Page, grey: Path) -> None:
    add(page, grey, "one", "two")
    page.locator("#view").select_option("right-premolar")
    expect(page.locator("#next")).to_have_attribute("data-name", "13.distal")
    held: list[Route] = []
    page.route("**/proposal*", lambda route: held.append(route))  # noqa: PLW0108  keeps it waiting
    page.locator("#propose").click()
    expect(page.locator("#proposing")).to_be_visible()
    choose(page, "one")
    expect(page.locator("#say")).to_contain_text("Nothing is proposed on two")


def test_a_film_whose_marks_are_to_be_checked_first_is_not_rated(page: Page, visit: Visit) -> None:
    """As the sample film, with what is told of it put in by hand."""
    told: list[bool] = []

    def check_first(route: Route) -> None:
        found = route.fetch()
        document = found.json()
        document["answer"] |= {"headline": "Check the marks first", "marks_first": not told}
        told.append(True)
        route.fulfill(response=found, json=document)

    page.route("**/reading?*", check_first, times=1)
    page.route("**/explanation?*", lambda route: None if told else route.continue_())
    page.locator("#sample-marked").click()
    expect(page.locator("#answer-headline")).to_have_text("Check the marks first")
    expect(page.locator("#grade-doubt")).to_have_text("Not rated: check the marks first.")
    expect(page.locator("#grade")).to_be_empty()
    expect(page.locator("#log-film")).to_be_hidden()
    page.locator("#decision button").click()
    expect(page.locator("#decided")).to_contain_text("not rated: its marks were to be checked")
    assert visit.findings() == []
