"""docs/mouths.md tells of the mouths that are drawn now."""

from bitewright.mouth.outlines import build_outlines
from bitewright.mouth.standard_mouth import standard_mouth
from builders.mouths_page import CONTACTS, PAGE, contact_name, fingerprint

RENEW = "run `python -m builders.mouths_page`"


def test_the_page_was_written_for_these_mouths() -> None:
    page = PAGE.read_text(encoding="utf-8")
    assert f"`{fingerprint()}`" in page, RENEW


def test_the_page_tells_where_the_standard_mouths_contacts_are_open() -> None:
    page, site = PAGE.read_text(encoding="utf-8"), build_outlines(standard_mouth()).site
    for upper, place in CONTACTS:
        code = (10 if upper else 40) + place
        open_deg = site[code, code + 1].open_azimuth_deg
        assert f"| {contact_name((upper, place))} | {open_deg:.1f} | " in page, RENEW
