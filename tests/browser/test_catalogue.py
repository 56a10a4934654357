"""The catalogue's forms as a teacher fills them in: named as people speak, wrong at the field."""

import pytest
from playwright.sync_api import Page, expect

from tests.browser.conftest import Visit, spilling


def form_of(page: Page) -> None:
    page.locator("#receptors .form summary").click()
    page.locator("#receptors [data-copy]").first.click()


@pytest.mark.parametrize("dress", ["dark", "light"])
def test_what_is_wrong_stands_at_its_field_with_the_focus(visit: Visit, dress: str) -> None:
    visit.page.emulate_media(color_scheme=dress)  # type: ignore[arg-type]  dark or light
    visit.expected = "status of 40"  # what the server refuses, the browser logs
    page = visit.go("/catalogue")
    form_of(page)
    page.get_by_label("Name to type").first.fill("our-sensor")
    page.get_by_label("Pixel size").fill("7")
    keep = page.locator("form[data-section=receptors] button.first")
    keep.click()
    pixel = page.get_by_label("Pixel size")
    expect(pixel).to_be_focused()
    expect(pixel).to_have_attribute("aria-invalid", "true")
    expect(page.locator("#receptors-pixel_mm-wrong")).to_contain_text("0.2")
    assert visit.findings() == []
    pixel.fill("0.02")
    expect(pixel).not_to_have_attribute("aria-invalid", "true")
    page.get_by_label("Depth of the recording plane").fill("9")
    keep.click()
    depth = page.get_by_label("Depth of the recording plane")
    expect(depth).to_be_focused()
    wrong = page.locator("#receptors-active_depth_mm-wrong")
    expect(wrong).to_contain_text("depth of the recording plane is 9")
    expect(wrong).not_to_contain_text("_mm")
    depth.fill("0.5")
    page.locator("#receptors-name").fill("My Sensor 2")
    keep.click()
    expect(page.locator("#receptors-name")).to_be_focused()
    expect(page.locator("#receptors-name-wrong")).to_contain_text("small letters")
    assert visit.findings() == []
    page.locator("#receptors-name").fill("film-0")
    keep.click()
    expect(page.locator("#receptors-name-wrong")).to_contain_text("stays as it is")


def test_a_form_says_what_long_short_offset_and_depth_are(visit: Visit) -> None:
    page = visit.go("/catalogue")
    form_of(page)
    drawing = page.get_by_role("img", name="A receptor from the tube and from its edge")
    expect(drawing).to_be_visible()
    told = drawing.locator("text").all_text_contents()
    for word in ("long side", "short", "offset", "depth", "thickness"):
        assert any(word in text for text in told), word
    labels = page.locator("form.entry label").all_inner_texts()
    assert labels
    assert not [label for label in labels if "_" in label]


def test_what_films_are_rated_for_and_by_is_told_beside_its_tables(visit: Visit) -> None:
    page = visit.go("/catalogue")
    page.locator("#question").select_option("bone-level")
    page.locator("#scheme").select_option("uk-2001")
    expect(page.locator("#criteria .note:visible")).to_contain_text("Rated for bone level")
    expect(page.locator("#schemes .note:visible")).to_contain_text("Rated by UK 2001")
    expect(page.locator('#schemes tr[aria-current="true"]')).to_contain_text("uk-2001")
    page = visit.go("/bench")
    expect(page.locator("#scheme")).to_have_value("uk-2001")


def test_a_receptor_of_ones_own_is_kept_and_removed(visit: Visit) -> None:
    page = visit.go("/catalogue")
    form_of(page)
    page.locator("#receptors-name").fill("trial-sensor")
    page.locator("form[data-section=receptors] button.first").click()
    row = page.locator("#receptors tr", has_text="trial-sensor")
    expect(row).to_be_visible()
    page.once("dialog", lambda asked: asked.accept())
    row.get_by_role("button", name="Remove").click()
    expect(row).to_have_count(0)


@pytest.mark.parametrize("width", [390, 640, 1024, 1280])
def test_it_reflows_and_everything_that_can_be_done_is_in_sight(visit: Visit, width: int) -> None:
    visit.page.set_viewport_size({"width": width, "height": 844})
    page = visit.go("/catalogue")
    assert page.evaluate("document.documentElement.scrollWidth") <= width
    for button in page.locator("[data-copy]").all():
        box = button.bounding_box()
        assert box is not None
        assert box["x"] >= 0
        assert box["x"] + box["width"] <= width
    assert spilling(page) == []
    form_of(page)
    assert page.evaluate("document.documentElement.scrollWidth") <= width
