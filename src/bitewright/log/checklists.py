"""What to look at for each fault, and in which order: one table for report, cards and teaching."""

import tomllib
from collections.abc import Mapping
from functools import cache
from importlib.resources import files
from types import MappingProxyType


@cache
def checklists() -> Mapping[str, tuple[str, ...]]:
    """What to look at by fault, in order."""
    text = (files("bitewright.log") / "tables" / "checklists.toml").read_text("utf-8")
    table = tomllib.loads(text)
    return MappingProxyType(
        {name: tuple(row["looks"]) for name, row in table.items() if name != "format"}
    )


__all__ = ["checklists"]
