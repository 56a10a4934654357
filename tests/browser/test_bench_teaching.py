"""The bench as a class sees it: all on one screen, a film enlarged, faults to order, a hall."""

import re

import pytest
from playwright.sync_api import Page, expect

from tests.browser.conftest import LAPTOP, Visit, spilling
from tests.browser.test_bench import at_rest, film_sum, number, opened, states


def bottom(page: Page, part: str) -> float:
    box = page.locator(part).bounding_box()
    assert box is not None
    return box["y"] + box["height"]


def test_criteria_and_rating_are_on_the_first_screen(visit: Visit) -> None:
    page = opened(visit)
    for part in ("#criteria li", ".findings .grade", "#contacts tbody tr"):
        assert bottom(page, f"{part} >> nth=-1") <= LAPTOP["height"], part


def test_what_is_said_never_pushes_the_page(visit: Visit) -> None:
    page = opened(visit)
    before = page.locator("#on-bench").bounding_box()
    page.locator("#lingual_mm").fill("39")
    expect(page.locator("#say")).to_contain_text("larger than the mouth allows")
    assert page.locator("#on-bench").bounding_box() == before
    fits = "at => at.scrollHeight <= at.clientHeight + 1"
    assert page.locator("#say").evaluate(fits), "and all of it can be read"


def test_a_kept_film_is_enlarged_on_wish(visit: Visit) -> None:
    page = opened(visit)
    page.locator("#keep").click()
    small = page.locator("#kept-film").bounding_box()
    button = page.get_by_role("button", name="Enlarge the kept film")
    button.click()
    large = page.locator("#kept-film").bounding_box()
    assert small is not None
    assert large is not None
    assert large["height"] > 2.5 * small["height"]
    expect(page.locator("#film")).to_be_hidden()
    expect(page.locator(".film .grade")).to_be_hidden()  # which is of the other film
    assert visit.findings() == []
    page.keyboard.press("Escape")
    expect(page.locator("#film")).to_be_visible()
    page.keyboard.press("l")
    expect(page.locator("#kept-film")).to_be_hidden()
    expect(page.locator("#film")).to_be_visible()


@pytest.mark.parametrize("dress", ["dark", "light"])
def test_in_a_hall_film_and_letters_are_large(visit: Visit, dress: str) -> None:
    page = opened(visit)
    if dress == "light":
        page.locator("#dress").click()
    page.set_viewport_size({"width": 1920, "height": 1080})
    page.keyboard.press("p")
    for part in ("#criteria li", "#contacts td", "#say"):
        size = page.locator(part).first.evaluate("at => parseFloat(getComputedStyle(at).fontSize)")
        assert size >= 18, part
    film = page.locator("#film").bounding_box()
    assert film is not None
    assert film["height"] >= 540, "half of the screen's height"
    assert bottom(page, "#criteria li >> nth=-1") <= 1080
    assert visit.findings() == []
    assert spilling(page) == []
    page.keyboard.press("k")
    expect(page.locator("#kept")).to_be_visible()
    assert spilling(page) == []
    page.keyboard.press("Escape")
    expect(page.locator("#settings")).to_be_visible()


def test_so_many_degrees_further_forward_than_the_plan_is_one_entry(visit: Visit) -> None:
    page = opened(visit, "/bench?vertical_deg=9")
    page.locator("#further").fill("10")
    page.locator("#further").press("Enter")
    expect(page.locator("#ring_offset_deg-room")).to_be_visible()
    at_rest(page)
    assert number(page, "vertical_deg") != 9.0, "all else is as planned"
    page.keyboard.press("Escape")
    page.locator("#say").focus()
    swung = number(page, "ring_offset_deg")
    page.keyboard.press("b")
    expect(page.locator("#further")).to_have_value("0")
    assert swung - number(page, "ring_offset_deg") == 10.0
    page.locator("#further").fill("-4")
    at_rest(page)
    assert number(page, "ring_offset_deg") == swung - 14.0
    assert (
        "unreadable" in states(page).values() or "overlapped but readable" in states(page).values()
    )


def test_exposure_display_faults_and_fillings_of_the_film_can_be_chosen(visit: Visit) -> None:
    page = opened(visit, "/bench?receptor=plate-2")
    films = {film_sum(page)}
    page.locator(".handling summary").click()
    assert visit.findings() == []

    def changed() -> None:
        at_rest(page)
        films.add(film_sum(page))

    page.locator("#mas").fill("0.4")
    changed()
    page.locator("#look").select_option("crisp")
    changed()
    page.get_by_label("cone cut, round beam").check()
    changed()
    page.get_by_label("bent").check()
    changed()
    assert len(films) == 5
    expect(page.locator("#handling-words")).to_have_text("0.4 mAs, crisp, 2 faults")
    for part in ("mas=0.4", "look=crisp", "fault=cone-cut-round", "fault=bent"):
        assert part in page.url
    last = film_sum(page)
    page.reload()
    at_rest(page)
    assert film_sum(page) == last
    page.locator("#choose-fillings").select_option("restored")
    changed()
    assert len(films) == 6
    page.locator("#choose-receptor").select_option("sensor-2")
    at_rest(page)
    page.locator(".handling summary").click()
    expect(page.get_by_label("bent")).to_be_disabled()
    expect(page.locator("#handling-words")).to_have_text("0.4 mAs, crisp, 1 fault")


def test_question_and_scheme_are_chosen_and_explained_where_they_stand(visit: Visit) -> None:
    page = opened(visit, "/bench?ring_offset_deg=20")
    expect(page.locator(".findings .grade")).to_have_text("Rating N (UK 2020)")
    page.locator("#scheme").select_option("uk-2001")
    expect(page.locator(".findings .grade")).to_have_text("Rating 3 (UK 2001)")
    page.locator("#question").select_option("bone-level")
    expect(page.locator(".findings .grade")).not_to_have_text("Rating 3 (UK 2001)")
    at_rest(page)
    assert "scheme=uk-2001" in page.url
    assert "question=bone-level" in page.url
    page.locator(".explained summary").click()
    expect(page.locator(".explained .panel")).to_contain_text("diagnostically acceptable (A)")
    expect(page.locator(".explained .panel")).to_contain_text("0.1 mm")
    assert visit.findings() == []
    page.go_back()
    expect(page.locator("#question")).to_have_value("enamel-caries")
    visit.go("/catalogue")
    expect(page.locator("#scheme")).to_have_value("uk-2001")
    visit.go("/bench?scheme=uk-2020")
    expect(page.locator("#scheme")).to_have_value("uk-2020")


DRAWN = """() => {
  const parts = ["#above .tooth.upper", "#side .tooth.upper", "#side text", "#above text"];
  return parts.map((part) => {
    const at = getComputedStyle(document.querySelector(part));
    return [part, at.fill, at.stroke];
  });
}"""


def test_forced_colours_keep_teeth_and_numbers(visit: Visit) -> None:
    page = opened(visit)
    page.emulate_media(forced_colors="active")
    ground = page.locator("#above").evaluate("at => getComputedStyle(at).backgroundColor")
    for part, fill, stroke in page.evaluate(DRAWN):
        seen = fill if "text" in part else stroke
        assert seen not in {ground, "none"}, (part, fill, stroke, ground)
        if "text" not in part:
            assert fill == ground, "a number can be read on it"


def test_on_a_phone_axe_finds_nothing_and_nothing_spills(visit: Visit) -> None:
    visit.page.set_viewport_size({"width": 390, "height": 844})
    page = opened(visit)
    assert visit.findings() == []
    page.locator("#keep").click()
    expect(page.locator("#kept")).to_be_visible()
    page.locator(".explained summary").click()
    explained = page.locator(".explained .panel").bounding_box()
    assert explained is not None
    assert explained["x"] >= 0
    assert visit.findings() == []
    assert page.evaluate("document.documentElement.scrollWidth") <= 390
    assert spilling(page) == []
    expect(page.locator("#say")).to_have_text(re.compile(r"\w"))
