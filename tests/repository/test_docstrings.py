"""Everything public in the science says what it means."""

import ast
from collections.abc import Iterator
from pathlib import Path

import pytest

from tests.repository.sources import named, science_files, tree

Definition = ast.FunctionDef | ast.ClassDef


@pytest.mark.parametrize("path", science_files(), ids=named)
def test_public_names_have_docstrings(path: Path) -> None:
    silent = [node.name for node in public_definitions(tree(path)) if not ast.get_docstring(node)]
    assert not silent, f"{named(path)}: no docstring on {', '.join(silent)}"


@pytest.mark.parametrize("path", science_files(), ids=named)
def test_module_says_what_it_is(path: Path) -> None:
    assert ast.get_docstring(tree(path)), f"{named(path)} has no docstring"


def public_definitions(node: ast.Module | ast.ClassDef) -> Iterator[Definition]:
    """Public functions and classes, and the public methods of those classes."""
    for inner in node.body:
        if isinstance(inner, Definition) and not inner.name.startswith("_"):
            yield inner
            if isinstance(inner, ast.ClassDef):
                yield from public_definitions(inner)
