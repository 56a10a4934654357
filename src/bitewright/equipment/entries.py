"""What every catalogue entry has in common: allowed ranges, a source, and strict checking.

An entry is a frozen dataclass whose fields carry their allowed range. The range is checked when
the object is made, from a file or in code, so there is no second list of limits to keep in step.
"""

import dataclasses
import math
import re
from collections.abc import Mapping
from dataclasses import MISSING, Field, dataclass
from enum import Enum
from typing import Any, TypeVar, get_type_hints

from bitewright.errors import BitewrightError, plainly, quoted
from bitewright.kept_text import problem_of_text

Entry = TypeVar("Entry", bound="CatalogueEntry")
NAME_PATTERN = re.compile(r"[a-z0-9]+(-[a-z0-9]+)*")
LONGEST_NAME = 40
LONGEST_TITLE = 60
LONGEST_TEXT = 1000


class CatalogueEntryError(BitewrightError):
    """An entry of an equipment catalogue has an unknown, missing or impossible field."""

    def __init__(self, entry: str, field: str, value: object, allowed: str, advice: str) -> None:
        self.entry = entry
        self.field = field
        self.value = value
        self.allowed = allowed
        self.advice = advice
        given = "is missing" if value is MISSING else f"is {quoted(value)}"
        super().__init__(f"{entry}: {field} {given}; allowed is {allowed}; {advice}.")


class Confidence(Enum):
    """How well an entry's figures are known."""

    SEEN = "seen"
    MEMORY = "memory"
    PRACTICE = "practice"
    DERIVED = "derived"
    MEASURED = "measured"
    STATED = "stated"


def within_range(low: float, high: float, *, default: Any = MISSING) -> Any:  # noqa: ANN401  a dataclass field stands in for its value
    """A dataclass field holding a number from low to high, both included."""
    return dataclasses.field(default=default, metadata={"range": (low, high)})


@dataclass(frozen=True, slots=True, kw_only=True)
class CatalogueEntry:
    """One thing of the catalogue: a name, where its figures come from, how well they are known.

    Parameters
    ----------
    name : str
        What is typed: small letters, digits and hyphens, such as "film-2"; at most 40 characters.
    title : str
        What is shown, at most 60 characters; the name with spaces if left out.
    source : str
        Where the figures come from; for one's own device, who measured it and when.
    confidence : Confidence
        seen (read in the source), memory, practice (no source found), derived, measured (on the
        device itself) or stated (by its maker).

    Raises
    ------
    CatalogueEntryError
        If a value has the wrong type, is not finite or lies outside its field's range.
    """

    name: str
    title: str = ""
    source: str
    confidence: Confidence

    def __post_init__(self) -> None:
        hints = get_type_hints(type(self))
        for field in dataclasses.fields(self):
            value = _checked(_called(type(self), self.name), field, hints[field.name], self)
            object.__setattr__(self, field.name, value)
        object.__setattr__(self, "title", self.title or readable_name(self.name))


def readable_name(name: str) -> str:
    """What is shown of a name that has no title of its own: "our-sensor" as "our sensor"."""
    return name.replace("-", " ")


def entry_from_mapping(kind: type[Entry], mapping: object) -> Entry:
    """An entry from the parsed table of a file.

    Raises
    ------
    CatalogueEntryError
        If a field is unknown, missing or not allowed; the first one found is named.
    """
    if not isinstance(mapping, Mapping):
        raise CatalogueEntryError(
            f"{kind.__name__} entry", "the entry", mapping, "a table of fields", "write it as one"
        )
    called = _called(kind, mapping.get("name", "without a name"))
    fields = {field.name: field for field in dataclasses.fields(kind)}
    for key in mapping:
        if key not in fields:
            raise CatalogueEntryError(
                called,
                plainly(str(key)),
                mapping[key],
                f"only a field named {', '.join(fields)}",
                "correct the field's name or remove it",
            )
    for field in fields.values():
        if field.name not in mapping and field.default is MISSING:
            allowed = _allowed(field, get_type_hints(kind)[field.name])
            raise CatalogueEntryError(called, field.name, MISSING, allowed, "add that field")
    return kind(**{str(key): value for key, value in mapping.items()})


def entry_to_mapping(entry: CatalogueEntry) -> dict[str, object]:
    """The table a file holds for an entry; `entry_from_mapping` gives the entry back."""
    values = {field.name: getattr(entry, field.name) for field in dataclasses.fields(entry)}
    if entry.title == readable_name(entry.name):
        del values["title"]
    return {
        key: value.value if isinstance(value, Enum) else value
        for key, value in values.items()
        if value is not None
    }


def required(entry: CatalogueEntry, *, holds: bool, field: str, allowed: str, advice: str) -> None:
    """Refuse an entry whose fields, each allowed by itself, do not go together."""
    if not holds:
        called = _called(type(entry), entry.name)
        raise CatalogueEntryError(called, field, getattr(entry, field), allowed, advice)


def _called(kind: type, name: object) -> str:
    return f"{kind.__name__} {quoted(name)}"


def _checked(called: str, field: "Field[Any]", kind: Any, entry: object) -> object:  # noqa: ANN401  a type hint
    value = getattr(entry, field.name)
    converted = _converted(field, kind, value)
    if converted is MISSING:
        advice = "correct that field"
        raise CatalogueEntryError(called, field.name, value, _allowed(field, kind), advice)
    return converted


def _converted(field: "Field[Any]", kind: Any, value: object) -> object:  # noqa: ANN401  a type hint
    """The value as the field holds it, or MISSING where it is not allowed."""
    if value is None and field.default is None:
        return None
    if "range" in field.metadata:
        return _number(value, *field.metadata["range"], whole=kind is int)
    if isinstance(kind, type) and issubclass(kind, Enum):
        given = value.value if isinstance(value, kind) else value
        return next((m for m in kind if m.value == given and type(given) is str), MISSING)
    if kind is bool:
        return value if isinstance(value, bool) else MISSING
    if field.name == "title" and value == "":
        return value
    return value if _is_text(field.name, value) else MISSING


def _number(value: object, low: float, high: float, *, whole: bool) -> object:
    if isinstance(value, bool) or not isinstance(value, int if whole else (int, float)):
        return MISSING
    if not (low <= value <= high and math.isfinite(value)):  # NaN fails the comparison
        return MISSING
    return value if whole else float(value)


def _is_text(name: str, value: object) -> bool:
    longest = LONGEST_TITLE if name == "title" else LONGEST_TEXT
    if not isinstance(value, str) or not value.strip() or len(value) > longest:
        return False
    if problem_of_text(value, lines=name != "title") is not None:
        return False
    is_name = NAME_PATTERN.fullmatch(value) is not None and len(value) <= LONGEST_NAME
    return is_name if name == "name" else True


def _allowed(field: "Field[Any]", kind: Any) -> str:  # noqa: ANN401  a type hint
    if "range" in field.metadata:
        low, high = field.metadata["range"]
        return f"a {'whole ' if kind is int else ''}number from {low:g} to {high:g}"
    if isinstance(kind, type) and issubclass(kind, Enum):
        return "one of " + ", ".join(f"'{member.value}'" for member in kind)
    if kind is bool:
        return "true or false"
    if field.name == "name":
        return f"small letters, digits and hyphens, at most {LONGEST_NAME} characters"
    longest = LONGEST_TITLE if field.name == "title" else LONGEST_TEXT
    return f"text that can be printed, not empty, at most {longest} characters"


__all__ = [
    "CatalogueEntry",
    "CatalogueEntryError",
    "Confidence",
    "entry_from_mapping",
    "entry_to_mapping",
    "readable_name",
    "required",
    "within_range",
]
