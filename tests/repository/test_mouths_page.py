"""docs/mouths.md tells of the mouths that are drawn now."""

from builders.mouths_page import PAGE, fingerprint


def test_the_page_was_written_for_these_mouths() -> None:
    page = PAGE.read_text(encoding="utf-8")
    assert f"`{fingerprint()}`" in page, "run `python -m builders.mouths_page`"
