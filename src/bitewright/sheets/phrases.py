"""Phrases of many words that sheets have, from their table."""

import tomllib
from functools import cache
from importlib.resources import files


def phrases(kind: str) -> str:
    """All of a kind as one regular expression, without brackets round it."""
    return "|".join(_table()[kind])


@cache
def _table() -> dict[str, list[str]]:
    text = files("bitewright.sheets").joinpath("tables", "phrases.toml").read_text("utf-8")
    return tomllib.loads(text)


__all__ = ["phrases"]
