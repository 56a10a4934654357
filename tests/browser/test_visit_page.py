"""What a visit's films show together, reached from the light box and weighed by keyboard."""

from collections.abc import Iterator

import pytest
from playwright.sync_api import Page, expect

from tests.browser.conftest import LAPTOP, Visit

PHONE = {"width": 390, "height": 844}


@pytest.fixture
def together(visit: Visit) -> Iterator[Page]:
    """The page of the sample film's visit; the light box is cleared after."""
    page = visit.go("/light-box")
    page.locator("#sample-marked").click()
    expect(page.locator("#film-name")).to_have_text("sample film (simulated)")
    expect(page.locator("#contacts tbody tr").first).to_be_visible()  # its marks are kept
    page.get_by_role("link", name="What these films show together").click()
    expect(page.locator(".visit-page .answer").first).to_be_visible()
    yield page
    page.set_viewport_size(LAPTOP)  # type: ignore[arg-type]
    page.on("dialog", lambda dialog: dialog.accept())
    page.goto(f"{visit.origin}/light-box")
    page.locator("#remove-film").click()
    expect(page.locator("#places li")).to_have_count(0)


def test_views_never_taken_are_told_as_such_and_an_exposure_is_weighed_by_keyboard(
    together: Page, visit: Visit
) -> None:
    said = together.locator(".visit-page section").first
    expect(said).to_contain_text("No film was taken for")
    expect(said).to_contain_text("the left side (")
    together.get_by_label("What it is wanted for").focus()
    for words in ("pain at 45", "tube too far forward", "tube back"):
        together.keyboard.type(words)
        together.keyboard.press("Tab")
    together.keyboard.press("Tab")
    together.keyboard.press("Enter")
    expect(together.locator(".visit-page")).to_contain_text("Expose once more, ")
    expect(together.locator(".visit-page")).to_contain_text("fit what these films show")
    for size in (LAPTOP, PHONE):
        together.set_viewport_size(size)  # type: ignore[arg-type]
        assert together.evaluate("document.documentElement.scrollWidth <= innerWidth")
        assert visit.findings() == []
