"""Files and functions stay small, and modules have names of the trade."""

import ast
from pathlib import Path

import pytest

from tests.repository.sources import TOP, named, python_files, tree

SOURCE_LINES = 400
TEST_LINES = 500
FUNCTION_LINES = 60
NAMELESS = {"common", "core", "helper", "helpers", "manager", "managers", "misc", "services"} | {
    "util",
    "utils",
}


@pytest.mark.parametrize("path", python_files("src", "tests", "builders", "benchmarks"), ids=named)
def test_file_is_short_enough_to_read(path: Path) -> None:
    cap = TEST_LINES if path.is_relative_to(TOP / "tests") else SOURCE_LINES
    lines = len(path.read_text(encoding="utf-8").splitlines())
    assert lines <= cap, f"{named(path)} has {lines} lines, more than {cap}: which noun is missing?"


@pytest.mark.parametrize("path", python_files("src"), ids=named)
def test_functions_are_short_enough_to_read(path: Path) -> None:
    long = [
        f"{node.name} ({body_lines(node)} lines)"
        for node in ast.walk(tree(path))
        if isinstance(node, ast.FunctionDef) and body_lines(node) > FUNCTION_LINES
    ]
    assert not long, f"{named(path)}: longer than {FUNCTION_LINES} lines: {', '.join(long)}"


def body_lines(node: ast.FunctionDef) -> int:
    """Lines of a function's body, its docstring not counted."""
    body = node.body[1:] if ast.get_docstring(node) is not None else node.body
    return (body[-1].end_lineno or 0) - body[0].lineno + 1 if body else 0


def test_modules_are_named_for_a_thing_or_an_act() -> None:
    files = python_files("src", "tests", "builders", "benchmarks")
    parts = {named(path): set(path.relative_to(TOP).with_suffix("").parts) for path in files}
    nameless = [name for name, words in parts.items() if words & NAMELESS]
    assert not nameless, f"a function without a home is a missing noun: {nameless}"
