"""Criteria and limits, read from tables with their sources."""

import tomllib
from dataclasses import dataclass
from enum import StrEnum
from functools import lru_cache
from importlib.resources import files
from types import MappingProxyType
from typing import Any


class Question(StrEnum):
    """What the image was taken to answer; `questions` has what each needs."""

    ENAMEL = "enamel-caries"
    DENTINE = "dentine-caries"
    BONE = "bone-level"
    BOTH = "caries-and-bone"
    RESTORATION = "restoration"
    SURFACE = "surface"


class CriterionName(StrEnum):
    """The criteria there are."""

    CONTACTS_SHOWN = "contacts-shown"
    CONTACTS_OPEN = "contacts-open"
    CANINE_DISTAL = "canine-distal"
    GAPS_SHOWN = "gaps-shown"
    LAST_DISTAL = "last-distal"
    CREST = "crest"
    LEVEL = "level"
    CENTRAL = "central"
    CLOSURE = "closure"
    BEAM = "beam"


@dataclass(frozen=True, slots=True, kw_only=True)
class Criterion:
    """One criterion: target, limit and where they come from.

    ``title`` is shown in place of ``name``. ``fails`` is None for a criterion that can fall short
    but not fail a film.
    """

    name: CriterionName
    title: str
    says: str
    met: float
    fails: float | None
    step: float
    unit: str
    source: str
    confidence: str


@dataclass(frozen=True, slots=True, kw_only=True)
class OverlapLimits:
    """When an overlap is open: at most ``open_mm`` [mm]; when severe, `questions` tells."""

    open_mm: float
    source: str
    year: int


@lru_cache(maxsize=1)
def criteria() -> MappingProxyType[CriterionName, Criterion]:
    """All criteria by name."""
    table = _table()
    return MappingProxyType(
        {
            name: Criterion(
                name=name,
                title=table[name]["title"],
                says=table[name]["says"],
                met=table[name]["met"],
                fails=table[name].get("fails"),
                step=table[name]["step"],
                unit=table[name]["unit"],
                source=table[name]["source"],
                confidence=table[name]["confidence"],
            )
            for name in CriterionName
        }
    )


@lru_cache(maxsize=1)
def overlap_limits() -> OverlapLimits:
    """The published limits of overlap."""
    row = _table()["overlap"]
    return OverlapLimits(
        open_mm=row["open_mm"],
        source=row["source"],
        year=row["year"],
    )


@lru_cache(maxsize=1)
def _table() -> dict[str, Any]:
    text = (files("bitewright.quality") / "tables" / "criteria.toml").read_text("utf-8")
    return tomllib.loads(text)


__all__ = [
    "Criterion",
    "CriterionName",
    "OverlapLimits",
    "Question",
    "criteria",
    "overlap_limits",
]
