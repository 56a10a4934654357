"""A set in a file of its own: nothing filled in is lost, and what is missing is said."""

import json
from collections.abc import Iterator
from pathlib import Path

import pytest
from playwright.sync_api import Browser, Page, expect

from bitewright.report.exercise_pages import exercises_html
from bitewright.words.exercises import SURE_TITLES

ITEMS = [
    {"id": "a1", "kind": "name", "question": "What went wrong?", "choices": ["this", "that"]},
    {
        "id": "b2",
        "kind": "order",
        "question": "In which order?",
        "choices": ["one", "two", "three"],
    },
    {"id": "c3", "kind": "correct", "question": "Which way?", "choices": []},
]


@pytest.fixture
def page(browser: Browser, tmp_path: Path) -> Iterator[Page]:
    items = [{**each, "film": ""} for each in ITEMS]
    document = {"set": "0123456789abcdef", "title": "A set", "items": items}
    made = exercises_html(
        title="A set", document=json.dumps(document), notes=(), caution="Care.", sure=SURE_TITLES
    )
    place = tmp_path / "exercises.html"
    place.write_text(made, encoding="utf-8")
    context = browser.new_context(accept_downloads=True)
    opened = context.new_page()
    opened.goto(place.as_uri())
    yield opened
    context.close()


def saved(page: Page) -> dict[str, object]:
    with page.expect_download() as coming:
        page.get_by_role("button", name="Save my answers").click()
    told: dict[str, object] = json.loads(Path(coming.value.path()).read_text(encoding="utf-8"))
    return told


def test_what_was_filled_in_is_there_again_after_loading_anew(page: Page) -> None:
    expect(page.locator("#left")).to_contain_text("Not answered yet: 1, 2, 3.")
    page.get_by_label("that").check()
    page.get_by_label("certain").first.check()
    page.locator("[name=c3-swing]").fill("-8")
    page.get_by_label("Your code").fill("S12")
    page.reload()
    page.get_by_role("button", name="Go on with them").click()
    expect(page.locator("#say")).to_have_text("Filled in as you left it in this browser.")
    expect(page.locator("#left")).to_contain_text("Not answered yet: 2.")
    told = saved(page)
    assert told["student"] == "S12"
    assert told["answers"] == [
        {"id": "a1", "chosen": 1, "sure": 1},
        {"id": "c3", "swing_deg": -8, "forward_mm": 0},
    ]


def test_on_a_shared_computer_nothing_of_the_one_before_is_shown(page: Page) -> None:
    page.get_by_label("that").check()
    page.get_by_label("Your code").fill("S12")
    page.reload()
    expect(page.locator("#whose-words")).to_have_text(
        "Answers under the code S12 were filled in here before."
    )
    expect(page.locator("#mine")).to_be_hidden()
    page.keyboard.press("Tab")
    page.keyboard.press("Tab")
    expect(page.get_by_role("button", name="Not you? Begin anew")).to_be_focused()
    page.keyboard.press("Enter")
    expect(page.locator("#mine")).to_be_visible()
    expect(page.locator("#whose")).to_be_hidden()
    expect(page.get_by_label("Your code")).to_have_value("")
    expect(page.locator("#left")).to_contain_text("Not answered yet: 1, 2, 3.")
    page.reload()
    expect(page.locator("#mine")).to_be_visible()
    assert saved(page)["answers"] == []


def test_an_order_with_one_place_twice_is_told_as_open(page: Page) -> None:
    for name, place in (("b2-0", "1"), ("b2-1", "1"), ("b2-2", "2")):
        page.locator(f"[name={name}]").select_option(place)
    expect(page.locator("#left")).to_contain_text("1, 2, 3.")
    page.locator("[name=b2-1]").select_option("0")
    expect(page.locator("#left")).to_contain_text("Not answered yet: 1, 3.")
    assert saved(page)["answers"] == [{"id": "b2", "order": [1, 0, 2]}]
    expect(page.locator("#say")).to_contain_text("No code is in it")


def test_a_name_in_place_of_a_code_is_not_saved(page: Page) -> None:
    page.get_by_label("Your code").fill("Some Body")
    page.get_by_role("button", name="Save my answers").click()
    expect(page.locator("#say")).to_contain_text("Not saved: a code holds letters")
