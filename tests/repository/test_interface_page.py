"""The page on the interface is complete and true."""

from builders.interface_page import PAGE, interface_page


def test_the_page_is_what_the_pages_say_of_themselves() -> None:
    written = PAGE.read_text(encoding="utf-8")
    assert written == interface_page(), "docs/interface.md is out of date: run `make docs`"
