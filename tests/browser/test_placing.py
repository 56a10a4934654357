"""On the light box a wanted mark goes where the click falls, and a placed one stays."""

from collections.abc import Iterator
from io import BytesIO
from pathlib import Path

import numpy as np
import pytest
from PIL import Image
from playwright.sync_api import Browser, Page, Route, expect

from bitewright.files.images import write_image
from tests.browser.conftest import Server, Visit, wait_until
from tests.browser.marking import Place, cross, kept_document, kept_marks, touch

VIEW = "right-premolar"
COLUMNS, ROWS = 800, 600
TABLET = {"width": 1024, "height": 768}


@pytest.fixture(scope="module")
def grey(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A film on which nothing is to be seen, so that nothing snaps."""
    path = tmp_path_factory.mktemp("grey") / "grey.png"
    pixels = np.full((ROWS, COLUMNS), 30000, dtype=np.uint16)
    write_image(path, pixels, pixel_mm=0.05, description="SIMULATED grey")
    return path


def lay(page: Page, film: Path) -> None:
    """Put a film on the light box and choose its view."""
    page.set_input_files("#files", film)
    expect(page.locator("#film-name")).to_have_text(film.stem)
    expect(page.locator("#next")).to_contain_text("Choose the view")
    page.locator("#view").select_option(VIEW)
    expect(page.locator("#teeth")).to_be_visible()


def take_off(page: Page) -> None:
    page.on("dialog", lambda dialog: dialog.accept())
    page.locator("#remove-film").click()
    expect(page.locator("#places li")).to_have_count(0)


@pytest.fixture
def page(visit: Visit, grey: Path) -> Iterator[Page]:
    opened = visit.go("/light-box")
    lay(opened, grey)
    yield opened
    take_off(opened)


def at(page: Page, column: float, row: float) -> Place:
    """A place of the film on the screen."""
    picture = page.locator("#picture").bounding_box()
    assert picture is not None
    scale = picture["width"] / COLUMNS
    return picture["x"] + column * scale, picture["y"] + row * scale


def lit(page: Page) -> Place:
    """The middle of the lit place, in pixels of the film."""
    told = page.locator("#marks .lit").evaluate("at => [at.cx.baseVal.value, at.cy.baseVal.value]")
    return float(told[0]), float(told[1])


def test_a_click_on_a_placed_mark_places_the_wanted_one(page: Page) -> None:
    for column in (700.0, 701.0, 703.0):
        page.mouse.click(*at(page, column, 200))
    expect(page.locator("#count")).to_contain_text("3 placed")
    expect(page.locator("#next")).to_contain_text("the mesial edge of 15")
    wait_until(page, lambda: len(kept_marks(page)) == 3)
    kept = kept_marks(page)
    assert kept["13.distal"]["x_px"] == pytest.approx(700, abs=1.5)
    assert kept["14.distal"]["x_px"] == pytest.approx(703, abs=1.5)


def test_a_tooth_said_to_be_missing_is_asked_for_no_more_and_its_gap_is(page: Page) -> None:
    """Marks of a missing tooth could only be called outside or hidden, which failed the film."""
    page.locator("#stage").focus()
    for _ in range(3):
        page.keyboard.press("o")
    expect(page.locator("#next")).to_contain_text("15")
    page.keyboard.press("t")
    expect(page.locator("#missing-teeth")).to_contain_text("Missing: 15.")
    wait_until(page, lambda: kept_document(page).get("absent_teeth") == [15])
    expect(page.locator("#next")).to_contain_text("the mesial edge of 16")
    page.locator("#missing-teeth button").click()
    expect(page.locator("#missing-teeth")).to_be_hidden()
    expect(page.locator("#next")).to_contain_text("the mesial edge of 15")
    page.locator("#stage").focus()
    page.keyboard.press("t")
    page.keyboard.press("u")
    expect(page.locator("#missing-teeth")).to_be_hidden()


def test_a_placed_mark_is_taken_by_a_deliberate_drag_only(page: Page) -> None:
    page.mouse.click(*at(page, 700, 200))
    x, y = at(page, 700, 200)
    page.mouse.move(x, y)
    page.mouse.down()
    page.mouse.move(x + 3, y)  # a hand that trembles
    page.mouse.up()
    expect(page.locator("#count")).to_contain_text("2 placed")
    page.mouse.move(x, y)
    page.mouse.down()
    page.mouse.move(x + 40, y + 30, steps=5)
    page.mouse.up()
    expect(page.locator("#count")).to_contain_text("2 placed")
    places = page.locator("#marks g.mark").evaluate_all("all => all.map(a => +a.dataset.x)")
    assert min(places) == pytest.approx(700, abs=5)
    assert max(places) > 730


def test_with_none_wanted_a_click_takes_the_mark_and_places_nothing(page: Page) -> None:
    page.mouse.click(*at(page, 700, 200))
    while page.locator("#next").get_attribute("data-name"):
        page.keyboard.press("o")
    expect(page.locator("#next")).to_contain_text("Every mark is placed")
    page.mouse.click(*at(page, 700, 200))
    expect(page.locator("#marks g.mark")).to_be_focused()
    expect(page.locator("#marks g.mark")).to_have_count(1)


def test_the_magnifier_opens_by_itself_near_a_contact_and_not_when_the_film_is_near(
    page: Page, visit: Visit
) -> None:
    glass = page.locator("#glass")
    page.mouse.click(*at(page, 640, 210))
    expect(page.locator("#next")).to_contain_text("the mesial edge of 14")
    page.mouse.move(*at(page, 200, 500))
    expect(glass).to_be_hidden()
    page.mouse.move(*at(page, 642, 212))
    expect(glass).to_be_visible()
    assert visit.findings() == []
    for _ in range(8):
        page.locator("#zoom-in").click()
    page.mouse.move(*(part + 2 for part in at(page, *lit(page))))
    expect(glass).to_be_hidden()


def test_the_place_where_the_others_say_it_lies_is_lit_and_drawn(page: Page, visit: Visit) -> None:
    first = lit(page)
    page.mouse.click(*at(page, 500, 330))
    expect(page.locator("#next")).to_contain_text("the mesial edge of 14")
    told = lit(page)
    assert told == pytest.approx((500, 330), abs=12)
    assert abs(first[0] - told[0]) > 60
    expect(page.locator("#teeth .here")).to_have_count(1)
    expect(page.locator("#teeth text")).to_have_count(10)
    page.locator("#mounting").select_option("mirrored")
    mirrored = page.locator("#teeth text").evaluate_all(
        "all => all.map(a => [a.textContent, a.getBoundingClientRect().x])"
    )
    assert dict(mirrored)["13"] < dict(mirrored)["17"]
    assert visit.findings() == []


def test_digits_bring_the_cross_to_any_place_in_few_keys(page: Page) -> None:
    page.mouse.click(*at(page, 640, 210))
    expect(page.locator("#next")).to_contain_text("the mesial edge of 14")
    page.locator("#stage").focus()
    before = cross(page)
    page.keyboard.press("9")
    expect(page.locator("#glass")).to_be_visible()
    after = cross(page)
    assert after[0] - before[0] == pytest.approx(2 * before[2] / 3)
    assert before[1] - after[1] == pytest.approx(2 * before[2] / 3)
    assert after[2] == pytest.approx(before[2] / 3)
    page.keyboard.press("5")
    page.keyboard.press("Enter")
    wait_until(page, lambda: "14.mesial" in kept_marks(page))
    kept = kept_marks(page)["14.mesial"]
    assert (kept["x_px"], kept["y_px"]) == pytest.approx(after[:2], abs=0.3)


def test_fingers_aim_place_and_zoom(
    browser: Browser, server: Server, let_in: dict[str, object], grey: Path
) -> None:
    context = browser.new_context(storage_state=let_in, viewport=TABLET, has_touch=True)  # type: ignore[arg-type]
    made = Visit(context, server.origin)
    page = made.go("/light-box")
    lay(page, grey)
    page.locator("#stage").scroll_into_view_if_needed()
    session = context.new_cdp_session(page)
    x, y = at(page, 600, 200)
    touch(session, "touchStart", (x + 20, y + 20))
    expect(page.locator("#glass")).to_be_visible()
    touch(session, "touchMove", (x, y))
    touch(session, "touchEnd")
    expect(page.locator("#count")).to_contain_text("1 placed")
    wait_until(page, lambda: "13.distal" in kept_marks(page))
    kept = kept_marks(page)["13.distal"]
    assert (kept["x_px"], kept["y_px"]) == pytest.approx((600, 200), abs=2)
    before = width_of(page)
    touch(session, "touchStart", (x - 20, y))
    touch(session, "touchStart", (x - 20, y), (x + 20, y))
    touch(session, "touchMove", (x - 60, y), (x + 60, y))
    touch(session, "touchEnd")
    assert width_of(page) == pytest.approx(3 * before, rel=0.1)
    assert page.evaluate("visualViewport.scale") == 1
    expect(page.locator("#count")).to_contain_text("1 placed")
    page.locator("#zoom-out").tap()
    assert width_of(page) < 2.9 * before
    small = "all => all.filter(a => a.checkVisibility() && a.getBoundingClientRect().height < 24)"
    assert (
        page.locator("main button, main select, main summary, g.mark .reach").evaluate_all(
            f"all => ({small})(all).map(a => a.outerHTML.slice(0, 80))"
        )
        == []
    )
    take_off(page)
    context.close()
    assert made.complaints == []


def width_of(page: Page) -> float:
    box = page.locator("#picture").bounding_box()
    assert box is not None
    return box["width"]


def test_what_a_save_tells_moves_no_mark_in_the_hand(page: Page) -> None:
    held: list[Route] = []
    page.route("**/marks", lambda route: route.continue_() if held else held.append(route))
    page.mouse.click(*at(page, 700, 200))
    wait_until(page, lambda: bool(held))
    x, y = at(page, 700, 200)
    page.mouse.move(x, y)
    page.mouse.down()
    page.mouse.move(x + 40, y, steps=4)
    held[0].continue_()
    wait_until(page, lambda: len(kept_marks(page)) == 1)
    page.wait_for_timeout(300)
    page.mouse.move(x + 60, y, steps=4)
    page.mouse.up()
    there = float(page.locator("#marks g.mark").get_attribute("data-x") or 0)
    scale = width_of(page) / COLUMNS
    assert there == pytest.approx(700 + 60 / scale, abs=3)


def test_forced_colours_leave_the_film_in_sight_under_a_mark(page: Page) -> None:
    page.locator("#snap").click()
    page.mouse.click(*at(page, 400, 300))
    mark = page.locator("#marks g.mark")
    expect(mark).to_have_count(1)
    page.locator("#view").focus()
    page.mouse.move(5, 5)
    unforced = around_mark(page)
    assert np.abs(unforced - unforced[2, 2]).max() > 60, "a ring, and beside it the film"
    page.emulate_media(forced_colors="active")
    assert np.abs(around_mark(page) - unforced).max() <= 2
    lower_border = "b => parseFloat(getComputedStyle(b).borderBottomWidth)"
    released = page.locator("#magnify").evaluate(lower_border)
    page.locator("#magnify").click()
    assert page.locator("#magnify").evaluate(lower_border) >= 2 * released, "pressed is seen"
    page.locator("#magnify").click()
    page.emulate_media(forced_colors="none")


def around_mark(page: Page) -> np.ndarray:
    """What a person sees where a mark can be grasped, (24, 24, 3)."""
    box = page.locator("#marks g.mark .reach").bounding_box()
    assert box is not None
    clip = {"x": round(box["x"]), "y": round(box["y"]), "width": 24, "height": 24}
    taken = page.screenshot(clip=clip)  # type: ignore[arg-type]
    with Image.open(BytesIO(taken)) as opened:
        return np.asarray(opened.convert("RGB")).astype(int)
