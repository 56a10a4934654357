"""Marks live in the page until the server has them: over its death, a reload, another film."""

import json
import random
import re
from collections.abc import Callable, Iterator
from pathlib import Path
from time import monotonic
from typing import Any

import pytest
from playwright.sync_api import Browser, Page, Route, expect

from tests.browser.conftest import LAPTOP, Server, Visit, wait_until
from tests.browser.test_placing import COLUMNS, ROWS, VIEW, at, grey

__all__ = ["grey"]
Record = Callable[[str, object], None]
AWAY = "Failed to load resource"
"""What a browser itself says of a server that is not there."""


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    return tmp_path / "served"


@pytest.fixture
def alone(browser: Browser, folder: Path) -> Iterator[tuple[Visit, Server]]:
    """A window on a server of its own, which may be killed."""
    running = Server(folder)
    context = browser.new_context(viewport=LAPTOP)  # type: ignore[arg-type]
    made = Visit(context, running.origin)
    made.page.goto(running.start)
    made.go("/light-box")
    yield made, running
    context.close()
    running.end()
    assert [line for line in made.complaints if AWAY not in line] == []


def add_film(page: Page, film: Path, name: str) -> None:
    """Add a film by a name, with its view chosen."""
    page.set_input_files(
        "#files", {"name": f"{name}.png", "mimeType": "image/png", "buffer": film.read_bytes()}
    )
    expect(page.locator("#film-name")).to_have_text(name)
    expect(page.locator("#next")).to_contain_text("Choose the view")
    page.locator("#view").select_option(VIEW)
    expect(page.locator("#next")).to_have_attribute("data-name", "13.distal")


def choose(page: Page, name: str) -> None:
    page.locator("#places button", has_text=name).first.click()
    expect(page.locator("#film-name")).to_have_text(name)


def put(page: Page, column: float, row: float) -> None:
    """Place the wanted mark by a click."""
    wanted = page.locator("#next").get_attribute("data-name") or ""
    page.mouse.click(*at(page, column, row))
    expect(page.locator("#next")).not_to_have_attribute("data-name", wanted)


def kept(page: Page) -> dict[str, Any]:
    """Marks that the server has, by the film's name."""
    films = json.loads(page.evaluate("fetch('/light-box/films').then(r => r.text())"))
    return {film["label"]: film["marks"].get("marks", {}) for film in films}


def restarted(page: Page, folder: Path, port: int) -> Server:
    """The server once more; its new link opened in another tab of the same browser."""
    again = Server(folder, port)
    other = page.context.new_page()
    other.goto(again.start)
    other.close()
    return again


def test_marks_set_while_the_server_is_away_are_kept_and_sent(
    alone: tuple[Visit, Server], folder: Path, grey: Path
) -> None:
    visit, server = alone
    page = visit.page
    for name in ("first", "second"):
        add_film(page, grey, name)
    put(page, 600, 200)
    wait_until(page, lambda: len(kept(page)["second"]) == 1)
    server.kill()
    for column in (590, 480, 470):
        put(page, column, 210)
    expect(page.locator("#unsaved")).to_contain_text("Not saved yet")
    expect(page.locator("#unsaved")).to_contain_text("The marks of one film are kept in this page")
    assert visit.findings() == []
    choose(page, "first")
    put(page, 610, 190)
    expect(page.locator("#unsaved")).to_contain_text("The marks of 2 films")
    choose(page, "second")
    expect(page.locator("#count")).to_contain_text("4 placed")
    again = restarted(page, folder, server.port)
    # The page sends by itself as well, and may have done so: the button is then no longer shown.
    page.locator("#send-again").dispatch_event("click")
    expect(page.locator("#unsaved")).to_be_hidden()
    assert {name: len(marks) for name, marks in kept(page).items()} == {"first": 1, "second": 4}
    again.end()


def test_unsent_marks_come_through_a_reload(alone: tuple[Visit, Server], grey: Path) -> None:
    visit, _ = alone
    page = visit.page
    add_film(page, grey, "film")
    put(page, 600, 200)
    page.locator("#visit").fill("visit 7")
    page.locator("#visit").blur()
    wait_until(page, lambda: len(kept(page)["film"]) == 1)
    page.route("**/marks", lambda route: route.abort())
    put(page, 590, 210)
    expect(page.locator("#unsaved")).to_be_visible()
    page.on("dialog", lambda dialog: dialog.accept())
    page.reload()
    expect(page.locator("#count")).to_contain_text("2 placed")
    expect(page.locator("#visit")).to_have_value("visit 7")
    page.unroute("**/marks")
    wait_until(page, lambda: len(kept(page)["film"]) == 2)
    expect(page.locator("#unsaved")).to_be_hidden()
    assert page.evaluate("Object.keys(sessionStorage).filter(k => k.includes('drafts'))") == []


@pytest.mark.parametrize(("choice", "left"), [("here", 600), ("there", 300), ("both", 600)])
def test_two_pages_in_conflict_show_both_and_the_person_chooses(
    alone: tuple[Visit, Server], grey: Path, choice: str, left: float
) -> None:
    visit, _ = alone
    visit.expected = "409"
    page = visit.page
    add_film(page, grey, "film")
    other = page.context.new_page()
    other.goto(page.url)
    expect(other.locator("#next")).to_have_attribute("data-name", "13.distal")
    put(other, 300, 200)
    put(other, 310, 200)
    wait_until(page, lambda: len(kept(page)["film"]) == 2)
    put(page, 600, 200)
    expect(page.locator("#conflict tbody tr")).to_have_count(2)
    expect(page.locator("#conflict")).to_contain_text("13 distal")
    expect(page.locator("#marks .ghost")).to_have_count(2)
    assert visit.findings() == []
    page.locator(f"#conflict button[value={choice}]").click()
    expect(page.locator("#conflict")).to_be_hidden()
    wait_until(page, lambda: abs(kept(page)["film"]["13.distal"]["x_px"] - left) < 2)
    assert len(kept(page)["film"]) == (1 if choice == "here" else 2)
    other.close()


@pytest.mark.slow
def test_a_server_killed_among_a_hundred_marks_and_twenty_changes_of_film_loses_none(
    alone: tuple[Visit, Server], folder: Path, grey: Path
) -> None:
    visit, server = alone
    page = visit.page
    names = [f"film {number}" for number in range(1, 5)]
    for name in names:
        add_film(page, grey, name)
    chance = random.Random(5)  # noqa: S311  places, no secrets
    killed_at = sorted(chance.sample(range(1, 20), 3))
    put_down = dict.fromkeys(names, 0)
    marks = 0
    for turn in range(20):
        name = names[turn % len(names)]
        choose(page, name)
        for number in range(5):
            if number == 2 and turn in killed_at:
                server.kill()
            put(page, chance.uniform(60, COLUMNS - 60), chance.uniform(60, ROWS - 60))
            put_down[name] += 1
            marks += 1
        if turn in killed_at:
            server = Server(folder, server.port)
    assert marks == 100
    wait_until(page, lambda: page.locator("#unsaved").is_hidden())
    wait_until(page, lambda: {name: len(of) for name, of in kept(page).items()} == put_down)
    server.end()


@pytest.mark.slow
def test_three_people_who_mark_at_once_lose_nothing(
    browser: Browser, alone: tuple[Visit, Server], grey: Path, record_property: Record
) -> None:
    first, server = alone
    pages = [first.page]
    for _ in range(2):
        first.go("/entering").get_by_role("button", name="another browser").click()
        link = first.page.locator("#address").input_value()
        other = Visit(browser.new_context(viewport=LAPTOP), server.origin)  # type: ignore[arg-type]
        other.page.goto(link)
        other.go("/light-box")
        pages.append(other.page)
    first.go("/light-box")
    for number, page in enumerate(pages):
        add_film(page, grey, f"person {number}")
    took = []
    for turn in range(30):
        for page in pages:
            began = monotonic()
            put(page, 60 + 20 * turn, 60 + 15 * turn)
            took.append(monotonic() - began)
    for page in pages:
        expect(page.locator("#count")).to_contain_text("30 placed")
    wait_until(first.page, lambda: [len(of) for of in kept(first.page).values()] == [30, 30, 30])
    record_property("longest from click to the next wanted mark [s]", round(max(took), 2))
    record_property("median [s]", round(sorted(took)[len(took) // 2], 3))
    for page in pages[1:]:
        page.context.close()


def test_marks_stay_while_the_server_is_asked_what_it_has(
    alone: tuple[Visit, Server], grey: Path
) -> None:
    """A film that came back to the stage meanwhile had been laid there without its last marks."""
    page, held = alone[0].page, list[Route]()
    for name in ("film 1", "film 2"):
        add_film(page, grey, name)
    choose(page, "film 1")
    put(page, 200.0, 300.0)
    wait_until(page, lambda: len(kept(page)["film 1"]) == 1)

    def lose_the_answer(route: Route) -> None:
        route.fetch()
        route.abort()

    def hold(route: Route) -> None:
        held.append(route)

    film = re.compile(r"/light-box/films/1$")
    page.route("**/films/1/marks", lose_the_answer, times=1)
    page.route(film, hold, times=1)
    put(page, 220.0, 320.0)
    expect(page.locator("#unsaved")).to_be_visible()
    put(page, 240.0, 340.0)
    wait_until(page, lambda: bool(held))
    choose(page, "film 2")
    choose(page, "film 1")
    put(page, 260.0, 360.0)
    choose(page, "film 2")
    held[0].continue_()
    wait_until(page, lambda: len(kept(page)["film 1"]) == 4)
    choose(page, "film 1")
    expect(page.locator("#conflict")).to_be_hidden()
