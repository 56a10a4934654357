"""The log's page by keyboard alone: entered at the chairside, corrected, decided, found again."""

from playwright.sync_api import expect

from tests.browser.conftest import Visit

FILM = {"view": "1", "grade": "n", "decision": "r", "faults": "ccov"}


def test_a_film_is_entered_decided_and_corrected_by_keyboard(visit: Visit) -> None:
    page = visit.go("/record/log")
    page.set_viewport_size({"width": 390, "height": 844})
    operator = page.locator("#entry [name=operator]")
    expect(operator).to_be_focused()
    page.keyboard.type("S12")
    page.locator("#view-keys input").first.focus()
    page.keyboard.type("".join(FILM.values()))
    expect(page.locator("#fault-said")).to_have_text("overlap, cone cut")
    assert visit.findings() == []
    assert page.evaluate("document.documentElement.scrollWidth") <= 390
    page.keyboard.press("Enter")
    expect(page.locator("#said")).to_have_text("Exposure saved as entry 1.")
    # The next film needs no more than these keys: the operator is remembered, also by a new page.
    page.reload()
    expect(operator).to_have_value("S12")
    page.keyboard.type("2au")
    page.keyboard.press("Enter")
    expect(page.locator("#said")).to_have_text("Exposure saved as entry 2.")
    expect(page.locator("#list")).to_contain_text("2 exposures")
    page.get_by_role("button", name="Decide exposure 2").focus()
    page.keyboard.press("Enter")
    expect(page.locator("#one-title")).to_be_focused()
    page.locator("#decide [name=decision]").select_option("accepted")
    page.locator("#decide [name=by]").fill("T1")
    page.keyboard.press("Enter")
    expect(page.locator("#one")).to_contain_text("Decision, ")
    assert visit.findings() == []
    page.locator("#correct").focus()
    page.keyboard.press("Enter")
    expect(page.locator("#entry-title")).to_have_text("Correct exposure 2")
    page.locator("#view-keys input:checked").focus()
    page.keyboard.type("4")
    page.locator("#entry [name=by]").fill("T1")
    page.locator("#entry [name=why]").fill("other side")
    assert visit.findings() == []
    page.keyboard.press("Enter")
    expect(page.locator("#said")).to_have_text("Correction saved as entry 4.")
    expect(page.locator("#list")).to_contain_text("left molar")
    page.locator("#filters [name=fault]").select_option("cone-cut")
    expect(page.locator("#list")).to_contain_text("1 exposure, 1 of them listed; 1 rejected")
    assert visit.codes() == []


def test_a_film_fills_in_its_own_alone_and_typing_begins_at_the_operator(visit: Visit) -> None:
    visit.expected = "400"
    page = visit.go("/record/log")
    page.keyboard.type("S1")
    page.locator("#entry [name=decided_by]").fill("T7")
    page.locator("#view-keys input").first.focus()
    page.keyboard.type("1na")
    page.keyboard.press("Enter")
    expect(page.locator("#said")).to_contain_text("Exposure saved as entry")
    own = {"view": "left-premolar", "rating": "uk-2020:A", "decision": "accepted"}
    film = {"label": "second", "key": f"film-{40 * 'a'}", "fields": own}
    page.route("**/record/log/film/7?*", lambda route: route.fulfill(json=film))
    visit.go("/record/log?film=7")
    expect(page.locator("#said")).to_contain_text("Filled in from the film")
    operator, decider = (
        page.locator(f"#entry [name={name}]") for name in ("operator", "decided_by")
    )
    expect(operator).to_be_focused()
    expect(operator).to_have_value("")
    page.keyboard.type("S2")
    expect(operator).to_have_value("S2")
    expect(page.locator("#view-keys input:checked")).to_have_value("left-premolar")
    expect(decider).to_have_value("")
    page.keyboard.press("Enter")
    expect(page.locator("#wrong")).to_contain_text("decided_by is missing")
    expect(decider).to_be_focused()
    page.keyboard.type("T3")
    page.keyboard.press("Enter")
    expect(page.locator("#said")).to_contain_text("Exposure saved as entry")
    expect(page.locator("#list")).to_contain_text("left premolar")


def test_what_is_wrong_is_told_beside_the_form(visit: Visit) -> None:
    visit.expected = "400"
    page = visit.go("/record/log")
    page.keyboard.type("S 12")
    page.locator("#view-keys input").first.focus()
    page.keyboard.type("1aaxx")
    expect(page.locator("#fault-said")).to_contain_text("No fault has the letters xx.")
    page.keyboard.press("Enter")
    expect(page.locator("#wrong")).to_contain_text("'S 12' is not allowed as operator")
    expect(page.locator("#entry [name=operator]")).to_be_focused()
