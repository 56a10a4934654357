"""Drawings in a browser that has none of their typefaces: not a letter is cut off."""

import pytest
from playwright.sync_api import Browser

from bitewright.explanation.correction import Part
from bitewright.report.correction_drawing import correction_drawing
from bitewright.report.svg import FONT, svg_of
from tests.sample_corrections import sample, unsure

WIDEST = "DejaVu Serif"

CUT_OFF = """() => [...document.querySelectorAll("text")].filter((text) => {
  const box = text.getBoundingClientRect();
  const room = text.nearestViewportElement.getBoundingClientRect();
  const isBeside = box.left < room.left || box.right > room.right;
  return isBeside || box.top < room.top || box.bottom > room.bottom;
}).map((text) => text.textContent)"""


@pytest.mark.parametrize("view_name", ["right-premolar", "left-molar", "right-molar-vertical"])
def test_every_word_of_a_correction_is_within_its_drawing(browser: Browser, view_name: str) -> None:
    page = browser.new_page()
    off = sample(
        view_name, swing_deg=10, vertical_deg=9, forward_mm=-4.0, height_mm=2.0, roll_deg=6
    )
    cannot_tell = unsure(off.correction, Part.SWING, value=3.0, spread=9.0)
    for correction in (off.correction, cannot_tell):
        drawn = correction_drawing(correction, present=off.present, plan=off.plan)
        page.set_content(svg_of(drawn).replace(FONT, WIDEST))
        assert page.locator("text").count() > 10
        assert page.evaluate(CUT_OFF) == []
    page.close()
