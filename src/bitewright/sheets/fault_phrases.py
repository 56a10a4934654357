"""What a phrase for a fault says by its parts: the thing, and what is wrong with it."""

import re
import tomllib
from collections.abc import Mapping
from functools import cache, lru_cache
from importlib.resources import files
from typing import Any

BOUND = r"(?<![^ ])"
END = r"(?![^ ])"


@lru_cache(maxsize=20_000)
def fault_by_parts(text: str, *, least: int = 1) -> str | None:
    """The fault that a plain text names by its parts, so many at least; None where none."""
    held = parts_in(text)
    if not held or says_well(text):
        return None
    for fault, parts in _rules():
        if len(parts) >= least and parts <= held:
            return fault
    return None


@lru_cache(maxsize=20_000)
def parts_in(text: str) -> frozenset[str]:
    """The parts that a plain text has."""
    return frozenset(name for name, pattern in _patterns().items() if pattern.search(text))


def says_well(text: str) -> bool:
    """Whether a plain text says that all is well: "contacts open", "position ok"."""
    words = set(text.split())
    if words & DENIED:
        return False
    return bool(words & _well()) or {"contact", "open"} <= parts_in(text)


DENIED = frozenset(
    {
        "not",
        "nicht",
        "pas",
        "non",
        "no",
        "nao",
        "niet",
        "kein",
        "keine",
        "never",
        "but",
        "aber",
        "mais",
        "pero",
        "ma",
        "mas",
        "maar",
        "except",
        "bis",
        "sauf",
    }
)


@cache
def _table() -> Mapping[str, Any]:
    text = (files("bitewright.sheets") / "tables" / "fault_parts.toml").read_text("utf-8")
    return tomllib.loads(text)


@cache
def _well() -> frozenset[str]:
    return frozenset(_table()["well"]["words"])


@cache
def _rules() -> tuple[tuple[str, frozenset[str]], ...]:
    return tuple(
        (rule["fault"], frozenset(parts)) for rule in _table()["rule"] for parts in rule["parts"]
    )


@cache
def _patterns() -> Mapping[str, re.Pattern[str]]:
    return {
        name: re.compile("|".join(map(_pattern, words)))
        for name, words in _table()["parts"].items()
    }


def _pattern(word: str) -> str:
    """As the table says: a whole word, the beginning of one, or anywhere in one."""
    if word.startswith("*"):
        return re.escape(word.strip("*")) + ("" if word.endswith("*") else END)
    return BOUND + re.escape(word.rstrip("*")) + ("" if word.endswith("*") else END)


__all__ = ["fault_by_parts", "parts_in", "says_well"]
