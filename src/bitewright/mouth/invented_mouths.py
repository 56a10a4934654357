"""Invented mouths to try things in, by name: nobody's, each made to show one thing."""

import tomllib
from collections.abc import Mapping
from functools import lru_cache
from importlib.resources import files
from types import MappingProxyType
from typing import Any

from bitewright.mouth.mouth import Mouth
from bitewright.mouth.mouth_description import mouth_from_description


def invented_mouths() -> Mapping[str, str]:
    """What each invented mouth shows, by its name."""
    return MappingProxyType({name: table["says"] for name, table in _tables().items()})


def invented_mouth_titles() -> Mapping[str, str]:
    """What each invented mouth is called where people read, by its name."""
    return MappingProxyType({name: table["name"] for name, table in _tables().items()})


def invented_mouth(name: str) -> Mouth:
    """The invented mouth of a name that `invented_mouths` holds."""
    table = {key: value for key, value in _tables()[name].items() if key != "says"}
    return mouth_from_description(table)


@lru_cache(maxsize=1)
def _tables() -> dict[str, Any]:
    text = (files("bitewright.mouth") / "tables" / "invented_mouths.toml").read_text("utf-8")
    return tomllib.loads(text)


__all__ = ["invented_mouth", "invented_mouth_titles", "invented_mouths"]
