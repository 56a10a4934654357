"""Our figure against theirs: how a published number becomes a test and a line of the docs.

A source is one file in ``values/``::

    citation = "Author A. Title. Journal 2001;1:2-3."
    address = "https://doi.org/..."
    confidence = "seen"
    part = "outside"

    [[value]]
    name = "film blackening at 5 keV"
    value = 1.25
    unit = "cm2/g"
    tolerance = 0.02
    why_tolerance = "printed to two decimals; the table interpolates"
    place = "Table 3"        # optional: page, table or figure

A value may name a confidence or a part of its own. A test module names its source and computes the
same quantities::

    SOURCE = read_source("author_2001")

    def computed() -> dict[str, float]:
        return {"film blackening at 5 keV": blackening(5.0)}

    def test_agrees_with_the_source() -> None:
        check(SOURCE, computed())

``python -m builders.accuracy_page`` reads the same two and prints every line in docs/accuracy.md.
"""

import importlib
import math
import tomllib
from collections.abc import Mapping
from dataclasses import dataclass
from enum import StrEnum
from pathlib import Path
from types import ModuleType
from typing import Any

FOLDER = Path(__file__).resolve().parent


class Confidence(StrEnum):
    """How sure we are of having the published number right."""

    SEEN = "seen"
    MEMORY = "memory"
    PRACTICE = "practice"
    DERIVED = "derived"


class Part(StrEnum):
    """What agreement with a number says of us."""

    OUTSIDE = "outside"
    CONSTRUCTION = "construction"
    ARITHMETIC = "arithmetic"


@dataclass(frozen=True, slots=True, kw_only=True)
class PublishedValue:
    """One number as published, and how far ours may lie from it, and why."""

    name: str
    value: float
    unit: str
    tolerance: float
    why_tolerance: str
    confidence: Confidence
    part: Part
    place: str = ""

    def allows(self, ours: float) -> bool:
        """Whether our figure lies within the tolerance."""
        return math.isfinite(ours) and abs(ours - self.value) <= self.tolerance


@dataclass(frozen=True, slots=True, kw_only=True)
class Source:
    """A publication and the numbers taken from it."""

    stem: str
    citation: str
    address: str
    values: tuple[PublishedValue, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class Comparison:
    """One line of the accuracy page."""

    published: PublishedValue
    ours: float

    @property
    def share_of_allowed(self) -> float:
        """How much of the tolerance the difference uses up, 1 being all of it."""
        difference = abs(self.ours - self.published.value)
        if difference == 0.0:
            return 0.0
        return difference / self.published.tolerance if self.published.tolerance else math.inf


def read_source(stem: str) -> Source:
    """Read ``values/<stem>.toml``; an unknown or missing key is an error naming it."""
    entries = tomllib.loads((FOLDER / "values" / f"{stem}.toml").read_text(encoding="utf-8"))
    labels = {key: entries.pop(key) for key in ("confidence", "part") if key in entries}
    values = tuple(published(labels | entry) for entry in entries.pop("value"))
    return Source(stem=stem, values=values, **entries)


def published(entry: Mapping[str, Any]) -> PublishedValue:
    """One value with its labels, which it must have."""
    labels = {"confidence": Confidence(entry["confidence"]), "part": Part(entry["part"])}
    return PublishedValue(**dict(entry) | labels)


def compare(source: Source, computed: Mapping[str, float]) -> list[Comparison]:
    """Pair each computed figure with the published one of that name, in the source's order."""
    known = {value.name for value in source.values}
    strangers = sorted(set(computed) - known)
    assert not strangers, f"{source.stem}.toml has no value named {strangers}; it has {known}"
    return [
        Comparison(published=value, ours=float(computed[value.name]))
        for value in source.values
        if value.name in computed
    ]


def check(source: Source, computed: Mapping[str, float]) -> None:
    """Assert that every computed figure lies within its tolerance; list all that do not."""
    lines = compare(source, computed)
    assert lines, f"nothing was computed to set against {source.stem}.toml"
    outside = [
        f"{line.published.name}: theirs {line.published.value} {line.published.unit}, "
        f"ours {line.ours:.6g}, allowed ±{line.published.tolerance}"
        for line in lines
        if not line.published.allows(line.ours)
    ]
    assert not outside, f"outside the tolerance of {source.stem}.toml:\n" + "\n".join(outside)


def published_modules() -> list[ModuleType]:
    """Every test module here that has a ``SOURCE`` and a ``computed()``, by name."""
    names = sorted(path.stem for path in FOLDER.glob("test_*.py"))
    modules = [importlib.import_module(f"tests.published.{name}") for name in names]
    return [module for module in modules if hasattr(module, "computed")]
