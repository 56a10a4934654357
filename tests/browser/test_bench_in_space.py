"""The bench in space: drawn when opened, follows the numbers, missed by nobody without WebGL."""

from playwright.sync_api import Locator, expect

from tests.browser.conftest import Visit, wait_until


def test_space_is_drawn_when_opened_and_follows_the_tube(visit: Visit) -> None:
    page = visit.go("/bench?view=right-molar&receptor=plate-2")
    page.keyboard.press("Escape")
    expect(page.locator("body[data-seq]")).to_have_count(1)
    page.locator("#space summary").click()
    canvas = page.locator("#space-canvas[data-drawn]")
    expect(canvas).to_have_count(1)
    page.wait_for_timeout(400)
    before = canvas.screenshot()
    page.locator("#ring_offset_deg").fill("25")
    moved = other_than(canvas, before)
    page.locator("#space-above").click()
    other_than(canvas, moved)
    canvas.focus()
    page.keyboard.press("ArrowLeft")
    assert visit.findings() == []


def other_than(canvas: Locator, before: bytes) -> bytes:
    """The picture on show once it is another one."""
    wait_until(canvas.page, lambda: canvas.screenshot() != before)
    return canvas.screenshot()


def test_without_webgl_the_rest_of_the_bench_works(visit: Visit) -> None:
    page = visit.page
    page.add_init_script(
        "HTMLCanvasElement.prototype.getContext = new Proxy("
        "HTMLCanvasElement.prototype.getContext, {apply(f, on, given) {"
        "return String(given[0]).startsWith('webgl') ? null : f.apply(on, given)}})"
    )
    visit.go("/bench?view=right-molar&receptor=plate-2")
    page.keyboard.press("Escape")
    expect(page.locator("body[data-seq]")).to_have_count(1)
    page.locator("#space summary").click()
    expect(page.locator("#space-say")).to_contain_text("cannot draw in space")
    expect(page.locator("#contacts tbody tr")).to_have_count(4)
    visit.complaints.clear()
