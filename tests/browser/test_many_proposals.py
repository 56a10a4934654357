"""Marks proposed on many films in a browser: what became of each, doubtful ones first."""

from importlib.resources import files
from io import BytesIO

from PIL import Image
from playwright.sync_api import FilePayload, Page, ViewportSize, expect

from tests.browser.conftest import Visit, spilling

SIZES: tuple[ViewportSize, ...] = (
    {"width": 390, "height": 844},
    {"width": 800, "height": 900},
    {"width": 1280, "height": 800},
)
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
    page.keyboard.press("d")
    expect(page.locator("#looking-at")).not_to_be_empty()
    page.locator("#many-close").press("Enter")
    expect(page.locator("#propose-many")).to_be_focused()
    page.locator("#propose-many").press("Enter")
    expect(said).to_contain_text("Marks are proposed on 0 of 1 film.")
    take_all_off(page)
