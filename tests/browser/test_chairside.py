"""The one question of the chairside: seen, answered by keyboard, kept, and taken back."""

import json
from pathlib import Path

from playwright.sync_api import Page, Route, expect

from bitewright.explanation.chairside_answers import ChairsideQuestion
from bitewright.words.chairside import CHAIRSIDE_QUESTIONS, WHY_ASKED
from tests.browser.conftest import Visit, wait_until
from tests.browser.test_light_box import box, rendered

__all__ = ["box", "rendered"]

LOW = ChairsideQuestion.LOW


def asking(route: Route) -> None:
    """The server's explanation, with a question in it."""
    told = route.fetch()
    said = told.json()
    words = {"words": CHAIRSIDE_QUESTIONS[LOW], "why": WHY_ASKED}
    said["answer"]["asked"] = {"question": LOW.value, **words}
    route.fulfill(response=told, body=json.dumps(said))


def test_a_question_is_answered_by_keyboard_and_taken_back(
    box: Page, visit: Visit, rendered: tuple[Path, Path]
) -> None:
    box.route("**/explanation?*", asking)
    question = box.locator(".chairside[data-question=low]")
    expect(question).to_be_hidden()
    box.set_input_files("#load-marks", rendered[1])
    expect(question).to_be_visible()
    expect(question.get_by_label("not known")).to_be_checked()
    expect(box.locator(".chairside:visible")).to_have_count(1)
    expect(box.locator("#chairside-why")).to_have_text(WHY_ASKED)
    assert visit.findings() == []

    def kept() -> object:
        (film,) = box.request.get(f"{visit.origin}/light-box/films").json()
        return film["marks"].get("answers")

    question.get_by_label("not known").focus()
    box.keyboard.press("ArrowRight")  # round to the first
    wait_until(box, lambda: kept() == {"low": True})
    expect(question.get_by_label("yes")).to_be_focused()
    box.keyboard.press("ArrowRight")
    wait_until(box, lambda: kept() == {"low": False})
    box.keyboard.press("ArrowRight")
    wait_until(box, lambda: kept() is None)
    expect(question.get_by_label("not known")).to_be_focused()
    expect(question).to_be_visible()
    assert visit.complaints == []


def test_why_it_is_asked_goes_with_the_question(
    box: Page, visit: Visit, rendered: tuple[Path, Path]
) -> None:
    """It stayed while marks had been changed and only the quick reading was of them."""
    explained: list[Route] = []

    def once(route: Route) -> None:
        explained.append(route)
        if len(explained) == 1:
            asking(route)  # the later ones are on their way for ever

    box.route("**/explanation?*", once)
    box.set_input_files("#load-marks", rendered[1])
    question, why = box.locator(".chairside[data-question=low]"), box.locator("#chairside-why")
    expect(question).to_be_visible()
    expect(why).to_be_visible()
    with box.expect_response("**/reading?*"):
        box.locator("#receptor").select_option("")
    wait_until(box, lambda: len(explained) == 2)
    expect(why).to_be_hidden()
    expect(question).to_be_hidden()
    assert visit.complaints == []


def test_a_holder_without_a_ring_takes_what_was_answered_of_rim_and_ring_away(
    box: Page, visit: Visit, rendered: tuple[Path, Path]
) -> None:
    """The server refuses the two together: marks set since would be lost."""
    film = f"{visit.origin}/light-box/films"

    def marks() -> dict[str, object]:
        (only,) = box.request.get(film).json()
        kept: dict[str, object] = only["marks"]
        return kept

    box.route("**/explanation?*", asking)
    box.set_input_files("#load-marks", rendered[1])
    box.locator(".chairside[data-question=low]").get_by_label("yes").check()
    wait_until(box, lambda: marks().get("answers") == {"low": True})
    box.evaluate(
        """() => {
        const gap = document.querySelector(".chairside[data-question=gap-along] input[value=yes]");
        gap.checked = true;
        gap.dispatchEvent(new Event("change"));
        }"""
    )
    wait_until(box, lambda: marks().get("answers") == {"low": True, "gap-along": True})
    box.locator("#holder").select_option("tab")
    wait_until(box, lambda: marks().get("holder") == "tab")
    assert marks()["answers"] == {"low": True}
    assert "rim_flush" not in marks()
    expect(box.locator("#say")).to_contain_text("This holder has no ring")
    assert visit.complaints == []
