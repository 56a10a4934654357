"""Reject rates that others published, to set one's own against."""

import tomllib
from collections.abc import Mapping
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


def expected_mix(views: Mapping[str, int]) -> ExpectedRate | None:
    """The rate to expect of views mixed like these; None where none has a published rate.

    Parameters
    ----------
    views : mapping of str to int
        Exposures of each view; periapicals and occlusals are called so, all others are bitewings.
        Occlusals have no published rate here and are left out.
    """
    totals: dict[str, int] = {}
    for view, count in views.items():
        kind = next((each for each in ("periapical", "occlusal") if view.startswith(each)), None)
        totals[kind or "bitewing"] = totals.get(kind or "bitewing", 0) + count
    known = {kind: count for kind, count in totals.items() if kind in expected_rates()}
    if not sum(known.values()):
        return None
    rates = expected_rates()
    first = rates[next(iter(known))]
    return ExpectedRate(
        kind=" and ".join(f"{kind}s" for kind in sorted(known)),
        rate=sum(rates[kind].rate * count for kind, count in known.items()) / sum(known.values()),
        source=first.source,
        year=first.year,
    )


__all__ = ["ExpectedRate", "expected_mix", "expected_rates"]
