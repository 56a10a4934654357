"""A person who knows where every mark of a film lies, and puts it there by hand or by keys."""

import json
from collections.abc import Callable
from dataclasses import dataclass, field
from typing import Any

from playwright.sync_api import CDPSession, Page, expect

Place = tuple[float, float]
NEAR_ENOUGH_PX = 5.0
"""0.15 mm on the real film, the standard deviation of a mark that states none."""


@dataclass(kw_only=True)
class Marker:
    """Marks a film whole; ``places`` has None for a mark that lies outside."""

    page: Page
    places: dict[str, Place | None]
    acts: int = 0
    acts_of: dict[str, int] = field(default_factory=dict)

    def mark_all(self, put: Callable[["Marker", Place], None]) -> None:
        """Do what the page asks for until it asks for nothing more."""
        while (name := self.wanted()) is not None:
            before = self.acts
            where = self.places[name]
            if where is None:
                self.press("o")
            else:
                put(self, where)
            expect(self.page.locator("#next")).not_to_have_attribute("data-name", name)
            self.acts_of[name] = self.acts - before

    def wanted(self) -> str | None:
        return self.page.locator("#next").get_attribute("data-name") or None

    def press(self, key: str) -> None:
        self.page.keyboard.press(key)
        self.acts += 1

    def on_screen(self, where: Place) -> Place:
        picture = self.page.locator("#picture").bounding_box()
        columns = self.page.locator("#picture").evaluate("at => at.width")
        assert picture is not None
        scale = picture["width"] / columns
        return picture["x"] + where[0] * scale, picture["y"] + where[1] * scale


def by_pointer(marker: Marker, where: Place) -> None:
    """One click."""
    x, y = marker.on_screen(where)
    marker.page.mouse.move(x - 20, y - 10)
    marker.page.mouse.move(x, y)
    marker.page.mouse.down()
    marker.page.mouse.up()
    marker.acts += 1


def by_keys(marker: Marker, where: Place) -> None:
    """Digits for fields, arrows where the fields do not reach, Enter."""
    while True:
        x, y, half = cross(marker.page)
        right, down = where[0] - x, where[1] - y
        if max(abs(right), abs(down)) <= NEAR_ENOUGH_PX:
            marker.press("Enter")
            return
        if abs(right) > half:
            marker.press("Shift+ArrowRight" if right > 0 else "Shift+ArrowLeft")
        elif abs(down) > half:
            marker.press("Shift+ArrowDown" if down > 0 else "Shift+ArrowUp")
        else:
            column, row = (round(1.5 * way / half) for way in (right, down))
            column, row = (max(-1, min(1, place)) for place in (column, row))
            marker.press(str(5 + column - 3 * row))


def cross(page: Page) -> tuple[float, float, float]:
    """Where the cross is and half the side of its nine fields, in pixels of the film."""
    told = page.locator("#stage").evaluate("at => [at.dataset.x, at.dataset.y, at.dataset.half]")
    x, y, half = (float(each) for each in told)
    return x, y, half


def by_finger(session: CDPSession, middle: Place) -> Callable[[Marker, Place], None]:
    """Put a finger down beside the place, towards the film's middle, slide to it, lift."""

    def put(marker: Marker, where: Place) -> None:
        x, y = marker.on_screen(where)
        middle_x, middle_y = marker.on_screen(middle)
        beside = 12.0 if middle_x > x else -12.0, 9.0 if middle_y > y else -9.0
        touch(session, "touchStart", (x + beside[0], y + beside[1]))
        touch(session, "touchMove", (x + beside[0] / 3, y + beside[1] / 3))
        touch(session, "touchMove", (x, y))
        touch(session, "touchEnd")
        marker.acts += 1

    return put


def touch(session: CDPSession, kind: str, *places: Place) -> None:
    """One touch event with a finger at each place."""
    points = [{"x": x, "y": y, "id": number} for number, (x, y) in enumerate(places)]
    session.send("Input.dispatchTouchEvent", {"type": kind, "touchPoints": points})


def is_all_kept(page: Page) -> bool:
    """Whether the server has answered for all marks set on a page."""
    return "drafts" not in page.evaluate("Object.keys(sessionStorage).join()")


def kept_document(page: Page) -> dict[str, Any]:
    """What the server has of the newest film's marks, with all that was said beside them."""
    films = json.loads(page.evaluate("fetch('/light-box/films').then(r => r.text())"))
    document: dict[str, Any] = films[-1]["marks"]
    return document


def kept_marks(page: Page) -> dict[str, Any]:
    """Marks that the server has of the newest film."""
    marks: dict[str, Any] = kept_document(page).get("marks", {})
    return marks
