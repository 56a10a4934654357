"""Teach in a browser: three presses to a first exercise, keys alone, nobody left out."""

from playwright.sync_api import Page, expect

from tests.browser.conftest import Visit


def begun(visit: Visit) -> Page:
    """A set of a name and a correction, from the start page."""
    page = visit.go("/bench")
    page.keyboard.press("Escape")
    page.get_by_role("link", name="Teach").click()
    page.get_by_text("Choose what is in the set").click()
    page.get_by_label("How many").fill("3")
    for kind in ("Read a film", "Decide on a further film", "Order the steps"):
        page.get_by_label(kind).uncheck()
    page.get_by_role("button", name="Begin this set").click()
    expect(page.locator("#sheet")).to_be_visible(timeout=240_000)  # a mouth is built first
    return page


def test_two_presses_from_the_start_page_begin_a_first_set(visit: Visit) -> None:
    page = visit.go("/bench")
    page.keyboard.press("Escape")
    presses = [
        page.get_by_role("link", name="Teach", exact=True),
        page.get_by_role("button", name="12 exercises now"),
    ]
    for each in presses:
        each.click()
    expect(page.locator("#sheet")).to_be_visible(timeout=240_000)  # a mouth is built first
    expect(page.locator("#where")).to_have_text("Exercise 1 of 12")
    expect(page.locator("#film")).to_be_visible()


def test_a_set_is_answered_by_keys_alone_and_axe_finds_nothing(visit: Visit) -> None:
    page = begun(visit)
    expect(page.locator("#item-question")).to_contain_text("What went wrong")
    assert visit.findings() == []
    page.keyboard.press("2")
    page.keyboard.press("c")
    page.keyboard.press("Enter")
    expect(page.locator("#told")).to_be_visible()
    expect(page.locator("#why p").first).not_to_be_empty()
    expect(page.locator("#choices .right")).not_to_have_count(0)
    assert visit.findings() == []
    page.keyboard.press("Enter")
    expect(page.locator("#moving")).to_be_visible()
    assert page.locator("#commit").is_disabled()
    page.locator("#swing").focus()
    page.keyboard.press("ArrowLeft")
    expect(page.locator("#swing-said")).to_have_text("1° to the back")
    assert visit.findings() == []
    page.locator("#commit").click()
    expect(page.locator("#outcome")).to_be_visible()
    expect(page.locator("#yours-figure")).to_be_visible()
    page.set_viewport_size({"width": 390, "height": 844})
    assert page.evaluate("document.documentElement.scrollWidth") == 390
    assert visit.findings() == []
    page.keyboard.press("Enter")
    expect(page.locator("#set-up")).to_be_visible()
    expect(page.locator("#film-figure")).to_be_hidden()
    assert page.locator("#commit").is_disabled()
    page.get_by_label("Turn, slider").focus()
    page.keyboard.press("ArrowRight")
    page.keyboard.press("e")
    expect(page.locator("#exposures")).to_contain_text("1 exposure: an effective dose")
    expect(page.locator("#film-figure")).to_be_visible()
    assert page.evaluate("document.documentElement.scrollWidth") == 390
    assert visit.findings() == []
    page.locator("#commit").click()
    expect(page.locator("#why")).to_contain_text("your film shows")
    expect(page.locator("#best-figure")).to_be_visible()
    assert visit.findings() == []


def test_a_tube_is_dragged_and_hands_are_counted(visit: Visit) -> None:
    page = begun(visit)
    page.locator("#hall").click()
    page.get_by_role("button", name="one hand more").first.click()
    expect(page.locator(".hands output").first).to_have_text("1")
    page.keyboard.press("1")
    page.locator("#commit").click()
    page.locator("#next").click()
    expect(page.locator("#moving")).to_be_visible()
    tube = page.locator("#drawing .tube").bounding_box()
    assert tube is not None
    x, y = tube["x"] + tube["width"] / 2, tube["y"] + tube["height"] / 2
    page.mouse.move(x, y)
    page.mouse.down()
    page.mouse.move(x, y - 30)
    page.mouse.up()
    expect(page.locator("#swing-said")).to_contain_text("to the front")


def test_a_set_is_walked_through_by_numbers_and_taken_up_where_it_was_left(visit: Visit) -> None:
    page = begun(visit)
    address = page.url.partition("#")[0]
    numbers = page.locator("#course button")
    expect(numbers).to_have_count(3)
    page.keyboard.press("n")
    expect(page.locator("#moving")).to_be_visible()
    expect(numbers.nth(1)).to_have_attribute("aria-current", "step")
    page.keyboard.press("p")
    expect(page.locator("#item-question")).to_contain_text("What went wrong")
    page.keyboard.press("1")
    page.get_by_label("Your code").fill("S12")
    page.locator("#commit").click()
    expect(page.locator("#kept")).to_have_text("This answer is kept under S12.")
    expect(numbers.first).not_to_have_accessible_name("Exercise 1: not answered")
    page.goto(address)
    expect(page.locator("#where")).to_have_text("Exercise 2 of 3")
    assert visit.findings() == []
    second = visit.context.new_page()
    second.goto(f"{address}#1")
    expect(second.locator("#told")).to_be_visible()
    expect(second.locator("#kept")).to_have_text("This answer is kept under S12.")
    second.close()
    numbers.nth(2).click()
    expect(page.locator("#set-up")).to_be_visible()
    page.keyboard.press("e")
    expect(page.locator("#exposures")).to_contain_text("1 exposure")
    page.locator("#commit").click()
    page.get_by_role("button", name="To the end").click()
    expect(page.locator("#end-left")).to_contain_text("Not answered, and counted as nothing: 2.")
    page.set_viewport_size({"width": 390, "height": 844})
    assert page.evaluate("document.documentElement.scrollWidth") == 390
    assert visit.findings() == []


def test_all_or_none_of_the_faults_are_ticked_at_once_and_none_begins_nothing(
    visit: Visit,
) -> None:
    page = visit.go("/teach")
    page.get_by_text("Choose what is in the set").click()
    page.get_by_role("button", name="None of the faults").click()
    expect(page.locator("[name=faults]:checked")).to_have_count(0)
    page.get_by_role("button", name="Begin this set").click()
    expect(page.locator("#say")).to_have_text("None of the faults is ticked: tick at least one.")
    page.get_by_role("button", name="All faults").click()
    expect(page.locator("[name=faults]:not(:checked)")).to_have_count(0)
    assert visit.findings() == []


def test_on_a_shared_computer_the_next_student_begins_anew_by_keys_alone(visit: Visit) -> None:
    """The first one's code stayed in the field, and their answers could be read."""
    page = begun(visit)
    page.keyboard.press("1")
    page.get_by_label("Your code").fill("S12")
    page.locator("#commit").click()
    expect(page.locator("#kept")).to_have_text("This answer is kept under S12.")
    expect(page.locator("#whose-words")).to_have_text("You answer as S12.")
    assert visit.findings() == []
    second = page.context.new_page()
    second.goto(page.url)
    expect(second.locator("#told")).to_be_visible()
    page.get_by_role("link", name="Sets").focus()
    page.keyboard.press("Tab")
    page.keyboard.press("Tab")
    expect(page.get_by_role("button", name="Not you? Change")).to_be_focused()
    page.keyboard.press("Enter")
    expect(page.locator("#whose-words")).to_have_text("You answer without a code.")
    expect(page.locator("#where")).to_have_text("Exercise 1 of 3")
    expect(page.locator("#told")).to_be_hidden()
    expect(page.get_by_label("Your code")).to_have_value("")
    assert "S12" not in page.content()
    expect(second.locator("#sheet")).to_be_visible()
    expect(second.locator("#told")).to_be_hidden()
    page.goto(page.url.partition("/teach/")[0] + "/teach")
    expect(page.locator("#whose")).to_be_hidden()
    expect(page.locator(".sets").get_by_text("you have answered 0 of 3").first).to_be_visible()
