"""Two films dropped with their marks: the answer, both moved as one, the card, by keyboard."""

from base64 import b64encode
from collections.abc import Iterator
from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest
from playwright.sync_api import Page, expect

from bitewright.exposing.aim import Aim
from bitewright.exposing.exposure import expose
from bitewright.exposing.placement import Placement
from bitewright.exposing.project import project
from bitewright.exposing.targets import targets
from bitewright.files.images import write_image
from bitewright.files.marks_file import write_marks
from bitewright.marking.simulated_marker import true_marks
from bitewright.quality.views import view
from tests.browser.conftest import LAPTOP, Visit, spilling
from tests.scenes import station_of

VIEW, PIXEL_MM = "right-molar", 0.05
TABLET, PHONE = {"width": 1024, "height": 768}, {"width": 390, "height": 844}


@pytest.fixture(scope="module")
def films(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """An earlier film; a later one, its tube 12 degrees higher, its receptor further forward."""
    folder = tmp_path_factory.mktemp("recall")
    at = station_of(VIEW, "sensor-2")
    taken = {
        "earlier": (Placement(lingual_mm=6.0), 2.0, "2025-11-02"),
        "later": (Placement(lingual_mm=6.0, forward_mm=3.0), 14.0, "2026-11-29"),
    }
    for name, (placement, vertical, day) in taken.items():
        exposure = expose(at, placement, Aim(vertical_deg=vertical))
        landmarks, _ = project(exposure, targets(at.outlines, at.region))
        marks = true_marks(
            landmarks, view(VIEW), pixel_mm=PIXEL_MM, image_name=f"{name}.png", receptor="sensor-2"
        )
        write_marks(
            folder / f"{name}.marks.json",
            replace(marks, patient="P-1", taken_on=day, mark_sd_mm=0.05),
        )
        across = np.linspace(9000, 30000, marks.columns, dtype=np.uint16)
        pixels = np.broadcast_to(across, (marks.rows, marks.columns)).copy()
        pixels[0, 0] = vertical  # no two films are one image
        write_image(folder / f"{name}.png", pixels, pixel_mm=PIXEL_MM, description="SIMULATED")
    return folder


DROP = """([names, bodies]) => {
  const given = new DataTransfer();
  names.forEach((name, k) => {
    const bytes = Uint8Array.from(atob(bodies[k]), (c) => c.charCodeAt(0));
    given.items.add(new File([bytes], name));
  });
  window.dispatchEvent(new DragEvent("drop", { dataTransfer: given, cancelable: true }));
}"""


def drop(page: Page, files: list[Path]) -> None:
    """Let files fall on the page as a hand does."""
    bodies = [b64encode(each.read_bytes()).decode() for each in files]
    page.evaluate(DROP, [[each.name for each in files], bodies])


@pytest.fixture
def page(visit: Visit) -> Page:
    page = visit.go("/light-box")
    page.get_by_role("link", name="An earlier and a later film").click()
    expect(page.get_by_role("button", name="Compare")).to_be_visible()
    page.wait_for_load_state()
    return page


@pytest.fixture
def compared(page: Page, films: Path, visit: Visit) -> Iterator[Page]:
    """Both films dropped, the later one first; they are taken off the light box afterwards."""
    names = ("later.png", "earlier.png", "later.marks.json", "earlier.marks.json")
    drop(page, [films / name for name in names])
    expect(page.get_by_role("heading", name="An earlier and a later film")).to_be_visible()
    expect(page.locator("#sites")).to_be_visible()
    yield page
    for film in page.request.get(f"{visit.origin}/light-box/films").json():
        gone = page.request.delete(
            f"{visit.origin}/light-box/films/{film['id']}", headers={"origin": visit.origin}
        )
        assert gone.status == 204


def places(page: Page) -> list[list[float]]:
    """Where one site's bar is on the screen, on both films: left and top within its stage."""
    made: list[list[float]] = page.evaluate("""() => ["stage", "beside-stage"].map((id) => {
      const stage = document.getElementById(id), bar = stage.querySelector(".site .crest");
      const at = bar.getBoundingClientRect(), of = stage.getBoundingClientRect();
      return [at.left + at.width / 2 - of.left, at.top + at.height / 2 - of.top];
    })""")
    return made


def test_two_films_dropped_are_told_apart_and_moved_as_one(compared: Page, visit: Visit) -> None:
    page = compared
    said = page.locator("section").filter(has=page.locator("#answer-title"))
    expect(said).to_contain_text("omparable")
    expect(said).to_contain_text("tube, up or down, later against earlier")
    expect(said).to_contain_text("whether disease has changed is judged by a practitioner")
    expect(page.locator("#stage .named")).to_have_text("The earlier right molar, 2025-11-02")
    expect(page.locator("#beside-name")).to_have_text("The later right molar, 2026-11-29")
    expect(page.locator("#beside-marks .site").first).to_be_attached()
    first, second = places(page)
    assert first == pytest.approx(second, abs=40)  # the same tooth at the same place on both
    for name in ("ArrowRight", "ArrowDown", "+"):
        page.locator("#stage").focus()
        page.keyboard.press(name)
    moved = places(page)
    assert moved[0] != pytest.approx(first, abs=1)
    apart = [moved[1][k] - moved[0][k] for k in (0, 1)]
    before = [second[k] - first[k] for k in (0, 1)]
    assert apart == pytest.approx([1.25 * each for each in before], abs=2)
    button = page.locator("#sites [data-site]").first
    button.focus()
    page.keyboard.press("Enter")
    expect(page.locator("#marks .site.here")).to_have_count(1)
    stage = page.locator("#stage").bounding_box()
    assert stage is not None
    here = page.locator("#marks .site.here .crest").bounding_box()
    assert here is not None
    assert stage["x"] < here["x"] < stage["x"] + stage["width"]
    page.keyboard.press("s")
    expect(page.locator("#marks .site").first).to_be_hidden()
    with page.expect_popup() as popup:
        page.get_by_role("link", name="Card that repeats the earlier geometry").click()
    assert "card.pdf" in popup.value.url
    popup.value.close()
    for size in (LAPTOP, TABLET, PHONE):
        page.set_viewport_size(size)  # type: ignore[arg-type]
        assert page.evaluate("document.documentElement.scrollWidth <= innerWidth")
        assert spilling(page) == []
        assert visit.findings() == []
    for dress in ("light", "forced"):
        if dress == "light":
            page.locator("#dress").click()
        else:
            page.emulate_media(forced_colors="active")
        assert visit.findings() == []
    assert visit.codes() == []


def test_marks_without_their_image_are_refused_in_a_sentence(page: Page, films: Path) -> None:
    drop(page, [films / "earlier.marks.json", films / "later.png", films / "later.marks.json"])
    expect(page.locator("#wrong")).to_have_text(
        "earlier.png, the image of earlier.marks.json, is not among these files: give it too."
    )
    drop(page, [films / "earlier.png"])
    expect(page.locator("#wrong")).to_contain_text("No marks file is among these")
