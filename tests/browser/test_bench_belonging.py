"""What stands on the bench belongs to what was chosen: nothing stale passes for the present."""

import re
from itertools import pairwise

import pytest
from playwright.sync_api import Page, Route, WebSocketRoute, expect

from tests.browser.conftest import Visit, wait_until
from tests.browser.test_bench import at_rest, number, opened, states

COUNT_TURNS = """() => {
  window.greyed = [];
  for (const part of document.querySelectorAll("[data-belongs]")) {
    const onsets = [];
    window.greyed.push(onsets);
    new MutationObserver(() => part.classList.contains("old") && onsets.push(performance.now()))
      .observe(part, { attributes: true, attributeFilter: ["class"] });
  }
}"""
LEAST_MS = 240
"""Fewer than this from one turning grey to the next would flicker: four times a second."""

OLD = re.compile(r"\bold\b")


def test_nothing_of_another_view_or_mouth_stays_in_sight(visit: Visit) -> None:
    visit.expected = "WebSocket is closed before"
    page = opened(visit)
    page.locator("#keep").click()
    expect(page.locator("#kept")).to_be_visible()
    held: list[Route] = []
    page.route("**/bench/station?*", lambda route: held.append(route))  # noqa: PLW0108 - marked
    for chosen, name in (("view", "left-molar"), ("mouth", "turned-premolars")):
        page.locator(f"#choose-{chosen}").select_option(name)
        nothing_is_shown(page)
    wait_until(page, lambda: len(held) == 2)
    held[1].continue_()
    expect(page.locator("#contacts tbody th").first).to_have_text("25-26")
    assert page.locator("#film").get_attribute("data-kind") != "full", "not of this view yet"
    at_rest(page)


def nothing_is_shown(page: Page) -> None:
    expect(page.locator("#film")).to_have_attribute("data-kind", "none")
    is_blank = page.evaluate(
        """() => { const at = document.getElementById("film");
        const blank = document.createElement("canvas");
        [blank.width, blank.height] = [at.width, at.height];
        return at.toDataURL() === blank.toDataURL(); }"""
    )
    assert is_blank
    expect(page.locator("#kept")).to_be_hidden()
    for part in ("#contacts tbody tr", "#criteria li", ".drawing path"):
        expect(page.locator(part)).to_have_count(0)
    assert set(page.locator(".grade").all_inner_texts()) == {""}


def test_where_an_entry_is_beyond_reach_all_is_grey_and_said_to_be_of_an_earlier_setting(
    visit: Visit,
) -> None:
    page = opened(visit, "/bench")
    before = states(page)
    page.locator("#ring_offset_deg").fill("200")
    expect(page.locator("#say")).to_contain_text("must be a number from -70 to 70")
    for part in page.locator("[data-belongs]").all():
        expect(part).to_have_class(OLD)
    expect(page.locator(".film .stamped .old-word").first).to_have_text("of an earlier setting")
    expect(page.locator(".film .stamped .old-word").first).to_be_visible()
    expect(page.locator(".findings .old-word")).to_be_visible()
    assert states(page) == before
    assert visit.findings() == []
    page.locator("#keep").click()
    expect(page.locator("#kept")).to_be_hidden()
    page.locator("#ring_offset_deg").fill("0")
    at_rest(page)
    expect(page.locator(".old")).to_have_count(0)


def test_an_exposure_that_cannot_be_gives_no_film_and_no_rating(visit: Visit) -> None:
    page = opened(visit)
    page.locator("#lingual_mm").fill("39")
    expect(page.locator("#say")).to_contain_text("larger than the mouth allows")
    expect(page.locator("#film")).to_have_attribute("data-kind", "none")
    expect(page.locator("#film-kind")).to_contain_text("does not fit")
    expect(page.locator("#criteria li")).to_have_count(0)
    assert set(states(page).values()) == {""}
    assert set(page.locator("#contacts td:visible").all_inner_texts()) <= {"", " "}
    assert set(page.locator(".grade").all_inner_texts()) == {""}
    page.wait_for_timeout(400)
    expect(page.locator("#film")).to_have_attribute("data-kind", "none")
    page.locator("#nearest").check()
    at_rest(page)


def test_answers_held_back_turn_the_page_grey_and_a_server_that_went_is_found_again(
    visit: Visit,
) -> None:
    lines: list[WebSocketRoute] = []
    held = False

    def between(line: WebSocketRoute) -> None:
        server = line.connect_to_server()
        lines.append(line)
        server.on_message(lambda message: None if held else line.send(message))

    visit.page.route_web_socket("**/bench/moving/*", between)
    page = opened(visit)
    held = True
    page.locator("#ring_offset_deg").fill("3")
    expect(page.locator("figure.old .old-word")).to_be_visible()
    expect(page.locator(".findings.old")).to_be_visible()
    held = False
    for line in lines:
        line.close()
    expect(page.locator("#say")).to_contain_text("does not answer")
    at_rest(page)
    expect(page.locator(".old")).to_have_count(0)
    assert number(page, "ring_offset_deg") == 3.0


def test_nothing_flickers_while_a_hand_moves(visit: Visit) -> None:
    page = opened(visit)
    page.evaluate(COUNT_TURNS)
    slider = page.locator("[data-name=ring_offset_deg] input[type=range]")
    slider.evaluate(
        """(at) => new Promise((done) => { let n = 0; const go = setInterval(() => {
        at.value = (n % 40) - 20; at.dispatchEvent(new Event("input", { bubbles: true }));
        if ((n += 1) > 180) { clearInterval(go); done(); } }, 16); })"""
    )
    at_rest(page)
    expect(page.locator(".old")).to_have_count(0)
    for onsets in page.evaluate("greyed"):
        assert all(later - one >= LEAST_MS for one, later in pairwise(onsets)), onsets


def test_back_forward_and_undo_step_through_settings(visit: Visit) -> None:
    page = opened(visit, "/bench")
    page.locator("#ring_offset_deg").fill("4")
    at_rest(page)
    page.locator("#vertical_deg").fill("7")
    at_rest(page)
    page.locator("#choose-view").select_option("right-molar")
    at_rest(page)
    page.go_back()
    expect(page.locator("#contacts tbody th").first).to_have_text("13-14")
    assert (number(page, "ring_offset_deg"), number(page, "vertical_deg")) == (4.0, 7.0)
    at_rest(page)
    page.locator("#reset").click()
    at_rest(page)
    page.keyboard.press("u")
    expect(page.locator("#ring_offset_deg")).to_have_value("4")
    page.keyboard.press("u")
    expect(page.locator("#vertical_deg")).to_have_value("0")
    page.go_forward()
    expect(page.locator("#vertical_deg")).to_have_value("7")
    for _ in range(4):
        page.locator("#undo").click()
        page.wait_for_timeout(300)
    assert "/bench" in page.url, "undo never leaves the page"
    expect(page.locator("#say")).to_contain_text("first setting")


@pytest.mark.parametrize("late", ["working", "done"])
def test_a_late_word_of_the_build_takes_no_button_from_the_hand(visit: Visit, late: str) -> None:
    visit.expected = "400"
    told = {"format": "bitewright.progress/1", "state": "working", "doing": "x", "done": 1, "of": 9}
    page = visit.page
    asked: list[Route] = []

    def answer(route: Route) -> None:
        asked.append(route)
        if len(asked) < 4:
            route.fulfill(json=told)  # later ones wait

    page.route("**/bench/build?*", answer)
    stopped = told | {"state": "stopped"}
    page.route("**/bench/build/stop?*", lambda route: route.fulfill(json=stopped))
    opened(visit, "/bench")
    stop = page.get_by_role("button", name="Stop")
    expect(stop).to_be_visible()
    wait_until(page, lambda: len(asked) >= 4)
    stop.click()
    again = page.get_by_role("button", name="Make the film")
    expect(again).to_be_focused()
    expect(stop).to_be_hidden()
    asked[3].fulfill(json=told | {"state": late})
    page.wait_for_timeout(300)
    expect(again).to_be_focused()
    expect(stop).to_be_hidden()
