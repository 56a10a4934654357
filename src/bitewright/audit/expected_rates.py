"""Reject rates that others published, to set one's own against."""

import tomllib
from dataclasses import dataclass
from functools import lru_cache
from importlib.resources import files
from types import MappingProxyType
from typing import Any


@dataclass(frozen=True, slots=True, kw_only=True)
class ExpectedRate:
    """A pooled reject rate and where it comes from."""

    kind: str
    rate: float
    source: str
    year: int


@lru_cache(maxsize=1)
def expected_rates() -> MappingProxyType[str, ExpectedRate]:
    """Pooled reject rates by kind of image: "bitewing", "periapical"."""
    text = (files("bitewright.audit") / "tables" / "expected_rates.toml").read_text("utf-8")
    table: dict[str, Any] = tomllib.loads(text)
    return MappingProxyType(
        {
            kind: ExpectedRate(kind=kind, rate=row["rate"], source=row["source"], year=row["year"])
            for kind, row in table.items()
            if kind != "format"
        }
    )


__all__ = ["ExpectedRate", "expected_rates"]
