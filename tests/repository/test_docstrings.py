"""Everything public in the science says what it means."""

import ast
import re
from collections.abc import Iterator
from pathlib import Path

from tests.repository.sources import named, science_files, slips, tree

Definition = ast.FunctionDef | ast.ClassDef


def test_public_names_have_docstrings() -> None:
    silent = slips(science_files(), names_without_docstring)
    assert not silent, f"no docstring on {silent}"


def names_without_docstring(path: Path) -> list[str]:
    """Public names of a file that say nothing."""
    return [node.name for node in public_definitions(tree(path)) if not ast.get_docstring(node)]


def test_modules_say_what_they_are() -> None:
    silent = [named(path) for path in science_files() if not ast.get_docstring(tree(path))]
    assert not silent, f"no docstring: {silent}"


SHAPE = re.compile(r"\([\w.*][\w .+*-]*,[\w .,+*-]*\)|\bshape\b|\bscalar\b|array_like")
"""A shape in words or as people write it: (E, 2), (count,), (..., 3)."""

ARRAY = re.compile(
    r"\b(NDArray|ArrayLike|Floats\d*|Ints\d*|Image|Flags|Codes|Singles|Fields|Plane)\b"
)


def test_public_functions_say_the_shapes_of_arrays() -> None:
    silent = slips(science_files(), functions_without_shapes)
    assert not silent, f"no array's shape in the docstring of {silent}"


def functions_without_shapes(path: Path) -> list[str]:
    """Public functions that take or give arrays and do not say their shapes."""
    return [
        node.name
        for node in public_definitions(tree(path))
        if isinstance(node, ast.FunctionDef)
        and ARRAY.search(annotations(node))
        and not SHAPE.search(ast.get_docstring(node) or "")
    ]


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
