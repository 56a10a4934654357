"""Everything public in the science says what it means."""

import ast
import re
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


SHAPE = re.compile(r"\([\w.*][\w .+*-]*,[\w .,+*-]*\)|\bshape\b|\bscalar\b|array_like")
"""A shape in words or as people write it: (E, 2), (count,), (..., 3)."""

ARRAY = re.compile(
    r"\b(NDArray|ArrayLike|Floats\d*|Ints\d*|Image|Flags|Codes|Singles|Fields|Plane)\b"
)


@pytest.mark.parametrize("path", science_files(), ids=named)
def test_public_functions_say_the_shapes_of_arrays(path: Path) -> None:
    silent = [
        node.name
        for node in public_definitions(tree(path))
        if isinstance(node, ast.FunctionDef)
        and ARRAY.search(annotations(node))
        and not SHAPE.search(ast.get_docstring(node) or "")
    ]
    assert not silent, f"{named(path)}: no array's shape in the docstring of {', '.join(silent)}"


def annotations(node: ast.FunctionDef) -> str:
    """What a function takes and returns, as its annotations say."""
    given = [*node.args.posonlyargs, *node.args.args, *node.args.kwonlyargs]
    said = [each.annotation for each in given] + [node.returns]
    return " ".join(ast.unparse(each) for each in said if each is not None)


def public_definitions(node: ast.Module | ast.ClassDef) -> Iterator[Definition]:
    """Public functions and classes, and the public methods of those classes."""
    for inner in node.body:
        if isinstance(inner, Definition) and not inner.name.startswith("_"):
            yield inner
            if isinstance(inner, ast.ClassDef):
                yield from public_definitions(inner)
