"""The real film marked whole at the zoom it opens with: by pointer, by keyboard, by touch."""

import json
from collections.abc import Callable, Iterator
from pathlib import Path
from typing import Any

import numpy as np
import pytest
from playwright.sync_api import Browser, Page, expect

from bitewright.marking.mark_order import mark_order
from bitewright.quality.views import view
from bitewright.tasks.light_box.usual_marks import usual_marks
from tests.browser.conftest import Server, Visit, wait_until
from tests.browser.marking import Marker, Place, by_finger, by_keys, by_pointer, kept_marks

pytestmark = pytest.mark.realdata
VIEW = "right-premolar"
MOST_KEYS = 6.0
Record = Callable[[str, object], None]
TABLET = {"width": 1024, "height": 768}


@pytest.fixture(scope="module")
def places(repository: Path) -> dict[str, Place | None]:
    """Where every wanted mark lies: as three readers put it; where they put none, as theirs say."""
    path = repository / "tests" / "realdata" / "open-bitewing.marks.json"
    given = json.loads(path.read_text(encoding="utf-8"))["marks"]
    usual: dict[str, Place] = usual_marks(VIEW)["places_mm"]
    return {name: place_of(name, given, usual) for name in mark_order(view(VIEW))}


def place_of(name: str, given: dict[str, Any], usual: dict[str, Place]) -> Place | None:
    mark = given.get(name, {})
    if mark.get("status") == "outside":
        return None
    if "x_px" in mark:
        return mark["x_px"], mark["y_px"]
    arch = [
        each
        for each, of in given.items()
        if each in usual and "x_px" in of and (each < "3") == (name < "3")
    ]
    from_usual = np.array([[*usual[each], 1.0] for each in arch])
    on_film = np.array([[given[each]["x_px"], given[each]["y_px"]] for each in arch])
    fitted = np.linalg.lstsq(from_usual, on_film, rcond=None)[0]
    x, y = np.array([*usual[name], 1.0]) @ fitted
    return (float(x), float(y)) if 0 < x < 1356 and 0 < y < 1030 else None


@pytest.fixture
def opened(visit: Visit, shared_data: Path) -> Iterator[Page]:
    page = visit.go("/light-box")
    yield open_film(page, shared_data)
    take_off(page)


def open_film(page: Page, shared_data: Path) -> Page:
    page.set_input_files("#files", shared_data / "real" / "bitewing_single_mit" / "bitewing.png")
    expect(page.locator("#film-name")).to_have_text("bitewing")
    expect(page.locator("#next")).to_contain_text("Choose the view")
    page.locator("#view").select_option(VIEW)
    expect(page.locator("#next")).to_have_attribute("data-name", "13.distal")
    page.locator("#snap").click()  # where each mark was put is what is looked at here
    expect(page.locator("#teeth")).to_be_visible()
    return page


def take_off(page: Page) -> None:
    page.on("dialog", lambda dialog: dialog.accept())
    page.locator("#remove-film").click()
    expect(page.locator("#places li")).to_have_count(0)


def check(marker: Marker, hand: str, tolerance_px: float, record: Record) -> None:
    """Every mark kept under its own name."""
    wanted = marker.places
    wait_until(marker.page, lambda: len(kept_marks(marker.page)) == len(wanted))
    kept = kept_marks(marker.page)
    wrong = [name for name, where in wanted.items() if not lies(kept[name], where, tolerance_px)]
    seen = [marker.acts_of[name] for name, where in wanted.items() if where is not None]
    acts_of_seen = float(np.mean(seen))
    told = {"marks": len(kept), "wrong": len(wrong), "acts": marker.acts, "of seen": acts_of_seen}
    for what, figure in told.items():
        record(f"{hand}: {what}", figure)
    assert wrong == []


def lies(mark: dict[str, Any], where: Place | None, tolerance_px: float) -> bool:
    if where is None:
        return bool(mark["status"] == "outside")
    return max(abs(mark["x_px"] - where[0]), abs(mark["y_px"] - where[1])) <= tolerance_px


def test_by_pointer(opened: Page, places: dict[str, Place | None], record_property: Record) -> None:
    marker = Marker(page=opened, places=places)
    marker.mark_all(by_pointer)
    check(marker, "pointer", 2.5, record_property)
    assert marker.acts == len(places)


def test_by_keyboard(
    opened: Page, places: dict[str, Place | None], record_property: Record
) -> None:
    opened.locator("#stage").focus()
    marker = Marker(page=opened, places=places)
    marker.mark_all(by_keys)
    check(marker, "keyboard", 5.5, record_property)
    assert marker.acts <= MOST_KEYS * len(places)


def test_by_touch(
    browser: Browser,
    server: Server,
    let_in: dict[str, object],
    shared_data: Path,
    places: dict[str, Place | None],
    record_property: Record,
) -> None:
    context = browser.new_context(storage_state=let_in, viewport=TABLET, has_touch=True)  # type: ignore[arg-type]
    made = Visit(context, server.origin)
    page = open_film(made.go("/light-box"), shared_data)
    page.locator("#stage").scroll_into_view_if_needed()
    marker = Marker(page=page, places=places)
    marker.mark_all(by_finger(context.new_cdp_session(page), (678.0, 515.0)))
    check(marker, "touch", 3.5, record_property)
    take_off(page)
    context.close()
    assert made.complaints == []
