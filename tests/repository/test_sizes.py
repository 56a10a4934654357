"""Files and functions stay small, and modules have names of the trade."""

import ast
from pathlib import Path

from tests.repository.sources import TOP, named, python_files, slips, tree

SOURCE_LINES = 400
TEST_LINES = 500
FUNCTION_LINES = 60
NAMELESS = {"common", "core", "helper", "helpers", "manager", "managers", "misc", "services"} | {
    "util",
    "utils",
}


def test_files_are_short_enough_to_read() -> None:
    long = slips(python_files("src", "tests", "builders", "benchmarks"), too_many_lines)
    assert not long, f"which noun is missing? {long}"


def too_many_lines(path: Path) -> list[str]:
    """What is said of a file that is too long."""
    cap = TEST_LINES if path.is_relative_to(TOP / "tests") else SOURCE_LINES
    lines = len(path.read_text(encoding="utf-8").splitlines())
    return [f"{lines} lines, more than {cap}"] if lines > cap else []


def test_functions_are_short_enough_to_read() -> None:
    long = slips(python_files("src"), long_functions)
    assert not long, f"longer than {FUNCTION_LINES} lines: {long}"


def long_functions(path: Path) -> list[str]:
    """The functions of a file that are too long, each with its lines."""
    return [
        f"{node.name} ({body_lines(node)} lines)"
        for node in ast.walk(tree(path))
        if isinstance(node, ast.FunctionDef) and body_lines(node) > FUNCTION_LINES
    ]


def body_lines(node: ast.FunctionDef) -> int:
    """Lines of a function's body, its docstring not counted."""
    body = node.body[1:] if ast.get_docstring(node) is not None else node.body
    return (body[-1].end_lineno or 0) - body[0].lineno + 1 if body else 0


def test_modules_are_named_for_a_thing_or_an_act() -> None:
    files = python_files("src", "tests", "builders", "benchmarks")
    parts = {named(path): set(path.relative_to(TOP).with_suffix("").parts) for path in files}
    nameless = [name for name, words in parts.items() if words & NAMELESS]
    assert not nameless, f"a function without a home is a missing noun: {nameless}"
