"""What holds on every page, in both dresses."""

import pytest
from playwright.sync_api import expect

from tests.browser.conftest import Server, Visit

PAGES = (
    "/bench",
    "/bench/visit?plan=yes&side=right&teeth=16",
    "/light-box",
    "/light-box/recall",
    "/teach",
    "/own-films",
    "/competence",
    "/record",
    "/record/log",
    "/record/audit",
    "/record/checklists",
    "/catalogue",
    "/entering",
    "/no-such-page",
)


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
        if not told[0].startswith("<body"):  # the browser's own bar, between last and first
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


@pytest.mark.parametrize("path", ["/bench", "/light-box", "/catalogue", "/glossary"])
@pytest.mark.parametrize("dress", ["dark", "light"])
def test_a_question_mark_lists_the_keys_and_axe_finds_nothing_in_it_nor_on_a_phone(
    visit: Visit, path: str, dress: str
) -> None:
    visit.page.emulate_media(color_scheme=dress)  # type: ignore[arg-type]  dark or light
    page = visit.go(path)
    page.keyboard.press("Escape")
    expect(page.locator("dialog[open]")).to_have_count(0)
    page.keyboard.press("?")
    expect(page.locator("#help")).to_be_visible()
    expect(page.locator("#help dt").last).to_have_text("Esc")
    assert visit.findings() == []
    page.set_viewport_size({"width": 390, "height": 844})
    assert visit.findings() == []
    page.keyboard.press("Escape")
    expect(page.locator("#help")).to_be_hidden()
    assert visit.findings() == []
    assert page.evaluate("document.documentElement.scrollWidth") <= 390


def test_the_systems_preference_is_followed_until_a_dress_is_chosen(visit: Visit) -> None:
    page = visit.go("/catalogue")
    html = page.locator("html")
    expect(html).to_have_attribute("data-dress", "dark")
    page.emulate_media(color_scheme="light")
    expect(html).to_have_attribute("data-dress", "light")
    page.locator("#dress").click()
    expect(html).to_have_attribute("data-dress", "dark")
    page.reload()
    expect(html).to_have_attribute("data-dress", "dark")


def test_the_glossary_is_reached_from_the_list_of_keys(visit: Visit) -> None:
    page = visit.go("/bench")
    page.keyboard.press("Escape")
    page.locator("#help-open").click()
    page.get_by_role("link", name="the glossary").click()
    expect(page.locator("dt", has_text="overlap").first).to_be_visible()


def test_a_phone_is_told_that_a_wide_table_slides_sideways(visit: Visit) -> None:
    page = visit.go("/record/dose")
    wide = page.get_by_role("region", name="Table of measured outputs")
    said = "at => getComputedStyle(at, '::before').content"
    page.set_viewport_size({"width": 390, "height": 844})
    expect(wide).to_have_attribute("data-slides", "")
    assert wide.evaluate(said) == '"Slide sideways to see all of it."'
    assert visit.findings() == []
    page.set_viewport_size({"width": 2400, "height": 900})
    expect(wide).not_to_have_attribute("data-slides", "")
    assert wide.evaluate(said) == "none"
