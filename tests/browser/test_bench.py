"""The bench as a teacher works it: by hand, by keyboard, on paper."""

import hashlib
import re

import pytest
from playwright.sync_api import Page, Route, WebSocket, expect

from tests.browser.conftest import PAPER, Visit, spilling, wait_until

TOO_FAR_BACK = "/bench?ring_offset_deg=-9"


def opened(visit: Visit, path: str = TOO_FAR_BACK) -> Page:
    """The bench with the tour closed and the whole film shown."""
    page = visit.go(path)
    page.locator("#tour button").click()
    at_rest(page)
    return page


def at_rest(page: Page) -> None:
    expect(page.locator("#film")).to_have_attribute("data-kind", "full")
    page.wait_for_timeout(400)
    expect(page.locator("#film")).to_have_attribute("data-kind", "full")


def states(page: Page) -> dict[str, str]:
    rows = page.locator("#contacts tbody tr").all()
    return {row.locator("th").inner_text(): row.locator(".state i").inner_text() for row in rows}


def film_sum(page: Page) -> str:
    """A fingerprint of the film on show."""
    data = page.evaluate("document.getElementById('film').toDataURL()")
    return hashlib.sha256(str(data).encode()).hexdigest()


def drag(page: Page, shape: str, dx: float, dy: float) -> None:
    box = page.locator(shape).bounding_box()
    assert box is not None
    x, y = box["x"] + box["width"] / 2, box["y"] + box["height"] / 2
    page.mouse.move(x, y)
    page.mouse.down()
    for step in range(1, 9):
        page.mouse.move(x + dx * step / 8, y + dy * step / 8)
        page.wait_for_timeout(16)
    page.mouse.up()


def number(page: Page, name: str) -> float:
    return float(page.locator(f"#{name}").input_value())


@pytest.mark.parametrize("width", [1400, 390])
def test_teeth_and_fans_are_seen_in_every_drawing(visit: Visit, width: int) -> None:
    visit.page.set_viewport_size({"width": width, "height": 844})
    page = visit.go("/bench")  # teeth are laid out first, framed when the first exposure is there
    page.keyboard.press("Escape")
    expect(page.locator("#above")).to_have_attribute("viewBox", re.compile(r"\d"))
    for drawing, teeth in (("above", 28), ("row", 2), ("side", 10)):
        expect(page.locator(f"#{drawing} .tooth").filter(visible=True)).to_have_count(teeth)
    expect(page.locator("#above .fan").filter(visible=True)).to_have_count(24)


def test_the_room_left_says_failed_where_the_film_fails(visit: Visit) -> None:
    page = visit.go("/bench")
    page.keyboard.press("Escape")
    expect(page.locator("#above")).to_have_attribute("viewBox", re.compile(r"\d"))
    page.keyboard.press("b")
    # "all contacts open" is short at the best aim already: swung to the front, it fails.
    expect(page.locator("#ring_offset_deg-room")).to_contain_text(
        re.compile(r"front \d+(\.\d)?° \(then failed: all contacts open\); back")
    )


def test_what_is_asked_beside_a_coloured_edge_keeps_clear_of_it(visit: Visit) -> None:
    page = visit.go("/bench")
    page.keyboard.press("Escape")
    asked = page.locator(".further").bounding_box()
    words = page.locator(".further label").bounding_box()
    assert asked is not None
    assert words is not None
    assert words["x"] - asked["x"] > 6.0


def test_a_demo_mouth_lies_on_the_bench_with_the_next_step_told(visit: Visit) -> None:
    page = opened(visit, "/bench")
    assert len(states(page)) == 6
    assert page.locator("#above .fan").count() == 24
    assert "Swing the tube" in page.locator("#say").inner_text()


def test_dragging_the_tube_opens_a_contact_and_changes_the_film(visit: Visit) -> None:
    page = opened(visit)
    before, film = states(page), film_sum(page)
    assert before["15-16"] != "open"
    fan = page.locator("#above .fan[data-contact='15-16']")
    assert "lit" not in (fan.get_attribute("class") or "")
    drag(page, "#above .tube", -14, -46)
    at_rest(page)
    assert number(page, "ring_offset_deg") > -4.0
    assert states(page)["15-16"] == "open"
    assert "lit" in (fan.get_attribute("class") or "")
    assert film_sum(page) != film


@pytest.mark.parametrize("side", ["right", "left"])
def test_every_drag_goes_the_way_of_the_hand(visit: Visit, side: str) -> None:
    page = opened(visit, f"/bench?view={side}-premolar")
    tongue = -1 if side == "right" else 1  # the way on the page from above
    for shape, dx, dy, name, way in (
        ("#above .tube", 0, -30, "ring_offset_deg", 1),
        ("#above .casing", 0, -20, "forward_mm", 1),
        ("#above .casing", 14 * tongue, 0, "lingual_mm", 1),
        ("#above .turner", 14 * tongue, 0, "turn_deg", 1),
        ("#row .tube", 0, -22, "vertical_deg", 1),
        ("#row .casing", 0, -12, "height_mm", 1),
        ("#side .casing", -30 * tongue, 0, "forward_mm", 1),
    ):
        page.locator("#reset").click()
        at_rest(page)
        was = number(page, name)
        page.locator(shape).scroll_into_view_if_needed()
        drag(page, shape, dx, dy)
        assert (number(page, name) - was) * way > 0, f"dragging {shape} by {dx}, {dy}: {name}"


def test_the_keyboard_alone_swings_the_tube_finds_the_best_aim_and_keeps_a_film(
    visit: Visit,
) -> None:
    page = visit.go(TOO_FAR_BACK)
    expect(page.locator("#tour button")).to_be_focused()
    page.keyboard.press("Enter")
    at_rest(page)
    reach(page, "input[type=range][aria-label='Tube swing, slider']")
    for _ in range(16):
        page.keyboard.press("ArrowRight")
    assert number(page, "ring_offset_deg") == -1.0
    at_rest(page)
    assert states(page)["15-16"] == "open"
    page.keyboard.press("k")
    assert page.locator("#kept").is_visible()
    page.keyboard.press("b")
    expect(page.locator("#ring_offset_deg-room")).to_be_visible()
    assert "front" in page.locator("#ring_offset_deg-room").inner_text()
    at_rest(page)
    assert list(states(page).values()).count("open") >= 3
    assert "unreadable" not in states(page).values()
    page.keyboard.press("r")
    assert number(page, "ring_offset_deg") == 0.0


def reach(page: Page, wanted: str) -> None:
    """Tab until it has the focus."""
    for _ in range(60):
        page.keyboard.press("Tab")
        if page.evaluate(f'document.activeElement.matches("{wanted}")'):
            return
    raise AssertionError(f"{wanted} cannot be reached by Tab")


def test_a_typed_number_counts_and_what_is_beyond_reach_is_told(visit: Visit) -> None:
    page = opened(visit)
    page.locator("#vertical_deg").fill("8")
    at_rest(page)
    assert "vertical_deg=8" in page.url
    page.locator("#lingual_mm").fill("39")
    expect(page.locator("#say")).to_contain_text("larger than the mouth allows")
    page.locator("#nearest").check()
    expect(page.locator("#say")).not_to_contain_text("larger than")


def test_the_link_gives_the_same_exposure_in_another_window(visit: Visit) -> None:
    page = opened(visit, "/bench?view=left-molar&receptor=plate-2&mouth=turned-premolars")
    page.locator("#turn_deg").fill("6")
    at_rest(page)
    there = visit.context.new_page()
    there.goto(page.url)
    at_rest(there)
    assert states(there) == states(page)
    assert film_sum(there) == film_sum(page)


@pytest.mark.parametrize("dress", ["dark", "light"])
def test_axe_finds_nothing_in_any_state(visit: Visit, dress: str) -> None:
    page = visit.go(TOO_FAR_BACK)
    expect(page.locator("#tour")).to_be_visible()
    assert visit.findings() == []
    page.locator("#tour button").click()
    if dress == "light":
        page.locator("#dress").click()
    at_rest(page)
    assert visit.findings() == []
    page.locator("#keep").click()
    page.locator("#plan").click()
    expect(page.locator("#ring_offset_deg-room")).to_be_visible()
    at_rest(page)
    assert visit.findings() == []
    page.locator("#lingual_mm").fill("39")
    expect(page.locator("#say")).to_contain_text("larger than")
    assert visit.findings() == []
    assert visit.codes() == []


@pytest.mark.parametrize("size", [(1280, 800), (820, 1180), (1920, 1080)])
def test_nothing_spills_over_with_a_film_kept_beside(visit: Visit, size: tuple[int, int]) -> None:
    visit.page.set_viewport_size({"width": size[0], "height": size[1]})
    page = opened(visit)
    assert spilling(page) == []
    page.locator("#keep").click()
    expect(page.locator("#kept-head")).to_be_visible()
    assert spilling(page) == []


def test_on_paper_a_film_has_its_own_shape_and_a_legible_stamp(visit: Visit) -> None:
    page = opened(visit)
    at_rest(page)
    page.set_viewport_size(PAPER)
    page.emulate_media(media="print")
    film = page.locator("#film").bounding_box()
    assert film is not None
    assert film["width"] / film["height"] == pytest.approx(1800 / 1300, rel=0.01)
    stamp = page.locator(".stamped").first.evaluate(
        "at => [getComputedStyle(at, '::after').content, getComputedStyle(at, '::after').fontSize]"
    )
    assert stamp[0] == '"SIMULATED"'
    assert float(stamp[1].removesuffix("px")) >= 10.0
    kind = page.locator("#film-kind")
    expect(kind).to_contain_text("1300 of 0.02 mm")
    assert kind.evaluate("at => getComputedStyle(at.parentElement).textOverflow") == "clip"
    assert spilling(page) == []


def test_a_name_in_the_address_that_there_is_not_is_told_until_another_is_chosen(
    visit: Visit,
) -> None:
    page = opened(visit, "/bench?view=right-premolar&receptor=plate2")
    expect(page.locator(".unknown")).to_contain_text("Did you mean 'plate-2'?")
    assert visit.findings() == []
    page.locator("#choose-receptor").select_option("plate-2")
    expect(page.locator(".unknown")).to_have_count(0)
    at_rest(page)


def test_it_prints_on_one_page_without_a_black_box(visit: Visit) -> None:
    page = opened(visit)
    page.locator("#keep").click()
    page.locator("#plan").click()
    expect(page.locator("#ring_offset_deg-room")).to_be_visible()
    at_rest(page)
    page.locator("#space summary").click()
    expect(page.locator("#space-canvas[data-drawn]")).to_be_visible()
    paper = page.pdf(prefer_css_page_size=True, tagged=True)
    assert paper.startswith(b"%PDF")
    assert len(re.findall(rb"/Type\s*/Page[^s]", paper)) == 1
    assert b"/StructTreeRoot" in paper
    page.emulate_media(media="print")
    expect(page.locator("#space-canvas")).to_be_hidden()
    expect(page.locator("#printed-on")).to_have_text(re.compile(r"\d{4}-\d\d-\d\d"))
    assert page.locator(".sign p").all_inner_texts() == ["Date", "Name", "Signature"]


def test_another_view_and_mouth_lie_down_at_once(visit: Visit) -> None:
    page = opened(visit)
    page.locator("#choose-view").select_option("left-molar")
    expect(page.locator("#contacts tbody th").first).to_have_text("25-26")
    page.locator("#choose-mouth").select_option("shallow-palate")
    at_rest(page)
    assert len(states(page)) == 4


def test_the_mouths_build_shows_how_far_it_is_and_can_be_stopped(visit: Visit) -> None:
    page = visit.go("/bench?view=left-premolar&mouth=drawn-91")
    page.keyboard.press("Escape")
    expect(page.locator("#contacts tbody tr").first).to_be_visible()
    expect(page.locator("#build-words")).to_contain_text("steps")
    stop = page.get_by_role("button", name="Stop")
    expect(stop).to_be_visible()
    assert visit.findings() == []
    stop.click()
    expect(page.locator("#build-words")).to_contain_text("The film was stopped")
    again = page.get_by_role("button", name="Make the film")
    expect(again).to_be_focused()
    visit.expected = "400"  # a film that was stopped is refused, which the browser logs
    page.locator("#vertical_deg").fill("6")
    expect(page.locator("body")).to_have_attribute("data-seq", "2")
    again.press("Enter")
    expect(page.locator("#film[data-kind=full]")).to_be_visible()
    expect(page.locator("#build-words")).to_contain_text("is built")
    expect(stop).to_be_focused()  # what has the focus is not taken from under it
    page.keyboard.press("Tab")
    expect(page.locator("#build")).to_be_hidden()


def test_of_two_mouths_chosen_the_last_lies_on_the_bench(visit: Visit) -> None:
    visit.expected = "WebSocket is closed before"  # what was chosen away from may just be opening
    page = opened(visit, "/bench")
    teeth = page.locator("#above .tooth").count()
    sockets: list[WebSocket] = []
    page.on("websocket", lambda socket: sockets.append(socket))  # noqa: PLW0108 - it marks the handler
    held: list[Route] = []
    page.route(
        "**/bench/station?*", lambda route: route.continue_() if held else held.append(route)
    )
    page.locator("#chooser [name=mouth]").select_option("standard")
    page.locator("#chooser [name=receptor]").select_option("sensor-2")
    wait_until(page, lambda: bool(held))
    page.locator("#chooser [name=mouth]").select_option("missing-molar")
    expect(page.locator("#above .tooth")).to_have_count(teeth - 1)
    held[0].continue_()
    at_rest(page)
    expect(page.locator("#above .tooth")).to_have_count(teeth - 1)
    assert sum(not each.is_closed() for each in sockets) == 2
