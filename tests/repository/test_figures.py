"""Figures of tissues, textures and faults stand in tables, with unit, source and a sentence."""

import ast
import re
import tomllib
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest

from bitewright.tasks.film.film_mouths import RECIPE_FILES, RECIPE_PACKAGES
from tests.repository.sources import PACKAGE, named, python_files, slips, tree

TABLES = sorted([*PACKAGE.glob("film/tables/*.toml"), *PACKAGE.glob("solids/tables/*.toml")])
"""All tables of these packages hold figures and nothing else."""

MODULES = python_files("src/bitewright/film", "src/bitewright/solids")
SAID = {"value", "unit", "says", "source", "fitted_to"}
SENTENCE = re.compile(r"[A-Z].+ .+\.")

OF_ONE_CURVE = {"src/bitewright/film/transmission.py"}
"""Coefficients of one fitted curve stand in it: each means nothing without the others."""

USUAL = {0.0, 0.25, 0.5, 1.0, 2.0, 3.0, 10.0}
"""Halves, whole steps, the powers of formulae, millimetres in a centimetre: figures of nothing."""


@pytest.mark.parametrize("path", TABLES, ids=named)
def test_every_figure_says_its_unit_source_and_meaning(path: Path) -> None:
    rows = dict(figures_in(path))
    assert rows
    for name, row in rows.items():
        assert row.keys() == SAID, f"{named(path)}: {name} says {sorted(row)}, must say {SAID}"
        silent = [word for word in ("unit", "source", "fitted_to") if not row[word].strip()]
        assert not silent, f"{named(path)}: {name} has no {silent}"
        assert SENTENCE.fullmatch(row["says"]), f"{named(path)}: {name}: {row['says']!r}"


def test_every_figure_is_used() -> None:
    code = "\n".join(module.read_text(encoding="utf-8") for module in MODULES)
    used = set(re.findall(r"\.(\w+)", code))
    idle = slips(TABLES, lambda table: sorted(figures_looked_for(table) - used))
    assert not idle, f"nothing uses {idle}"


def figures_looked_for(table: Path) -> set[str]:
    """Last names of a table's figures that code should name."""
    names = (name for name, _ in figures_in(table) if not name.startswith(LOOKED_UP))
    return {name.split(".")[-1] for name in names}


LOOKED_UP = ("longest.", "looks.", "reach.")
"""Sections of which code takes what a material, a display or a depth is called."""


def figures_in(path: Path) -> Iterator[tuple[str, dict[str, Any]]]:
    """Each figure of a table by its name, with what its section and table say of it."""
    yield from figures_below(tomllib.loads(path.read_text(encoding="utf-8")), {}, "")


def figures_below(
    rows: dict[str, Any], above: dict[str, str], before: str
) -> Iterator[tuple[str, dict[str, Any]]]:
    """Each figure of a section."""
    above = above | {word: said for word, said in rows.items() if isinstance(said, str)}
    for name, row in rows.items():
        if isinstance(row, dict) and "value" in row:
            yield f"{before}{name}", above | row
        elif isinstance(row, dict):
            yield from figures_below(row, above, f"{before}{name}.")


def test_no_figure_stands_in_a_function() -> None:
    found = slips([path for path in MODULES if named(path) not in OF_ONE_CURVE], figures_inside)
    assert not found, f"into a table or a constant with: {found}"


def figures_inside(path: Path) -> list[str]:
    """Figures that stand in functions of a file, with their lines."""
    return sorted(
        {
            f"line {number.lineno}: {number.value}"
            for function in ast.walk(tree(path))
            if isinstance(function, ast.FunctionDef)
            for number in ast.walk(function)
            if isinstance(number, ast.Constant)
            and type(number.value) is float
            and number.value not in USUAL
        }
    )


def test_every_constant_has_a_sentence_of_its_own() -> None:
    silent = slips([*MODULES, *python_files("src/bitewright/physics")], constants_without_sentence)
    assert not silent, f"one name and one sentence each, for {silent}"


def constants_without_sentence(path: Path) -> list[str]:
    """Figures of a module that share a name or have no sentence under them."""
    body = tree(path).body
    return [
        ast.unparse(node)[:60]
        for node, after in zip(body, [*body[1:], None], strict=True)
        if isinstance(node, ast.Assign | ast.AnnAssign)
        and node.value is not None
        and any(type(n.value) is float for n in ast.walk(node.value) if isinstance(n, ast.Constant))
        and not (is_one_name(node) and is_text(after))
    ]


def test_compiled_functions_take_figures_as_arguments() -> None:
    """Machine code is kept by its own file: it would not see that a table has changed."""
    found = slips(MODULES, tables_in_compiled_functions)
    assert not found, f"hand them in: {found}"


def tables_in_compiled_functions(path: Path) -> list[str]:
    """Tables of figures that compiled functions of a file read by themselves."""
    module = tree(path)
    tables = {
        node.targets[0].id
        for node in module.body
        if isinstance(node, ast.Assign)
        and isinstance(node.targets[0], ast.Name)
        and (isinstance(node.value, ast.Attribute) or "figures_of(" in ast.unparse(node.value))
    }
    return [
        f"{function.name}: {name.id}"
        for function in module.body
        if isinstance(function, ast.FunctionDef)
        and any("compiled" in ast.unparse(mark) for mark in function.decorator_list)
        for name in ast.walk(function)
        if isinstance(name, ast.Name) and name.id in tables
    ]


def test_a_changed_table_builds_film_mouths_anew() -> None:
    """What is kept of a mouth is known again by the files that shaped it, tables too."""
    recipe = {PACKAGE / name for name in RECIPE_FILES}
    for package in RECIPE_PACKAGES:
        recipe |= set((PACKAGE.parent / package.replace(".", "/")).rglob("*"))
    read = {
        PACKAGE.parent / package.replace(".", "/") / "tables" / f"{table}.toml"
        for path in recipe
        if path.suffix == ".py"
        for package, table in READ.findall(path.read_text(encoding="utf-8"))
    }
    shaping = read - {PACKAGE / "film" / "tables" / "shells.toml"}  # fills, and moves nothing
    assert len(shaping) > 10
    assert shaping <= recipe, f"not in the recipe: {[named(path) for path in shaping - recipe]}"


READ = re.compile(r'figures_of\(\w+, "([\w.]+)", "(\w+)"\)')


def is_one_name(node: ast.Assign | ast.AnnAssign) -> bool:
    """Whether a value gets one name."""
    targets = node.targets if isinstance(node, ast.Assign) else [node.target]
    return len(targets) == 1 and isinstance(targets[0], ast.Name)


def is_text(node: ast.stmt | None) -> bool:
    """Whether what stands after a value is its docstring."""
    return (
        isinstance(node, ast.Expr)
        and isinstance(node.value, ast.Constant)
        and isinstance(node.value.value, str)
    )
