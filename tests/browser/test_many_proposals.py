"""Marks proposed on many films in a browser: what became of each, doubtful ones first."""

import re
from importlib.resources import files
from io import BytesIO

from PIL import Image
from playwright.sync_api import FilePayload, Page, ViewportSize, expect

from tests.browser.conftest import Visit, spilling, wait_until

SIZES: tuple[ViewportSize, ...] = (
    {"width": 390, "height": 844},
    {"width": 800, "height": 900},
    {"width": 1280, "height": 800},
)
IS_PAINTED = """() => [...document.querySelectorAll("#many-films canvas")].every((at) => {
  const { width, height } = at;
  const blank = Object.assign(document.createElement("canvas"), { width, height });
  return at.toDataURL() !== blank.toDataURL();
})"""
SAMPLE = files("bitewright.web") / "static/light_box/sample.png"


def picture(name: str, content: bytes) -> FilePayload:
    return {"name": f"{name}.png", "mimeType": "image/png", "buffer": content}


def blank() -> bytes:
    content = BytesIO()
    Image.new("L", (683, 517), 90).save(content, "PNG", dpi=(423.3, 423.3))
    return content.getvalue()


def take_all_off(page: Page) -> None:
    page.locator("#several").click()
    page.locator("#choose-all").click()
    page.once("dialog", lambda dialog: dialog.accept())
    page.locator("#chosen-remove").click()
    expect(page.locator("#places li")).to_have_count(0)


def test_many_films_are_proposed_and_each_is_opened_from_the_table(visit: Visit) -> None:
    page = visit.go("/light-box")
    given = [picture("teeth", SAMPLE.read_bytes()), picture("nothing", blank())]
    page.locator("#files").set_input_files(given)
    expect(page.locator("#places li")).to_have_count(2)
    page.locator("#propose-many").press("Enter")
    said, rows = page.locator("#many-said"), page.locator("#many-films tbody tr")
    expect(said).to_contain_text("Marks are proposed on 1 of 2 films")
    expect(page.locator("#many-going")).to_be_hidden()
    expect(rows.first).to_contain_text("nothing")
    expect(rows.first).to_contain_text("the picture is empty")
    expect(rows.last).to_contain_text("Right premolar")
    for size in SIZES:
        page.set_viewport_size(size)
        assert visit.findings() + spilling(page) == []
    rows.last.locator("button").press("Enter")
    expect(page.locator("#film-name")).to_have_text("teeth")
    expect(page.locator("#stage")).to_be_focused()
    is_seen_whole(page, "#stage")
    page.keyboard.press("d")
    expect(page.locator("#looking-at")).not_to_be_empty()
    waits = page.locator("#places li", has_text="teeth")
    expect(waits).to_contain_text(re.compile(r"\d+ to look at, \d+ doubted"))
    before = page.locator("#many-films").inner_text()
    page.reload()
    expect(said).to_contain_text("Marks are proposed on 1 of 2 films. 1 film waits for you")
    expect(page.locator("#many-films")).to_have_text(before, use_inner_text=True)
    wait_until(page, lambda: bool(page.evaluate(IS_PAINTED)))
    page.locator("#many-close").press("Enter")
    expect(page.locator("#propose-many")).to_be_focused()
    page.locator("#propose-many").press("Enter")
    expect(said).to_contain_text("Marks are proposed on 0 of 1 film.")
    page.locator("#many-close").press("Enter")
    page.reload()
    expect(page.locator("#places li")).to_have_count(2)
    expect(page.locator("#proposed-films")).to_be_hidden()
    take_all_off(page)


def is_seen_whole(page: Page, part: str) -> None:
    """It lies within the window, as far as it fits in."""
    place = page.locator(part).bounding_box()
    size = page.viewport_size
    assert place is not None
    assert size is not None
    assert place["y"] >= -1.0
    assert place["y"] + place["height"] <= size["height"] + 1.0
