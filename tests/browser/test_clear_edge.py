"""The edge of a cone cut's blank part, marked on the film by keyboard and by hand."""

from playwright.sync_api import expect

from tests.browser.conftest import Visit, spilling

PHONE, DESK = {"width": 390, "height": 844}, {"width": 1280, "height": 800}


def test_a_blank_part_is_measured_by_its_edge(visit: Visit) -> None:
    page = visit.go("/light-box")
    keys, said = page.keyboard, page.locator("#edge-said")
    page.locator("#sample-marked").press("Enter")
    expect(page.locator("#contacts tbody tr")).to_have_count(6)
    page.locator("#faults summary").press("Enter")
    expect(page.locator("#cone-cut-edge")).to_be_hidden()
    page.locator("#faults input[value=cone-cut]").press("Space")
    expect(said).to_contain_text("not known until its edge is marked")
    keys.press("b")
    expect(page.locator("#stage")).to_be_focused()
    for way in (*["ArrowRight"] * 14, *["ArrowUp"] * 10):
        keys.press(f"Shift+{way}")
    keys.press("Enter")
    expect(said).to_contain_text("One place")
    for _ in range(20):
        keys.press("Shift+ArrowDown")
    keys.press("Enter")
    expect(said).to_contain_text("a straight edge")
    expect(page.locator("#criteria")).to_contain_text("mm at the front edge of the receptor")
    expect(page.locator("#marks .edge circle")).to_have_count(2)

    picture = page.locator("#picture").bounding_box()
    assert picture is not None
    across, down = picture["x"] + 0.97 * picture["width"], picture["y"] + 0.5 * picture["height"]
    page.mouse.click(across, down)
    expect(said).to_contain_text("else round")
    for size in (PHONE, DESK):
        page.set_viewport_size(size)
        assert visit.findings() + spilling(page) == []
    for left in (2, 1, 0):
        page.locator("#edge-last-off").press("Enter")
        expect(page.locator("#marks .edge circle")).to_have_count(left)
    expect(page.locator("#criteria")).to_contain_text("mark its edge to tell how much")
    page.once("dialog", lambda dialog: dialog.accept())
    page.locator("#remove-film").click()
    expect(page.locator("#places li")).to_have_count(0)
