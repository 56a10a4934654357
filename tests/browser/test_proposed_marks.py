"""Proposed marks in a browser, by keyboard alone: asked for, looked at, then confirmed."""

import json
import re
from collections.abc import Iterator

import pytest
from playwright.sync_api import Dialog, Page, ViewportSize, expect

from tests.browser.conftest import Visit, spilling, wait_until
from tests.browser.marking import is_all_kept, kept_document, kept_marks

PHONE: ViewportSize = {"width": 390, "height": 844}
DESK: ViewportSize = {"width": 1280, "height": 800}


@pytest.fixture
def sample(visit: Visit) -> Iterator[Page]:
    """The simulated sample film on the stage."""
    page = visit.go("/light-box")
    page.locator("#sample").press("Enter")
    expect(page.locator("#film-name")).to_have_text("sample film (simulated)")
    yield page
    page.set_viewport_size(DESK)
    page.once("dialog", lambda dialog: dialog.accept())
    page.locator("#remove-film").click()
    expect(page.locator("#places li")).to_have_count(0)


def states(page: Page) -> set[str]:
    return {mark.get("state", "") for mark in kept_marks(page).values()}


def in_the_middle_from_near(page: Page, width_before: float) -> None:
    """The mark in focus stands in the middle of the stage, the film larger than before."""
    assert width_of(page) > 1.5 * width_before
    ring = page.locator("#marks g.mark:focus circle").bounding_box()
    stage = page.locator("#stage").bounding_box()
    assert ring is not None
    assert stage is not None
    x, y = ring["x"] + ring["width"] / 2, ring["y"] + ring["height"] / 2
    assert x == pytest.approx(stage["x"] + stage["width"] / 2, abs=3.0)
    assert y == pytest.approx(stage["y"] + stage["height"] / 2, abs=3.0)


def width_of(page: Page) -> float:
    wide: float = page.locator("#picture").evaluate("at => at.getBoundingClientRect().width")
    return wide


def is_asked_before_marks_are_replaced(page: Page) -> bool:
    asked: list[str] = []

    def refuse(dialog: Dialog) -> None:
        asked.append(dialog.message)
        dialog.dismiss()

    page.once("dialog", refuse)
    page.keyboard.press("p")
    return len(asked) == 1


def test_a_film_is_proposed_looked_at_and_confirmed_by_keyboard(sample: Page, visit: Visit) -> None:
    page, keys = sample, sample.keyboard
    expect(page.locator("#propose")).to_be_hidden()
    page.locator("#view").focus()
    keys.type("right premolar")
    expect(page.locator("#propose")).to_be_visible()
    page.locator("#stage").focus()
    keys.press("p")
    proposed, doubted, confirmed, corrected = (
        page.locator(f"#marks g.mark.{state}")
        for state in ("proposed", "doubted", "confirmed", "corrected")
    )
    answer, rest = page.locator("#answer"), page.locator("#confirm-rest")
    expect(page.locator("#proposed-acts")).to_be_visible()
    total, doubts = proposed.count(), doubted.count()
    assert 2 < doubts < total, "one is moved, one confirmed, one as it lies by another key"
    expect(answer).to_contain_text(f"Left: {doubts} doubted mark")
    expect(page.locator("#log-film")).to_be_hidden()
    expect(rest).to_be_disabled()

    before = width_of(page)
    keys.press("d")
    focused = page.locator("#marks g.mark:focus")
    expect(focused).to_have_attribute("aria-label", re.compile("proposed, doubted: "))
    expect(page.locator("#next")).to_contain_text("Enter says that it lies right")
    in_the_middle_from_near(page, before)
    for size in (PHONE, DESK):
        page.set_viewport_size(size)
        assert visit.findings() + spilling(page) == []
    focused.press("ArrowRight")
    expect(corrected).to_have_count(1)
    focused.press("u")
    expect(doubted).to_have_count(doubts)
    focused.press("ArrowLeft")
    expect(corrected).to_have_count(1)
    keys.press("d")
    for left in range(doubts - 2, -1, -1):
        keys.press("Enter" if left % 2 else "a")
        expect(doubted).to_have_count(left)
    numbers = page.locator("#numbers-right")
    expect(numbers).to_be_focused()
    expect(numbers).to_have_text(
        re.compile(r"The numbers are right: 1\d to 1\d above, 4\d to 4\d below")
    )
    expect(rest).to_be_disabled()
    assert visit.findings() == []
    keys.press("Enter")
    expect(numbers).to_be_hidden()
    expect(rest).to_be_focused()
    keys.press("Enter")
    expect(confirmed).to_have_count(total - 1)
    expect(page.locator("#contacts tbody tr")).to_have_count(6)
    expect(answer).not_to_contain_text("Not before")
    expect(page.locator("#log-film")).to_be_visible()
    assert states(page) == {"confirmed", "corrected"}
    assert is_asked_before_marks_are_replaced(page)
    keys.press("u")
    expect(proposed).to_have_count(total - doubts)
    assert visit.findings() == []


def test_what_was_proposed_is_kept_whatever_a_person_makes_of_it(sample: Page) -> None:
    page, keys = sample, sample.keyboard
    page.locator("#view").focus()
    keys.type("right premolar")
    page.locator("#stage").focus()
    keys.press("p")
    proposed = page.locator("#marks g.mark.proposed")
    expect(page.locator("#proposed-acts")).to_be_visible()
    total, doubts = proposed.count(), page.locator("#marks g.mark.doubted").count()
    wait_until(page, lambda: "proposed" in kept_document(page))
    first = kept_document(page)["proposed"]
    assert (len(first["marks"]), len(first["doubted"])) == (total, doubts)
    keys.press("d")
    keys.press("Delete")
    expect(proposed).to_have_count(total - 1)
    wait_until(page, lambda: len(kept_marks(page)) == total - 1)
    assert kept_document(page)["proposed"] == first
    for left in (total, 0):
        page.locator("#stage").focus()
        keys.press("u")
        expect(proposed).to_have_count(left)
    wait_until(page, lambda: not kept_marks(page))
    assert "proposed" not in kept_document(page), "what was taken back was not proposed"


def codes(page: Page, arches: str = "1") -> list[int]:
    """Teeth of the marks on the stage, of some quadrants."""
    names = page.locator("#marks g.mark").evaluate_all("all => all.map(at => at.dataset.name)")
    return sorted({int(name[:2]) for name in names if name[0] in arches})


def test_a_number_that_is_corrected_takes_its_neighbours_along_and_a_side_every_mark(
    sample: Page, visit: Visit
) -> None:
    page, keys = sample, sample.keyboard
    page.locator("#view").focus()
    keys.type("right premolar")
    page.locator("#stage").focus()
    keys.press("p")
    expect(page.locator("#proposed-acts")).to_be_visible()
    expect(page.locator("#tooth-number-row")).to_be_hidden()
    before = codes(page)
    keys.press("d")
    number = page.locator("#tooth-number")
    expect(number).to_be_visible()
    first = int(number.input_value())
    if first > 20:
        page.locator(f'#marks g.mark[data-name^="{before[1]}"]').first.focus()
        first = before[1]
    number.select_option(str(first + 1))
    expect(page.locator("#say")).to_contain_text(f"Tooth {first} is now {first + 1}, and")
    assert codes(page) == [code + 1 for code in before]
    for size in (PHONE, DESK):
        page.set_viewport_size(size)
        assert visit.findings() + spilling(page) == []
    page.locator("#stage").focus()
    keys.press("u")
    assert codes(page) == before
    page.locator("#view").select_option("left-premolar")
    expect(page.locator("#say")).to_contain_text("other side's numbers")
    assert codes(page, "14") == []
    assert codes(page, "2") == [code + 10 for code in before]
    page.locator("#stage").focus()
    keys.press("u")
    expect(page.locator("#view")).to_have_value("right-premolar")
    assert codes(page) == before
    assert codes(page, "23") == []


def test_a_tooth_said_to_be_missing_is_numbered_by_and_taken_back(
    sample: Page, visit: Visit
) -> None:
    """A space that has closed looks like none: the teeth behind it are named one place off."""
    page, keys = sample, sample.keyboard
    page.locator("#view").focus()
    keys.type("right premolar")
    page.locator("#stage").focus()
    keys.press("p")
    expect(page.locator("#proposed-acts")).to_be_visible()
    before = codes(page)
    assert 15 in before
    expect(page.locator("#marks text")).not_to_have_count(0)
    page.locator("#missing-tooth").select_option("15")
    expect(page.locator("#numbers-right")).to_contain_text("15 is missing")
    assert 15 not in codes(page)
    wait_until(page, lambda: kept_document(page).get("absent_teeth") == [15])
    assert {mark["state"] for mark in kept_marks(page).values()} == {"proposed"}
    assert visit.findings() + spilling(page) == []
    page.locator("#stage").focus()
    keys.press("u")
    assert codes(page) == before
    expect(page.locator("#missing-teeth")).to_be_hidden()
    wait_until(page, lambda: "absent_teeth" not in kept_document(page))


def test_who_says_that_the_numbers_are_right_says_that_a_tooth_without_marks_is_missing(
    sample: Page,
) -> None:
    page, keys = sample, sample.keyboard
    page.locator("#view").select_option("right-premolar")
    marks = {
        name: {"x_px": x, "y_px": 300.0, "state": "proposed"}
        for name, x in {"14.distal": 500.0, "16.mesial": 300.0, "45.mesial": 450.0}.items()
    }
    load_marks(page, marks)
    numbers = page.locator("#numbers-right")
    expect(numbers).to_have_text("The numbers are right, 15 is missing: 14 to 16 above, 45 below")
    page.locator("#stage").focus()
    keys.press("d")
    expect(numbers).to_be_focused()
    keys.press("Enter")
    expect(page.locator("#say")).to_contain_text("15 is missing: where one stands after all")
    wait_until(page, lambda: kept_document(page).get("absent_teeth") == [15])
    page.get_by_role("button", name="15 stands after all").click()
    wait_until(page, lambda: "absent_teeth" not in kept_document(page))


def test_a_key_leads_to_the_decision_once_there_is_something_to_decide_on(sample: Page) -> None:
    page = sample
    row = page.locator("#decide-row")
    expect(row).to_be_hidden()
    page.locator("#view").select_option("right-premolar")
    expect(row).to_be_visible()
    page.locator("#stage").press("k")
    expect(page.locator("#decision input[value=undecided]")).to_be_focused()
    load_marks(page, {"14.distal": {"x_px": 500.0, "y_px": 300.0, "state": "proposed"}})
    expect(row).to_be_hidden()
    wait_until(page, lambda: "14.distal" in kept_marks(page))
    wait_until(page, lambda: is_all_kept(page))
    page.reload()
    expect(page.locator("#numbers-right")).to_be_visible()
    page.locator("#stage").press("u")
    expect(page.locator("#say")).to_contain_text("there is nothing to undo")


def load_marks(page: Page, marks: dict[str, dict[str, object]]) -> None:
    """As a file of this very film would bring them."""
    film = page.evaluate("fetch('/light-box/films').then(r => r.json())")[-1]
    image = {"file": "film", "columns": film["columns"], "rows": film["rows"]}
    document = {
        "format": "bitewright.marks/1",
        "image": image,
        "view": "right-premolar",
        "marks": marks,
    }
    content = json.dumps(document).encode()
    page.locator("#load-marks").set_input_files(
        {"name": "marks.json", "mimeType": "application/json", "buffer": content}
    )


def test_what_is_said_of_a_whole_film_is_said_again_when_the_page_is_loaded_anew(
    sample: Page,
) -> None:
    page = sample
    page.locator("#view").select_option("right-molar")
    page.locator("#stage").focus()
    page.keyboard.press("p")
    said = page.locator("#film-doubtful")
    expect(said).to_contain_text("The teeth look like a right premolar view; it stays right molar")
    wait_until(page, lambda: "likely_view" in kept_document(page).get("proposed", {}))
    first = said.inner_text()
    wait_until(page, lambda: is_all_kept(page))
    page.reload()
    expect(said).to_have_text(first)
    page.locator("#view").select_option("right-premolar")
    expect(said).not_to_contain_text("The teeth look like")
    wait_until(page, lambda: is_all_kept(page))
