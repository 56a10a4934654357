"""Published values are well formed, all of them are used, and the accuracy page is up to date."""

import ast
from pathlib import Path
from types import ModuleType

import grimp
import pytest

from builders.accuracy_page import PAGE, accuracy_page, decimals_for, rounded
from tests.published.against import (
    FOLDER,
    Confidence,
    Part,
    Source,
    check,
    published,
    published_modules,
    read_source,
)
from tests.repository.sources import python_files, tree

FILES = sorted((FOLDER / "values").glob("*.toml"))
LABELS = {"confidence": "derived", "part": "arithmetic", "unit": "mm"}
TWO = Source(
    stem="made_up",
    citation="Nobody. Nothing. 2000.",
    address="none",
    values=(
        published({"name": "half", "value": 0.5, "tolerance": 0.01, "why_tolerance": "p"} | LABELS),
        published({"name": "one", "value": 1, "tolerance": 0, "why_tolerance": "d"} | LABELS),
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


@pytest.mark.parametrize("label", ["confidence", "part"])
def test_a_value_without_a_label_is_refused(label: str) -> None:
    entry = {"name": "half", "value": 0.5, "tolerance": 0, "why_tolerance": "d"} | LABELS
    with pytest.raises(KeyError, match=label):
        published({key: word for key, word in entry.items() if key != label})


@pytest.mark.parametrize("path", FILES, ids=lambda path: path.stem)
def test_what_is_worked_out_is_not_called_outside(path: Path) -> None:
    worked_out = [
        value.name
        for value in read_source(path.stem).values
        if value.part is Part.OUTSIDE and value.confidence is Confidence.DERIVED
    ]
    assert not worked_out, f"nobody published these: {worked_out}"


@pytest.fixture(scope="module")
def graph() -> grimp.ImportGraph:
    return grimp.build_graph("bitewright", cache_dir=None)


@pytest.fixture(scope="module")
def used_names() -> set[str]:
    """Every name our code uses anywhere, its own definition and ``__all__`` not counted."""
    nodes = [node for path in python_files("src") for node in ast.walk(tree(path))]
    names = {node.id for node in nodes if isinstance(node, ast.Name)}
    return names | {node.attr for node in nodes if isinstance(node, ast.Attribute)}


@pytest.mark.parametrize("module", published_modules(), ids=lambda module: module.SOURCE.stem)
def test_what_is_compared_is_code_that_a_command_runs(
    module: ModuleType, graph: grimp.ImportGraph, used_names: set[str]
) -> None:
    imported = [
        (node.module, alias.name)
        for node in ast.walk(tree(Path(str(module.__file__))))
        if isinstance(node, ast.ImportFrom) and str(node.module).startswith("bitewright")
        for alias in node.names
    ]
    idle = [
        f"{place}.{name}"
        for place, name in imported
        if name not in used_names
        or not graph.chain_exists("bitewright.cli", str(place), as_packages=True)
    ]
    assert not idle, f"no command runs {idle}"


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
