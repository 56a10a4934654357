"""Films on the light box: named, found, moved, compared, saved, taken off; a sample film."""

from collections.abc import Iterator
from pathlib import Path

import numpy as np
import pytest
from PIL import Image
from playwright.sync_api import Page, expect

from bitewright.files.images import write_image
from tests.browser.conftest import Visit, spilling, wait_until
from tests.browser.test_placing import grey

__all__ = ["grey"]
PHONE = {"width": 390, "height": 844}


@pytest.fixture
def page(visit: Visit) -> Iterator[Page]:
    opened = visit.go("/light-box")
    opened.on("dialog", lambda dialog: dialog.accept())
    yield opened
    opened.set_viewport_size({"width": 1280, "height": 800})
    if opened.locator("#places li").count() > 1:
        opened.locator("#filter").fill("")
        if opened.locator("#several").get_attribute("aria-pressed") == "false":
            opened.locator("#several").click()
        opened.locator("#choose-all").click()
        opened.locator("#chosen-remove").click()
    else:
        opened.locator("#remove-film").click()
    expect(opened.locator("#places li")).to_have_count(0)


def add(page: Page, film: Path, *names: str) -> None:
    for name in names:
        given = {"name": f"{name}.png", "mimeType": "image/png", "buffer": film.read_bytes()}
        page.set_input_files("#files", given)  # type: ignore[arg-type]
        expect(page.locator("#film-name")).to_have_text(name)


def listed(page: Page) -> list[str]:
    return [text.split("\n")[-1].strip() for text in page.locator("#places li").all_inner_texts()]


def test_films_are_ordered_by_name_found_folded_moved_and_taken_off(
    page: Page, visit: Visit, grey: Path
) -> None:
    add(page, grey, "film 10", "film 9", "other 1")
    assert listed(page) == ["film 9", "film 10", "other 1"]
    page.locator("#filter").fill("film")
    assert listed(page) == ["film 9", "film 10"]
    page.locator("#several").click()
    page.locator("#choose-all").click()
    expect(page.locator("#chosen-count")).to_have_text("2 chosen")
    page.locator("#chosen-visit").fill("spring")
    assert visit.findings() == []
    page.get_by_role("button", name="Move", exact=True).click()
    expect(page.locator("#places summary")).to_have_text(["spring (2)"])
    page.locator("#filter").fill("")
    expect(page.locator("#places summary")).to_have_count(2)
    page.locator("#places summary", has_text="spring").click()
    expect(page.locator("#places li:visible")).to_have_count(1)
    page.locator("#places button", has_text="other 1").click()
    expect(page.locator("#places li:visible")).to_have_count(1)  # stays folded
    page.locator("#places summary", has_text="spring").click()


def test_a_film_is_renamed_and_its_pixels_size_is_given_here(
    page: Page, visit: Visit, tmp_path: Path
) -> None:
    path = tmp_path / "bare.png"
    pixels = np.full((600, 800), 20000, dtype=np.uint16)
    write_image(path, pixels, pixel_mm=None, description="SIMULATED bare")
    add(page, path, "bare")
    expect(page.locator("#film-facts")).to_contain_text("pixel size not stated")
    page.locator("#about-film summary").click()
    form = page.locator("#film-form")
    form.locator("[name=label]").fill("left side, second try")
    form.locator("[name=visit]").fill("autumn")
    form.locator("[name=pixel_mm]").fill("0.04")
    form.get_by_role("button", name="Keep").click()
    expect(page.locator("#film-name")).to_have_text("left side, second try")
    expect(page.locator("#film-facts")).to_contain_text("0.04 mm a pixel, as given here")
    assert visit.findings() == []
    wait_until(page, lambda: page.evaluate(GIVEN) == 0.04)
    page.reload()
    expect(page.locator("#film-name")).to_have_text("left side, second try")
    expect(page.locator("#places summary")).to_have_text(["autumn (1)"])


GIVEN = "fetch('/light-box/films').then(r => r.json()).then(all => all.at(-1).marks.pixel_mm)"


def test_a_refusal_names_the_film_says_no_path_and_can_be_closed(
    page: Page, visit: Visit, grey: Path
) -> None:
    visit.expected = "400"
    add(page, grey, "good")
    bad = {"name": "notes.png", "mimeType": "image/png", "buffer": b"no picture at all"}
    page.set_input_files("#files", bad)  # type: ignore[arg-type]
    told = page.locator("#uploads .wrong")
    expect(told).to_contain_text("notes")
    assert "/" not in told.inner_text().replace("PNG/", "")
    assert "temporary" not in told.inner_text()
    told.get_by_role("button").click()
    expect(told).to_have_count(0)


def test_two_films_lie_side_by_side_and_are_zoomed_together(
    page: Page, visit: Visit, grey: Path
) -> None:
    add(page, grey, "one", "two")
    page.locator("#beside").select_option(label="one, visit 1")
    expect(page.locator("#beside-stage")).to_be_visible()
    before = sizes(page)
    assert before[0] == pytest.approx(before[1], rel=0.02)
    page.locator("#zoom-in").click()
    page.locator("#zoom-in").click()
    after = sizes(page)
    assert after[0] > 1.4 * before[0]
    assert after[1] == pytest.approx(after[0], rel=0.02)
    assert visit.findings() == []
    assert spilling(page) == []
    page.locator("#beside").select_option("")
    expect(page.locator("#beside-stage")).to_be_hidden()


def sizes(page: Page) -> list[float]:
    boxes = [page.locator(name).bounding_box() for name in ("#picture", "#beside-picture")]
    return [box["width"] for box in boxes if box is not None]


def test_the_zoom_stays_when_another_film_is_chosen(page: Page, grey: Path) -> None:
    add(page, grey, "one", "two")
    for _ in range(4):
        page.locator("#zoom-in").click()
    before = page.locator("#picture").bounding_box()
    page.locator("#places button", has_text="one").click()
    expect(page.locator("#film-name")).to_have_text("one")
    assert page.locator("#picture").bounding_box() == before
    page.locator("#fit").click()


def test_a_sample_film_with_marks_is_explained_and_saved_as_a_picture(
    page: Page, visit: Visit, tmp_path: Path
) -> None:
    expect(page.locator("#save-film")).to_be_hidden()
    page.locator("#sample-marked").click()
    expect(page.locator("#film-name")).to_have_text("sample film (simulated)")
    expect(page.locator("#explanation .lead")).to_contain_text("towards the back")
    expect(page.locator("#over")).to_be_visible()
    plain, marked = (saved(page, button, tmp_path) for button in ("#save-film", "#save-marked"))
    assert plain.shape[:2] == marked.shape[:2] == (517, 683)
    assert not colourful(plain)
    assert colourful(marked)
    page.locator("#blend").fill("100")
    over = saved(page, "#save-marked", tmp_path)
    assert np.abs(over.astype(int) - marked.astype(int)).mean() > 5
    for dress in ("dark", "light"):
        assert page.locator("html").get_attribute("data-dress") is not None, dress
        page.set_viewport_size(PHONE)  # type: ignore[arg-type]
        assert visit.findings() == []
        assert page.evaluate("document.documentElement.scrollWidth <= innerWidth")
        page.locator("#dress").click()


def saved(page: Page, button: str, folder: Path) -> np.ndarray:
    with page.expect_download() as waiting:
        page.locator(button).click()
    path = folder / "saved.png"
    waiting.value.save_as(path)
    with Image.open(path) as opened:
        return np.asarray(opened.convert("RGB"))


def colourful(pixels: np.ndarray) -> bool:
    return bool((np.ptp(pixels.astype(int), axis=2) > 60).any())
