"""The faults an exposure can be logged with, and how they are written with their size."""

import math
import tomllib
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from functools import cache, lru_cache
from importlib.resources import files
from types import MappingProxyType
from typing import Any

from bitewright.errors import BitewrightError, quoted

BETWEEN_FAULTS = "|"
BEFORE_SIZE = ":"
Faults = list[dict[str, Any]]


class FaultWordsError(BitewrightError):
    """A fault's name is not known, or its size is no number."""

    def __init__(self, given: str, problem: str) -> None:
        self.given = given
        super().__init__(f"Fault {quoted(given)} {problem}.")


@dataclass(frozen=True, slots=True, kw_only=True)
class FaultKind:
    """A technique fault that can be logged.

    Parameters
    ----------
    name, title, says : str
        As typed and logged; as shown; what is meant.
    letters : str
        The two by which it is typed on a page.
    unit : str
        Of its size: mm, deg or nothing where it has none.
    criteria : tuple of str
        Criteria whose failure is this fault.
    reject_code : str
        DICOM code of a rejected image's reason, context group 7011.
    """

    name: str
    title: str
    says: str
    letters: str
    unit: str
    criteria: tuple[str, ...]
    reject_code: str


@cache
def fault_kinds() -> Mapping[str, FaultKind]:
    """All faults by name."""
    table = tomllib.loads((files("bitewright.log") / "tables" / "faults.toml").read_text("utf-8"))
    return MappingProxyType(
        {
            name: FaultKind(
                name=name,
                title=row["title"],
                says=row["says"],
                letters=row["letters"],
                unit=row["unit"],
                criteria=tuple(row["criteria"]),
                reject_code=row["reject_code"],
            )
            for name, row in table.items()
            if name != "format"
        }
    )


def faults_from_text(text: str) -> Faults:
    """Faults as they are typed: ``overlap:0.4|cone-cut``; the size is left out where not measured.

    Raises
    ------
    FaultWordsError
    """
    return [dict(fault) for fault in _parsed(text)]


def faults_as_text(faults: Sequence[Mapping[str, Any]]) -> str:
    """The same, as `faults_from_text` reads it."""
    return BETWEEN_FAULTS.join(
        fault["fault"] + (f"{BEFORE_SIZE}{fault['size']!r}" if "size" in fault else "")
        for fault in faults
    )


@lru_cache(maxsize=4096)
def _parsed(text: str) -> tuple[Mapping[str, Any], ...]:
    return tuple(_fault(part) for part in text.split(BETWEEN_FAULTS))


def _fault(part: str) -> Mapping[str, Any]:
    words, _, size = part.partition(BEFORE_SIZE)
    name = "-".join(words.lower().replace("_", " ").replace("-", " ").split())
    if name not in fault_kinds():
        raise FaultWordsError(part, f"is not known: give one of {', '.join(fault_kinds())}")
    if not size.strip():
        return {"fault": name}
    try:
        number = float(size)
    except ValueError:
        number = math.nan
    if not math.isfinite(number) or abs(number) > 1000:
        raise FaultWordsError(part, "has a size that is no number from -1000 to 1000: correct it")
    return {"fault": name, "size": number}


__all__ = [
    "FaultKind",
    "FaultWordsError",
    "Faults",
    "fault_kinds",
    "faults_as_text",
    "faults_from_text",
]
