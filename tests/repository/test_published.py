"""Published values are well formed, all of them are used, and the accuracy page is up to date."""

from pathlib import Path

import pytest

from builders.accuracy_page import PAGE, accuracy_page, decimals_for, rounded
from tests.published.against import (
    FOLDER,
    Confidence,
    PublishedValue,
    Source,
    check,
    published_modules,
    read_source,
)

FILES = sorted((FOLDER / "values").glob("*.toml"))
TWO = Source(
    stem="made_up",
    citation="Nobody. Nothing. 2000.",
    address="none",
    confidence=Confidence.DERIVED,
    values=(
        PublishedValue(name="half", value=0.5, unit="mm", tolerance=0.01, why_tolerance="printed"),
        PublishedValue(name="one", value=1, unit="mm", tolerance=0, why_tolerance="a definition"),
    ),
)


@pytest.mark.parametrize("path", FILES, ids=lambda path: path.stem)
def test_source_is_well_formed(path: Path) -> None:
    source = read_source(path.stem)
    names = [value.name for value in source.values]
    assert source.citation
    assert source.address
    assert len(names) == len(set(names)), "two values have the same name"
    assert all(value.why_tolerance and value.tolerance >= 0 for value in source.values)


def test_every_published_value_is_compared() -> None:
    modules = published_modules()
    compared = {(module.SOURCE.stem, name) for module in modules for name in module.computed()}
    known = {(path.stem, value.name) for path in FILES for value in read_source(path.stem).values}
    assert not known - compared, f"no test module computes {sorted(known - compared)}"


def test_accuracy_page_is_up_to_date() -> None:
    assert PAGE.read_text(encoding="utf-8") == accuracy_page(), "run `make docs`"


def test_figures_within_tolerance_pass() -> None:
    check(TWO, {"half": 0.509, "one": 1.0})


@pytest.mark.parametrize("ours", [0.511, float("nan"), float("inf")])
def test_a_figure_outside_tolerance_fails_and_is_named(ours: float) -> None:
    with pytest.raises(AssertionError, match="half"):
        check(TWO, {"half": ours})


def test_a_name_the_source_lacks_fails() -> None:
    with pytest.raises(AssertionError, match="quarter"):
        check(TWO, {"quarter": 0.25})


def test_computing_nothing_fails() -> None:
    with pytest.raises(AssertionError, match="nothing"):
        check(TWO, {})


def test_figures_are_rounded_to_a_tenth_of_what_is_allowed() -> None:
    assert [decimals_for(tolerance) for tolerance in (0, 0.002, 0.5, 5, 300)] == [0, 4, 2, 1, 0]
    assert rounded(-0.00001, 3) == "0.000"
