"""Criteria and limits, read from tables with their sources."""

import tomllib
from dataclasses import dataclass
from enum import StrEnum
from functools import lru_cache
from importlib.resources import files
from types import MappingProxyType
from typing import Any


class Question(StrEnum):
    """What the image was taken to answer; it decides when an overlap is unreadable."""

    ENAMEL = "enamel-caries"
    DENTINE = "dentine-caries"
    BONE = "bone-level"


class CriterionName(StrEnum):
    """The criteria there are."""

    CONTACTS_SHOWN = "contacts-shown"
    CONTACTS_OPEN = "contacts-open"
    CANINE_DISTAL = "canine-distal"
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
    """When an overlap is open, slight or unreadable.

    ``open_mm``: at most this much is open. [mm] ``slight_share``: up to this share of the thinner
    adjoining enamel it is slight.
    """

    open_mm: float
    slight_share: float
    source: str
    year: int

    def unreadable_share(self, question: Question) -> float:
        """Share of the thinner enamel beyond which the question cannot be answered."""
        return {
            Question.ENAMEL: self.slight_share,
            Question.DENTINE: 1.0,
            Question.BONE: float("inf"),
        }[question]


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


def is_required(name: CriterionName) -> bool:
    """Whether a criterion can fail a film; contacts fail by their overlap limits."""
    return criteria()[name].fails is not None or name is CriterionName.CONTACTS_OPEN


@lru_cache(maxsize=1)
def overlap_limits() -> OverlapLimits:
    """The published limits of overlap."""
    row = _table()["overlap"]
    return OverlapLimits(
        open_mm=row["open_mm"],
        slight_share=row["slight_share"],
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
    "is_required",
    "overlap_limits",
]
