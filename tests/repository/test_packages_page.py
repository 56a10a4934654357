"""The map of the packages is what the imports say, and its figures are not far off."""

import re

import pytest

from builders.package_drawing import needed
from builders.package_map import (
    DRAWING,
    PAGE,
    Package,
    below,
    layers_of_contract,
    package_drawing,
    package_page,
    packages,
)

FIGURE = re.compile(r"\d[\d,]*")
STALE = "run `make docs`"


@pytest.fixture(scope="module")
def page() -> str:
    return package_page(layers_of_contract(), packages())


def test_the_page_says_what_the_imports_say(page: str) -> None:
    written = PAGE.read_text(encoding="utf-8")
    assert FIGURE.sub("N", written) == FIGURE.sub("N", page), STALE


def test_the_figures_of_the_page_are_off_by_a_tenth_at_most(page: str) -> None:
    pairs = zip(figures(PAGE.read_text(encoding="utf-8")), figures(page), strict=True)
    assert not [pair for pair in pairs if abs(pair[0] - pair[1]) > max(20, pair[1] / 10)], STALE


def figures(text: str) -> list[int]:
    return [int(figure.replace(",", "")) for figure in FIGURE.findall(text)]


def test_the_drawing_shows_what_the_imports_say() -> None:
    assert DRAWING.read_text(encoding="utf-8") == package_drawing(
        layers_of_contract(), packages()
    ), STALE


def test_everything_below_is_found_once() -> None:
    def package(name: str, *imports: str) -> Package:
        return Package(name=name, purpose="", files=1, lines=1, imports=frozenset(imports))

    found = {p.name: p for p in (package("a", "b", "c"), package("b", "c"), package("c"))}
    assert below("a", found) == {"b", "c"}


def test_an_arrow_that_a_longer_way_replaces_is_left_out() -> None:
    arrows = needed({"a": {"b", "c"}, "b": {"c"}, "c": set()})
    assert set(arrows) == {("a", "b"), ("b", "c")}
