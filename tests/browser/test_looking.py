"""Proposed marks looked at by keys: each film's numbers are asked for, and what is said holds."""

import json
import re
from pathlib import Path
from typing import Any

import pytest
from playwright.sync_api import FilePayload, Page, Route, expect

from tests.browser.conftest import Visit, wait_until
from tests.browser.marking import kept_document
from tests.browser.test_films import PHONE
from tests.browser.test_light_box_of_each_film import page
from tests.browser.test_placing import COLUMNS, ROWS, VIEW, grey

__all__ = ["grey", "page"]
EDGES = {"14.mesial": 600.0, "14.distal": 460.0, "15.mesial": 455.0, "15.distal": 310.0}
DOUBTED = {"state": "proposed", "doubt": "faint"}


def marks_file(of: dict[str, dict[str, Any]], columns: int = COLUMNS) -> FilePayload:
    """Marks as a file has them, in a row at half the film's height."""
    marks = {name: {"x_px": EDGES[name], "y_px": 300.0, **more} for name, more in of.items()}
    image = {"file": "grey.png", "columns": columns, "rows": ROWS}
    document = {"format": "bitewright.marks/1", "image": image, "view": VIEW, "marks": marks}
    document |= {"mounting": "as-seen-from-the-tube", "pixel_mm": 0.05}
    content = json.dumps(document).encode()
    return {"name": "grey.marks.json", "mimeType": "application/json", "buffer": content}


def lay(page: Page, film: Path, of: dict[str, dict[str, Any]]) -> None:
    """A film on the stage, with marks of a file."""
    page.set_input_files("#files", film)
    expect(page.locator("#film-name")).to_have_text(film.stem)
    expect(page.locator("#next")).to_contain_text("Choose the view")
    page.set_input_files("#load-marks", marks_file(of))
    expect(page.locator("#marks g.mark")).to_have_count(len(of))


@pytest.fixture
def doubted(page: Page, grey: Path) -> Page:
    """A film of which every mark is doubted."""
    lay(page, grey, dict.fromkeys(EDGES, DOUBTED))
    page.locator("#stage").focus()
    return page


def test_the_numbers_of_a_film_that_was_doubted_whole_are_asked_for(
    doubted: Page, visit: Visit
) -> None:
    keys, numbers = doubted.keyboard, doubted.locator("#numbers-right")
    expect(doubted.locator("#confirm-rest")).to_be_hidden()
    whole = width_of(doubted)
    keys.press("d")
    assert width_of(doubted) > 1.5 * whole
    for left in (3, 2, 1, 0):
        keys.press("Enter")
        expect(doubted.locator("#marks g.mark.doubted")).to_have_count(left)
    expect(numbers).to_be_focused()
    assert width_of(doubted) == pytest.approx(whole, rel=0.02), "the whole film, with its numbers"
    expect(doubted.locator(".tooth-numbers text")).to_have_text(["14", "15"])
    expect(doubted.locator("#answer-headline")).to_have_text(
        "Not before the numbers are said to be right"
    )
    expect(doubted.locator("#answer-why")).to_contain_text("whether the teeth are numbered right")
    expect(doubted.locator("#log-film")).to_be_hidden()
    assert visit.findings() == []
    wait_until(doubted, lambda: kept_document(doubted).get("numbers") == "asked")
    doubted.reload()
    expect(numbers).to_have_text("The numbers are right: 14 to 15 above")
    doubted.locator('#marks g.mark[data-name="15.mesial"]').focus()
    doubted.locator("#tooth-number").select_option("16")
    expect(numbers).to_have_text("The numbers are right: 15 to 16 above")
    expect(doubted.locator("#marks g.mark.confirmed")).to_have_count(4)
    doubted.locator("#stage").focus()
    keys.press("u")
    keys.press("d")
    keys.press("Enter")
    expect(numbers).to_be_hidden()
    expect(doubted.locator(".tooth-numbers text")).to_have_count(0)
    expect(doubted.locator("#grade")).to_contain_text("Rating")
    expect(doubted.locator("#log-film")).to_be_visible()


def width_of(page: Page) -> float:
    wide: float = page.locator("#picture").evaluate("at => at.getBoundingClientRect().width")
    return wide


def test_keys_go_on_after_the_last_doubted_mark_is_taken_away(doubted: Page) -> None:
    keys, say = doubted.keyboard, doubted.locator("#say")
    keys.press("d")
    for _ in range(3):
        keys.press("Enter")
    expect(say).to_contain_text("Confirmed")
    keys.press("Delete")
    expect(say).to_contain_text("Took off")
    expect(doubted.locator("#numbers-right")).to_be_focused()
    doubted.locator("#stage").focus()
    keys.press("d")
    expect(doubted.locator("#numbers-right")).to_be_focused()
    doubted.locator("#stage").focus()
    keys.press("u")
    expect(doubted.locator("#marks g.mark.doubted")).to_have_count(1)


def test_what_is_left_is_told_alike_everywhere_while_the_server_is_away(
    doubted: Page, visit: Visit
) -> None:
    visit.expected = "Failed to load resource"
    doubted.route("**/marks", lambda route: route.abort())
    doubted.keyboard.press("d")
    for left in ("3 doubted marks", "2 doubted marks"):
        doubted.keyboard.press("Enter")
        for place in ("#stage-of-marking", "#answer-why"):
            expect(doubted.locator(place)).to_contain_text(f"Left: {left} to look at one by one")
    expect(doubted.locator("#unsaved")).to_be_visible()
    doubted.unroute("**/marks")  # they are sent again by themselves
    expect(doubted.locator("#unsaved")).to_be_hidden()


def test_that_the_server_does_not_answer_is_not_said_of_one_that_does(
    page: Page, visit: Visit, grey: Path
) -> None:
    visit.expected = "Failed to load resource"
    lay(page, grey, {"14.mesial": {}})
    page.route("**/decision", lambda route: route.abort())
    page.locator("#decision button").click()
    expect(page.locator("#say")).to_contain_text("The server does not answer")
    page.unroute("**/decision")
    page.locator("#view").select_option("right-molar")
    expect(page.locator("#say")).not_to_contain_text("The server does not answer")


def test_nothing_is_told_of_marks_that_are_no_longer_the_newest(doubted: Page) -> None:
    held: list[Route] = []
    wait_until(doubted, lambda: states(doubted) == {"proposed"})
    doubted.route("**/marks", lambda route: held.append(route))  # noqa: PLW0108  keeps it waiting
    doubted.keyboard.press("d")
    for _ in range(5):  # four marks, and the numbers
        doubted.keyboard.press("Enter")
    wait_until(doubted, lambda: len(held) == 1)
    asked: list[str] = []
    doubted.on("request", lambda request: asked.append(request.url))
    held[0].continue_()
    wait_until(doubted, lambda: len(held) == 2)
    assert not [url for url in asked if "/assessment" in url or "/reading" in url]
    held[1].continue_()
    expect(doubted.locator("#grade")).to_contain_text("Rating")
    expect(doubted.locator("#say")).not_to_contain_text("proposed")


def states(page: Page) -> set[str]:
    return {mark.get("state", "") for mark in kept_document(page).get("marks", {}).values()}


def test_a_page_that_is_left_in_the_midst_of_two_saves_is_in_conflict_with_nobody(
    doubted: Page, visit: Visit
) -> None:
    visit.expected = "409"
    doubted.on("dialog", lambda dialog: dialog.accept())
    wait_until(doubted, lambda: states(doubted) == {"proposed"})
    taken: list[str] = []

    def take_and_never_answer(route: Route) -> None:
        taken.append(route.fetch().text())

    doubted.route("**/marks", take_and_never_answer, times=1)
    doubted.keyboard.press("d")
    doubted.keyboard.press("Enter")
    wait_until(doubted, lambda: bool(taken))
    doubted.keyboard.press("Enter")
    doubted.reload()
    expect(doubted.locator("#marks g.mark.confirmed")).to_have_count(2)
    wait_until(doubted, lambda: str(kept_document(doubted)).count("confirmed") == 2)
    expect(doubted.locator("#conflict")).to_be_hidden()


def test_what_is_said_and_the_film_that_is_chosen_are_in_view(page: Page, grey: Path) -> None:
    for name in ("one", "two"):
        given: FilePayload = {
            "name": f"{name}.png",
            "mimeType": "image/png",
            "buffer": grey.read_bytes(),
        }
        page.set_input_files("#files", given)
        expect(page.locator("#film-name")).to_have_text(name)
    page.locator("#view").select_option(VIEW)
    expect(page.locator("#next")).to_have_attribute("data-name", "13.distal")
    page.locator("#stage").focus()
    page.keyboard.press("Enter")
    say = page.locator("#say")
    expect(say).to_contain_text("Placed")
    expect(say).to_be_in_viewport(ratio=1.0)
    page.set_viewport_size(PHONE)  # type: ignore[arg-type]
    page.locator("#load-marks").scroll_into_view_if_needed()
    expect(say).to_be_in_viewport(ratio=1.0)
    film = page.locator("#places button", has_text=re.compile("one$"))
    film.scroll_into_view_if_needed()
    expect(page.locator("#stage")).not_to_be_in_viewport()
    film.click()
    expect(page.locator("#stage")).to_be_in_viewport(ratio=0.5)
