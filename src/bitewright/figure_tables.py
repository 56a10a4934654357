"""Figures of a tissue, a texture or a fault, read from a packaged table.

Each figure of such a table has a ``value``, its ``unit`` and one sentence, ``says``. Its ``source``
and what it was ``fitted_to`` stand with it or further up: at the head of its section or table they
hold for all that follows. So the table can be fitted anew without touching the code.
"""

import tomllib
from collections.abc import Callable, Mapping
from importlib.resources import files
from typing import Any, TypeVar, get_type_hints

from bitewright.errors import BitewrightError

Figures = TypeVar("Figures")

ABOUT = {"source", "fitted_to"}
"""What a table or a section may say of all its figures."""


class FigureTableError(BitewrightError):
    """A table of figures lacks one, or holds one that nothing uses."""

    def __init__(self, section: str, missing: set[str], unknown: set[str]) -> None:
        self.section = section
        self.missing = missing
        self.unknown = unknown
        faults = [
            f"{what} {', '.join(sorted(names))}"
            for what, names in (("lacks", missing), ("holds the unknown", unknown))
            if names
        ]
        super().__init__(
            f"The table of figures {section} {' and '.join(faults)}; every figure that is used "
            "must be there and no other. Correct its names."
        )


def figures_of(kind: Callable[..., Figures], package: str, table: str) -> Figures:
    """The figures of one tissue, texture or fault.

    Parameters
    ----------
    kind : class
        A named tuple: quick to make when a module is loaded, and compiled functions take it. A
        field is a number, numbers in tuples, or such a class for a section; its name is the
        figure's or the section's.
    package : str
        The package that holds the table, such as "bitewright.solids".
    table : str
        The name of the file in the package's folder ``tables``, without its ending.

    Raises
    ------
    FigureTableError
        If the table's names are not the fields' names.
    """
    text = (files(package) / "tables" / f"{table}.toml").read_text("utf-8")
    return _section(kind, tomllib.loads(text), table)


def _section(kind: Callable[..., Figures], rows: Mapping[str, Any], named: str) -> Figures:
    hints = get_type_hints(kind)
    missing, unknown = hints.keys() - rows.keys(), rows.keys() - hints.keys() - ABOUT
    if missing or unknown:
        raise FigureTableError(named, missing, unknown)
    return kind(
        **{
            name: _number(rows[name]["value"], hint)
            if "value" in rows[name]
            else _section(hint, rows[name], f"{named}.{name}")
            for name, hint in hints.items()
        }
    )


def _number(value: Any, hint: object) -> Any:  # noqa: ANN401  what a table holds
    """A whole number where one is asked for, else a decimal one; lists as tuples."""
    if isinstance(value, list):
        return tuple(_number(each, hint) for each in value)
    return value if hint is int else float(value)


__all__ = ["FigureTableError", "figures_of"]
