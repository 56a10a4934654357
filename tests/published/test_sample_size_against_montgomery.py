"""Sample sizes against Montgomery and Runger, and Fleiss."""

from bitewright.audit.sample_size import images_for_change, images_for_margin
from tests.published.against import check, read_source

SOURCE = read_source("montgomery_runger_sample_size")
MARGINS = ((12, 5), (50, 5), (5, 2), (5, 3), (10, 5), (95, 5), (50, 10))
CHANGES = ((10, 5), (15, 5), (20, 10), (65, 50))


def computed() -> dict[str, float]:
    return {
        f"images to know {p}% within {e} points": images_for_margin(p / 100, e / 100)
        for p, e in MARGINS
    } | {
        f"images in each group to tell {p}% from {q}%": images_for_change(p / 100, q / 100)
        for p, q in CHANGES
    }


def test_agrees_with_the_source() -> None:
    check(SOURCE, computed())
