"""A decision at the gate, signed on the page by hand: in the log once, refused in one sentence."""

import re
from collections.abc import Iterator
from urllib.parse import urlencode

import numpy as np
import pytest
from playwright.sync_api import Browser, Locator, Page, expect

from bitewright.files.images import film_picture
from bitewright.files.marks_file import marks_to_document
from tests.browser.conftest import LAPTOP, Server, Visit
from tests.unit.visit.marked import COLUMNS, PIXEL_MM, ROWS, film, mirrored

STATED = {"purpose": "pain at 45", "cause": "tube too far forward", "change": "tube back"}
EXPOSE, DO_NOT = re.compile("^Expose once more"), re.compile("^Do not expose")
HISTORY = "Decision at the gate of a visit"


@pytest.fixture(scope="module")
def practice(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Server]:
    """A server with a log of its own, which is empty."""
    running = Server(tmp_path_factory.mktemp("practice"))
    yield running
    running.end()


@pytest.fixture(scope="module")
def let_in_here(browser: Browser, practice: Server) -> dict[str, object]:
    context = browser.new_context()
    page = context.new_page()
    page.goto(practice.start)
    for visit in ("seen", "taught"):
        lay_visit(page, practice.origin, visit)
    state = context.storage_state()
    context.close()
    return {"cookies": state["cookies"]}


def lay_visit(page: Page, origin: str, visit: str) -> None:
    """Four marked films of one day; on the first 44-45 is closed."""
    films = (
        film("right-premolar", {"44-45": 1.2}),
        film("right-molar"),
        mirrored(film("right-premolar")),
        mirrored(film("right-molar")),
    )
    for number, each in enumerate(films):
        level = 20_000 + number + 100 * len(visit)  # no two films are one image
        pixels = np.full((ROWS, COLUMNS), level, dtype=np.uint16)
        query = urlencode({"label": f"film {number}", "visit": visit, "looked_at": "true"})
        made = page.request.put(
            f"{origin}/light-box/films?{query}",
            data=film_picture(pixels, description="SIMULATED"),
            headers={"origin": origin},
        )
        assert made.status == 201, made.text()
        kept = made.json()
        document = marks_to_document(each.marks)
        marks = {name: document[name] for name in ("view", "marks", "mark_sd_mm")}
        marks["pixel_mm"] = PIXEL_MM
        told = page.request.put(
            f"{origin}/light-box/films/{kept['id']}/marks",
            data={"version": kept["marks_version"], "marks": marks},
            headers={"origin": origin},
        )
        assert told.ok, told.text()


@pytest.fixture
def at_gate(browser: Browser, practice: Server, let_in_here: dict[str, object]) -> Iterator[Visit]:
    context = browser.new_context(
        storage_state=let_in_here,  # type: ignore[arg-type]
        viewport=LAPTOP,
        color_scheme="dark",
    )
    made = Visit(context, practice.origin)
    yield made
    context.close()
    unforeseen = [line for line in made.complaints if made.expected not in line]
    assert not unforeseen, unforeseen


def form_of(page: Page) -> Locator:
    return page.locator("form.signed[data-address='/record/visit/decision']")


def logged(visit: Visit) -> set[str]:
    """The numbers of the exposures that the log has."""
    page = visit.go("/record/log")
    expect(page.locator("#list-said")).not_to_be_empty()
    return {str(each.get_attribute("data-open")) for each in page.locator("[data-open]").all()}


def history(visit: Visit, number: str) -> str:
    """What the log has of an exposure."""
    told = visit.page.request.get(f"{visit.origin}/record/log/exposures/{number}")
    assert told.ok
    return told.text()


def test_not_exposing_is_signed_and_is_in_the_log_once_however_often_it_is_pressed(
    at_gate: Visit,
) -> None:
    at_gate.expected = "400"  # told by the browser itself of what was refused
    page = at_gate.go("/light-box/visit?visit=seen")
    form = form_of(page)
    expect(form.get_by_role("radio", name=EXPOSE)).to_be_disabled()
    form.get_by_role("radio", name=DO_NOT).check()
    form.get_by_label("Who took the film (a code)").fill("T2")
    form.get_by_label("Signed by (a code)").fill("T1")
    press = form.get_by_role("button", name="Sign, and write it to the log")
    press.click()
    assert form.get_by_label("Reason").evaluate("at => at.matches(':invalid')")
    expect(form.locator(".told")).to_be_empty()
    form.get_by_label("Reason").fill("  ")
    press.click()
    expect(form.locator(".wrong")).to_have_text(re.compile("^A decision needs a reason .*[.]$"))
    expect(form.locator(".told")).to_be_empty()
    assert logged(at_gate) == set()

    page = at_gate.go("/light-box/visit?visit=seen")
    form = form_of(page)
    form.get_by_role("radio", name=DO_NOT).check()
    form.get_by_label("Reason").fill("recall in a year")
    form.get_by_label("Who took the film (a code)").fill("T2")
    form.get_by_label("Signed by (a code)").fill("T1")
    press = form.get_by_role("button", name="Sign, and write it to the log")
    press.dblclick()
    expect(form.locator(".told")).to_contain_text(re.compile("saved"))
    expect(press).to_be_enabled()
    press.click()
    expect(form.locator(".told")).to_contain_text("was saved before")
    assert at_gate.findings() == []
    (only,) = logged(at_gate)
    text = history(at_gate, only)
    assert text.count(HISTORY) == 1
    assert "recall in a year" in text
    assert "T1" in text


def test_exposing_is_signed_by_keyboard_and_for_a_students_film_by_somebody_else(
    at_gate: Visit,
) -> None:
    at_gate.expected = "400"
    before = logged(at_gate)
    page = at_gate.go(f"/light-box/visit?{urlencode({'visit': 'taught', **STATED})}")
    form = form_of(page)
    form.get_by_role("radio", name=EXPOSE).focus()
    page.keyboard.press("Space")
    page.keyboard.press("Tab")
    page.keyboard.type("45 hurts and no film shows it")
    page.keyboard.press("Tab")
    page.keyboard.type("S7")
    page.keyboard.press("Tab")
    page.keyboard.press("Space")
    page.keyboard.press("Tab")
    page.keyboard.type("S7")
    page.keyboard.press("Enter")
    expect(form.locator(".wrong")).to_contain_text("cannot sign for it: a supervisor signs")
    form.get_by_label("Signed by (a code)").fill("T1")
    page.keyboard.press("Enter")
    expect(form.locator(".told")).to_contain_text("saved as entry")
    assert form.locator(".wrong").inner_text() == ""
    (new,) = logged(at_gate) - before
    text = history(at_gate, new)
    assert text.count(HISTORY) == 1
    assert "45 hurts and no film shows it" in text
    assert "S7" in text
    page = at_gate.go("/light-box/visit?visit=taught")
    expect(page.locator(".visit-page")).to_contain_text("What came of exposure")
    assert at_gate.findings() == []
