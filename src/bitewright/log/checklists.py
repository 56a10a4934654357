"""What to look at for each fault, and in which order: one table for report, cards and teaching."""

import tomllib
from collections.abc import Mapping
from dataclasses import dataclass
from functools import cache
from importlib.resources import files
from types import MappingProxyType
from typing import Any

from bitewright.errors import BitewrightError, quoted
from bitewright.log.faults import fault_kinds
from bitewright.nearest_name import meant

CHECKLISTS_FORMAT = "bitewright.checklists/1"


class NoSuchChecklistError(BitewrightError):
    """A checklist is of a fault that there is not."""

    def __init__(self, given: str) -> None:
        self.given = given
        super().__init__(
            f"There is no fault {quoted(given)} to have a checklist: give one of "
            f"{', '.join(fault_kinds())}.{meant(given, fault_kinds())}"
        )


@dataclass(frozen=True, slots=True, kw_only=True)
class Checklist:
    """What to look at for a fault.

    Parameters
    ----------
    fault : str
        Name, as logged.
    looks : tuple of str
        What to look at, in the order in which it is done.
    source : str
        Where that is from.
    is_own : bool
        Whether a practice wrote it.
    """

    fault: str
    looks: tuple[str, ...]
    source: str
    is_own: bool = False


Checklists = Mapping[str, Checklist]


@cache
def packaged_checklists() -> Checklists:
    """The checklists that come along, by fault."""
    text = (files("bitewright.log") / "tables" / "checklists.toml").read_text("utf-8")
    return MappingProxyType(_read(tomllib.loads(text)))


def own_checklists(document: Mapping[str, Any]) -> Checklists:
    """Those that a practice wrote, of a document that fits its schema.

    Raises
    ------
    NoSuchChecklistError
    """
    for name in document:
        if name != "format" and name not in fault_kinds():
            raise NoSuchChecklistError(name)
    return _read(document, is_own=True)


def checklists_document(checklists: Checklists) -> dict[str, Any]:
    """The table as a document, which `own_checklists` reads."""
    rows = {
        name: {"looks": list(each.looks), "source": each.source}
        for name, each in checklists.items()
    }
    return {"format": CHECKLISTS_FORMAT} | rows


def _read(document: Mapping[str, Any], *, is_own: bool = False) -> dict[str, Checklist]:
    return {
        name: Checklist(fault=name, looks=tuple(row["looks"]), source=row["source"], is_own=is_own)
        for name, row in document.items()
        if name != "format"
    }


__all__ = [
    "CHECKLISTS_FORMAT",
    "Checklist",
    "Checklists",
    "NoSuchChecklistError",
    "checklists_document",
    "own_checklists",
    "packaged_checklists",
]
