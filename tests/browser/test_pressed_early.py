"""A press on a page whose scripts are still on their way is not lost."""

from playwright.sync_api import Page, Route, expect

from tests.browser.conftest import Visit, wait_until


def held_once(page: Page, address: str) -> list[Route]:
    """The first request for an address, kept unanswered."""
    held: list[Route] = []

    def hold(route: Route) -> None:
        held.append(route)

    page.route(address, hold, times=1)
    return held


def test_a_set_is_begun_though_its_script_came_after_the_press(visit: Visit) -> None:
    page = visit.page
    script = held_once(page, "**/static/teach/teach.js")
    page.goto(visit.origin + "/teach", wait_until="commit")
    page.get_by_role("button", name="4 mouths to aim in").click()
    wait_until(page, lambda: bool(script))
    script[0].continue_()
    expect(page.locator("#sheet")).to_be_visible(timeout=240_000)  # a mouth is built first
    expect(page.locator("#where")).to_have_text("Exercise 1 of 4")


def test_two_quick_presses_begin_one_set(visit: Visit) -> None:
    page = visit.page
    script = held_once(page, "**/static/sideways.js")
    sent: list[str] = []
    page.on("request", lambda request: sent.append(request.method))
    page.goto(visit.origin + "/teach", wait_until="commit")
    page.get_by_role("button", name="12 exercises now").dblclick()
    wait_until(page, lambda: bool(script))
    script[0].continue_()
    expect(page.locator("#sheet")).to_be_visible(timeout=240_000)
    assert sent.count("POST") == 1
