"""What holds on every page, in both dresses."""

import pytest

from tests.browser.conftest import Server, Visit

PAGES = ("/bench", "/light-box", "/catalogue", "/no-such-page")


@pytest.mark.parametrize("path", PAGES)
@pytest.mark.parametrize("dress", ["dark", "light"])
def test_axe_finds_nothing(visit: Visit, path: str, dress: str) -> None:
    visit.expected = "404" if path == "/no-such-page" else "nothing"  # told by the browser itself
    page = visit.go(path)
    page.keyboard.press("Escape")  # the bench's tour is a page's state of its own
    if dress == "light":
        page.locator("#dress").click()
    assert page.locator("html").get_attribute("data-dress") == dress
    assert visit.findings() == []
    assert visit.codes() == []


def test_the_catalogue_is_whole_on_paper(visit: Visit) -> None:
    page = visit.go("/catalogue")
    page.set_viewport_size({"width": 1039, "height": 711})  # A4 across, within margins of 11 mm
    page.emulate_media(media="print")
    cut = "at => [...at].filter((part) => part.scrollWidth > part.clientWidth + 1).length"
    assert page.locator(".wide").evaluate_all(cut) == 0
    assert page.locator("form:visible, details:visible, .do:visible").count() == 0
    assert page.locator("td.sourced:visible").first.inner_text() != ""


@pytest.mark.parametrize("path", ["/bench", "/light-box", "/catalogue"])
def test_where_the_keyboard_is_can_be_seen(visit: Visit, path: str) -> None:
    page = visit.go(path)
    page.keyboard.press("Escape")
    here = "() => document.activeElement.closest('.button') ?? document.activeElement"
    for _ in range(24):
        page.keyboard.press("Tab")
        told = page.evaluate(
            f"() => {{ const at = ({here})(); return [at.outerHTML.slice(0, 80),"
            " getComputedStyle(at).outlineStyle]; }"
        )
        assert told[1] == "solid", told[0]


def test_the_dress_is_kept(visit: Visit) -> None:
    page = visit.go("/catalogue")
    page.locator("#dress").click()
    page.reload()
    assert page.locator("html").get_attribute("data-dress") == "light"


def test_a_second_browser_is_not_let_in(visit: Visit, server: Server) -> None:
    visit.expected = "403"
    visit.context.clear_cookies()
    page = visit.go("/bench")
    assert "has not been let in" in page.locator("main").inner_text()
    answer = page.goto(server.start)
    assert answer is not None
    assert answer.status == 403
