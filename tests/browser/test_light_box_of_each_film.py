"""What the light box shows of one film stays with it: over going back, in its form, by its name."""

import json
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest
from playwright.sync_api import Page, expect

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
    opened.set_viewport_size(DESK)  # type: ignore[arg-type]
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
