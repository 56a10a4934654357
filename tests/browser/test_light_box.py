"""The light box in a browser: a film in, marks by keyboard alone and by mouse, the explanation."""

import json
import re
from collections.abc import Iterator
from datetime import date
from pathlib import Path

import numpy as np
import pytest
from playwright.sync_api import Page, expect

from bitewright.exposing.aim import Aim
from bitewright.exposing.exposure import expose
from bitewright.exposing.placement import Placement
from bitewright.files.images import write_image
from bitewright.files.marks_file import write_marks
from bitewright.film.predicted_film import predicted_film
from bitewright.marking.simulated_marker import marked_by_simulation
from bitewright.quality.predicted import asked, predict
from bitewright.quality.views import view
from bitewright.words.verdicts import STATE_SIGNS
from tests.browser.conftest import PAPER, Visit, spilling, wait_until
from tests.scenes import film_mouth_in, station_of

VIEW = "right-premolar"


@pytest.fixture(scope="module")
def rendered(tmp_path_factory: pytest.TempPathFactory) -> tuple[Path, Path]:
    """A film taken with the tube 9 degrees too far forward, and its marks."""
    return rendered_film(tmp_path_factory.mktemp("rendered"), ring_offset_deg=11.0)


@pytest.fixture(scope="module")
def another(tmp_path_factory: pytest.TempPathFactory) -> tuple[Path, Path]:
    """Another film of that mouth, 3 degrees too far forward, and its marks."""
    return rendered_film(tmp_path_factory.mktemp("another"), ring_offset_deg=5.0)


def rendered_film(folder: Path, *, ring_offset_deg: float) -> tuple[Path, Path]:
    """A film and its marks; square onto the contacts at 2 degrees."""
    at = station_of(VIEW, "plate-2")
    aim = Aim(ring_offset_deg=ring_offset_deg, vertical_deg=5.0)
    exposure = expose(at, Placement(lingual_mm=3.0), aim)
    film = predicted_film(exposure, film_mouth_in(at), pixel_mm=0.06)
    image, marks = folder / "film.png", folder / "film.marks.json"
    write_image(image, film.pixels, pixel_mm=film.pixel_mm, description="SIMULATED for a test")
    marked = marked_by_simulation(
        predict(exposure, asked(view(VIEW), at)).landmarks,
        view(VIEW),
        pixel_mm=film.pixel_mm,
        image_name=image.name,
        receptor="plate-2",
        sd_mm=0.1,
        generator=np.random.default_rng(2),
    )
    write_marks(marks, marked)
    return image, marks


@pytest.fixture
def box(visit: Visit, rendered: tuple[Path, Path]) -> Iterator[Page]:
    page = visit.go("/light-box")
    page.set_input_files("#files", rendered[0])
    expect(page.locator("#film-name")).to_have_text("film")
    yield page
    page.on("dialog", lambda dialog: dialog.accept())
    page.emulate_media(media="screen")
    page.locator("#remove-film").click()
    expect(page.locator("#places li")).to_have_count(0)  # else the next test meets it


@pytest.mark.parametrize("held", ["hello", "null", '{"format": "bitewright.marks/1"}', ""])
def test_a_file_that_holds_no_marks_is_refused_in_words(
    visit: Visit, tmp_path: Path, held: str
) -> None:
    file = tmp_path / "marks.json"
    file.write_text(held, "utf-8")
    page = visit.go("/light-box")
    page.locator("#sample").click()
    expect(page.locator("#film-name")).to_have_text("sample film (simulated)")
    page.set_input_files("#load-marks", file)
    expect(page.locator("#say")).to_have_text(
        "That file holds no marks: give one that `bitewright assess` takes."
    )
    page.on("dialog", lambda dialog: dialog.accept())
    page.locator("#remove-film").click()
    expect(page.locator("#film-name")).not_to_have_text("sample film (simulated)")


@pytest.mark.parametrize("quarter_turns", [0, 1])
def test_a_picture_that_was_turned_is_told_before_it_is_marked(
    visit: Visit, tmp_path: Path, quarter_turns: int
) -> None:
    grey = np.linspace(0, 60_000, 300 * 400, dtype=np.uint16).reshape(300, 400)
    file = tmp_path / "turned.png"
    write_image(
        file, np.rot90(grey, quarter_turns).copy(), pixel_mm=0.1, description="SIMULATED for a test"
    )
    page = visit.go("/light-box")
    page.set_input_files("#files", file)
    expect(page.locator("#film-name")).to_have_text("turned")
    upright, across = page.locator("#stands-upright"), page.locator("#lies-across")
    expect(upright).to_be_hidden()
    page.locator("#view").select_option("right-premolar")
    expect(page.locator("#next")).to_contain_text("the distal edge of 13")
    expect(upright).to_be_visible(visible=quarter_turns == 1)
    expect(across).to_be_hidden()
    page.locator("#view").select_option("right-premolar-vertical")
    expect(across).to_be_visible(visible=quarter_turns == 0)
    expect(upright).to_be_hidden()
    page.on("dialog", lambda dialog: dialog.accept())
    page.locator("#remove-film").click()
    expect(page.locator("#film-name")).not_to_have_text("turned")


def test_every_state_has_room_for_its_sign(visit: Visit) -> None:
    page = visit.go("/light-box")
    page.locator("#sample-marked").click()
    expect(page.locator("#contacts tbody tr")).to_have_count(6)
    sign = page.locator("#contacts tbody td:nth-child(3) b").first
    wide = "(at, sign) => { at.textContent = sign; return at.scrollWidth - at.clientWidth; }"
    assert [sign.evaluate(wide, each) for each in STATE_SIGNS.values()] == [0] * len(STATE_SIGNS)
    page.on("dialog", lambda dialog: dialog.accept())
    page.locator("#remove-film").click()
    expect(page.locator("#film-name")).not_to_have_text("sample film (simulated)")


def test_marks_by_keyboard_alone(box: Page, visit: Visit) -> None:
    box.locator("#view").focus()
    box.keyboard.type("right premolar")
    expect(box.locator("#next")).to_contain_text("Next: the distal edge of 13")
    box.locator("#stage").focus()
    for key in ("Shift+ArrowRight", "Shift+ArrowUp", "Enter"):
        box.keyboard.press(key)
    expect(box.locator("#marks g.mark")).to_have_count(1)
    expect(box.locator("#next")).to_contain_text("the mesial edge of 14")
    expect(box.locator("#stage-of-marking")).to_contain_text("1 of 12 edges are marked")
    box.keyboard.press("Tab")
    before = box.locator("#marks g.mark").get_attribute("data-x")
    box.keyboard.press("ArrowRight")
    expect(box.locator("#marks g.mark")).not_to_have_attribute("data-x", before or "")
    box.keyboard.press("Escape")
    expect(box.locator("#view")).to_be_focused()
    box.locator("#stage").focus()
    box.keyboard.press("o")
    expect(box.locator("#count")).to_contain_text("2 placed")
    box.keyboard.press("u")
    expect(box.locator("#count")).to_contain_text("1 placed")
    assert visit.findings() == []


def test_marks_are_explained_and_the_explanation_laid_over(
    box: Page, visit: Visit, rendered: tuple[Path, Path]
) -> None:
    box.set_input_files("#load-marks", rendered[1])
    expect(box.locator("#explanation .lead")).to_contain_text("serves its question")
    expect(box.locator("#explanation .after-lead")).to_contain_text("To come nearer to the best")
    expect(box.locator("#contacts tbody tr")).to_have_count(6)
    told = box.locator("#explanation details p").all_text_contents()
    assert len(told) > 3, "a paragraph for each sentence"
    assert "Perhaps the tube stood" in " ".join(told), "what may be none stands in the paragraph"
    assert " ".join(told) == box.locator("#explanation p.paper-only").text_content()
    expect(box.locator("#over")).to_be_visible()
    box.locator("#blend").fill("60")
    expect(box.locator("#overlay")).to_be_visible()
    drawing = box.locator("#drawing img")
    expect(drawing).to_have_js_property("complete", value=True)
    assert drawing.evaluate("i => i.naturalWidth") > 100
    assert visit.findings() == []
    box.locator("#dress").click()
    assert visit.findings() == []


def test_question_and_scheme_change_what_a_marked_film_is_told(
    box: Page, rendered: tuple[Path, Path]
) -> None:
    box.set_input_files("#load-marks", rendered[1])
    expect(box.locator("#grade")).to_have_text("Rating A (UK 2020)")
    expect(box.locator("#grade-doubt")).to_contain_text("each contact shown may be open")
    box.locator("#scheme").select_option("uk-2001")
    expect(box.locator("#grade")).to_have_text("Rating 2 (UK 2001)")
    with box.expect_request(lambda asked: "/assessment?question=bone-level" in asked.url):
        box.locator("#question").select_option("bone-level")
    box.locator("#decision").get_by_label("accepted", exact=True).check()
    box.locator("#decision button").click()
    expect(box.locator("#decided")).to_contain_text("rated for bone level by UK 2001")
    box.emulate_media(media="print")
    head = box.locator(".paper-head")
    expect(head).to_contain_text("Rated for bone level by UK 2001. Decision: accepted")
    expect(head).to_contain_text(f"{date.today():%Y-%m-%d}")  # noqa: DTZ011  as the page's clock


def test_a_dragged_mark_follows_the_pointer_and_is_kept(
    box: Page, rendered: tuple[Path, Path]
) -> None:
    box.set_input_files("#load-marks", rendered[1])
    expect(box.locator("#explanation .lead")).to_be_visible()  # the page lies still
    mark = box.locator("#marks g.mark").first
    name = mark.get_attribute("data-name")
    before = float(mark.get_attribute("data-x") or 0)
    where = mark.bounding_box()
    assert where is not None
    x, y = where["x"] + 8, where["y"] + where["height"] - 8
    box.mouse.move(x, y)
    box.mouse.down()
    box.mouse.move(x + 30, y, steps=4)
    box.mouse.up()
    moved = float(mark.get_attribute("data-x") or 0)
    assert abs(moved - before) > 5
    wait_until(box, lambda: kept_x_px(box, name) == pytest.approx(moved, abs=0.3))


def kept_x_px(box: Page, name: str | None) -> float:
    """Where the server has a mark of the newest film."""
    films = json.loads(box.evaluate("fetch('/light-box/films').then(r => r.text())"))
    return float(films[-1]["marks"]["marks"][name]["x_px"])


@pytest.mark.realdata
def test_a_real_film_is_explained(visit: Visit, shared_data: Path, repository: Path) -> None:
    page = visit.go("/light-box")
    page.set_input_files("#files", shared_data / "real" / "bitewing_single_mit" / "bitewing.png")
    expect(page.locator("#film-name")).to_have_text("bitewing")
    page.set_input_files(
        "#load-marks", repository / "tests" / "realdata" / "open-bitewing.marks.json"
    )
    expect(page.locator("#explanation .lead")).to_contain_text("This film serves its question")
    expect(page.locator("#contacts tbody")).to_contain_text("not shown")
    page.on("dialog", lambda dialog: dialog.accept())
    page.locator("#remove-film").click()
    expect(page.locator("#film-name")).not_to_have_text("bitewing")


@pytest.fixture
def bordered(visit: Visit, tmp_path: Path) -> Iterator[Page]:
    """A picture that is bright up to one sharp border, at column 400 of 800."""
    pixels = np.full((600, 800), 9000, dtype=np.uint16)
    pixels[:, :400] = 40000
    write_image(tmp_path / "border.png", pixels, pixel_mm=0.05, description="SIMULATED border")
    page = visit.go("/light-box")
    page.set_input_files("#files", tmp_path / "border.png")
    expect(page.locator("#film-name")).to_have_text("border")
    page.locator("#view").select_option(VIEW)
    expect(page.locator("#next")).to_contain_text("the distal edge of 13")
    page.keyboard.press("s")  # 13 distal: its outside is the other way
    yield page
    page.on("dialog", lambda dialog: dialog.accept())
    page.emulate_media(media="screen")
    page.locator("#remove-film").click()
    expect(page.locator("#places li")).to_have_count(0)  # else the next test meets it


def put_down(page: Page, column: float, row: float) -> None:
    """Click a place of the film."""
    picture = page.locator("#picture").bounding_box()
    assert picture is not None
    scale = picture["width"] / 800
    page.mouse.click(picture["x"] + column * scale, picture["y"] + row * scale)


def test_a_mark_put_beside_a_border_snaps_to_it_unless_told_not_to(
    bordered: Page, visit: Visit
) -> None:
    page = bordered
    expect(page.locator("#next")).to_contain_text("the mesial edge of 14")
    put_down(page, 395, 300)
    mark = page.get_by_role("button", name="the mesial edge of 14 at its contact")
    expect(mark).to_have_class("mark mesial snapped")
    expect(mark).to_have_attribute("aria-label", re.compile("at 400, .*snapped to the border"))
    expect(page.locator("#say")).to_contain_text("Snapped to the crown's outer border")
    assert visit.findings() == []
    page.keyboard.press("u")
    expect(page.locator("#marks g.mark")).to_have_count(0)
    page.keyboard.down("Alt")
    put_down(page, 395, 300)
    page.keyboard.up("Alt")
    page.wait_for_timeout(300)
    expect(mark).to_have_class("mark mesial")
    assert float(mark.get_attribute("data-x") or 0) == pytest.approx(395, abs=1.0)
    mark.focus()
    page.keyboard.press("ArrowLeft")
    page.wait_for_timeout(500)
    expect(mark).to_have_class("mark mesial")
    page.keyboard.press("e")
    expect(mark).to_have_class("mark mesial snapped")
    page.keyboard.press("n")
    expect(page.locator("#snap")).to_have_attribute("aria-pressed", "false")


def test_marks_keep_their_size_and_the_one_in_focus_comes_into_sight(
    box: Page, rendered: tuple[Path, Path]
) -> None:
    box.set_input_files("#load-marks", rendered[1])
    ring = box.locator("#marks g.mark circle").first
    expect(ring).to_be_visible()
    before = ring.bounding_box()
    box.locator("#stage").focus()
    for _ in range(9):
        box.keyboard.press("+")
    mark = box.locator("#marks g.mark").last
    mark.focus()
    here, stage = mark.locator("circle").bounding_box(), box.locator("#stage").bounding_box()
    assert before is not None
    assert here is not None
    assert stage is not None
    assert here["width"] == pytest.approx(before["width"], abs=2.0)
    assert stage["x"] < here["x"] < stage["x"] + stage["width"]
    assert stage["y"] < here["y"] < stage["y"] + stage["height"]
    assert box.locator("#stage").evaluate("stage => stage.scrollLeft + stage.scrollTop") == 0


def test_on_paper_the_whole_film_is_as_wide_as_its_column(
    box: Page, rendered: tuple[Path, Path]
) -> None:
    box.set_input_files("#load-marks", rendered[1])
    expect(box.locator("#marks g.mark").first).to_be_visible()
    for _ in range(5):
        box.locator("#stage").press("+")
    box.emulate_media(media="print")
    film, stage = box.locator("#picture").bounding_box(), box.locator("#stage").bounding_box()
    assert film is not None
    assert stage is not None
    assert film["width"] == pytest.approx(stage["width"], abs=2.0)
    assert film["height"] == pytest.approx(stage["height"], abs=2.0)
    expect(box.locator("#film-about")).to_contain_text("right premolar, size 2 plate")
    box.emulate_media(media="screen")


def test_an_explained_film_fits_two_sheets_of_paper_and_a_tablet(
    box: Page, rendered: tuple[Path, Path]
) -> None:
    box.set_input_files("#load-marks", rendered[1])
    expect(box.locator("#over")).to_be_visible()
    for width in (820, 1280, 1920):
        box.set_viewport_size({"width": width, "height": 1000})
        assert spilling(box) == []
    box.locator("#blend").fill("50")
    box.set_viewport_size(PAPER)
    box.emulate_media(media="print")
    assert spilling(box) == []
    expect(box.locator("p.paper-only")).to_be_visible()
    stamp = "at => getComputedStyle(at, '::after').content"
    assert box.locator("#plane").evaluate(stamp) == '"SIMULATED film laid over"'
    box.emulate_media(media="null")  # as paper has it
    paper = box.pdf(prefer_css_page_size=True)
    assert len(re.findall(rb"/Type\s*/Page[^s]", paper)) <= 2


def test_marks_left_for_later_are_asked_for_again(box: Page) -> None:
    expect(box.locator("#next")).to_contain_text("Choose the view")
    box.locator("#view").select_option("right-premolar")
    expect(box.locator("#next")).to_contain_text("Next: the distal edge of 13")
    for _ in range(100):
        if not box.locator("#next b").count():
            break
        box.locator("#skip").click()
    expect(box.locator("#next")).to_contain_text("marks are left for later")
    box.locator("#next button").click()
    expect(box.locator("#next")).to_contain_text("Next: the distal edge of 13")


def greys_of(page: Page, place: int) -> int:
    """How many greys a film's place in the mount shows."""
    count = "at => new Set(at.getContext('2d').getImageData(0, 0, at.width, at.height).data).size"
    return int(page.locator("#places canvas").nth(place).evaluate(count))


def test_the_same_film_marked_twice_is_not_explained_together(
    box: Page, rendered: tuple[Path, Path]
) -> None:
    box.set_input_files("#load-marks", rendered[1])
    expect(box.locator("#explanation .lead")).to_be_visible()
    box.set_input_files("#files", rendered[0])
    expect(box.locator("#places li")).to_have_count(2)
    box.set_input_files("#load-marks", rendered[1])
    expect(box.locator("#explanation .lead")).to_be_visible()
    expect(box.locator("#visit-row")).to_be_hidden()
    box.once("dialog", lambda dialog: dialog.accept())
    box.locator("#remove-film").click()
    expect(box.locator("#places li")).to_have_count(1)


def test_two_films_of_a_visit_are_explained_together_when_asked(
    box: Page, visit: Visit, rendered: tuple[Path, Path], another: tuple[Path, Path]
) -> None:
    box.set_input_files("#load-marks", rendered[1])
    expect(box.locator("#visit-row")).to_be_hidden()
    expect(box.locator("#explanation .lead")).to_be_visible()
    box.set_input_files("#files", another[0])
    expect(box.locator("#places li")).to_have_count(2)
    box.reload()
    expect(box.locator("#places canvas[data-shown]")).to_have_count(2)
    assert min(greys_of(box, number) for number in (0, 1)) > 20
    expect(box.locator("#next")).to_contain_text("Choose the view")
    box.set_input_files("#load-marks", another[1])
    expect(box.locator("#visit-films")).to_have_text("film (right premolar)")
    box.locator("#together").check()
    expect(box.locator("#explanation")).to_contain_text("together with film (right premolar)")
    expect(box.locator("#explanation")).to_contain_text("What the other film taught this one")
    expect(box.locator("#explanation")).to_contain_text("It learns from this one too")
    assert visit.findings() == []
    assert visit.codes() == []
    box.once("dialog", lambda dialog: dialog.accept())
    box.locator("#remove-film").click()
    expect(box.locator("#places li")).to_have_count(1)
