"""The record's page: a sheet dropped, its questions answered, brought in and taken back."""

from pathlib import Path

from playwright.sync_api import expect

from tests.browser.conftest import Visit

SHEET = Path(__file__).resolve().parents[1] / "messy_sheets" / "01-day-first.csv"


def test_a_sheet_is_looked_at_brought_in_and_taken_back(visit: Visit) -> None:
    page = visit.go("/record")
    page.set_viewport_size({"width": 390, "height": 844})
    page.locator("#sheet").set_input_files(SHEET)
    expect(page.locator("#preview-title")).to_be_focused()
    assert visit.findings() == []
    across = "() => document.documentElement.scrollWidth <= innerWidth"
    assert page.evaluate(across)
    bring_in = page.get_by_role("button", name="Bring it in")
    expect(bring_in).to_be_disabled()
    for name in ("reject N", "premolar", "operator"):
        page.locator(f'fieldset input[value="{name}"]').focus()
        with page.expect_response("**/record/sheet?**"):
            page.keyboard.press("Space")
        if name != "operator":  # the next question that is open, as far as there is one
            expect(page.locator("fieldset.open input").first).to_be_focused()
    expect(bring_in).to_be_focused()
    page.locator("#skip").check()
    bring_in.focus()
    page.keyboard.press("Enter")
    expect(page.locator("#say")).to_contain_text("exposures added")
    expect(page.locator("#imports")).to_contain_text("01-day-first")
    assert visit.findings() == []
    page.once("dialog", lambda dialog: dialog.accept())
    page.get_by_role("button", name="Take back").click()
    expect(page.locator("#say")).to_contain_text("taken back")
    expect(page.locator("#imports")).to_contain_text("Nothing has been brought in")
    page.locator("#sheet").set_input_files(SHEET.with_name("15-tally.xlsx"))
    visit.expected = "400"
    expect(page.locator("#say")).to_contain_text("counts films and does not list them")
