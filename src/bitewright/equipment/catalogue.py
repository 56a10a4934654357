"""The catalogue: packaged generic equipment, and a user's own added to it.

Content comes in already parsed (a mapping, as `tomllib` gives it); reading a user's file is the
`files` package's business.
"""

import tomllib
from collections import Counter
from collections.abc import Mapping
from dataclasses import dataclass, field, fields
from functools import cache
from importlib import resources
from typing import TypeVar

from bitewright.equipment.entries import (
    CatalogueEntry,
    CatalogueEntryError,
    Entry,
    entry_from_mapping,
    entry_to_mapping,
)
from bitewright.equipment.holders import Holder
from bitewright.equipment.receptors import Receptor
from bitewright.equipment.tubes import Tube
from bitewright.errors import BitewrightError, quoted
from bitewright.nearest_name import meant

EQUIPMENT_FORMAT = "bitewright.equipment/1"
SECTIONS: dict[str, type[CatalogueEntry]] = {
    "receptors": Receptor,
    "holders": Holder,
    "tubes": Tube,
}
Thing = TypeVar("Thing")


class EquipmentFormatError(BitewrightError):
    """The content is not an equipment catalogue of a version we read."""

    def __init__(self, given: object) -> None:
        self.given = given
        said = "does not say its format" if given is None else f"says format {quoted(given)}"
        super().__init__(
            f'The equipment file {said}: begin it with format = "{EQUIPMENT_FORMAT}", the '
            "version read here."
        )


class CatalogueSectionError(BitewrightError):
    """The content holds something that is no list of receptors, holders or tubes."""

    def __init__(self, section: object) -> None:
        self.section = section
        allowed = ", ".join(f"[[{name}]]" for name in SECTIONS)
        super().__init__(
            f"The equipment file holds {quoted(section)}, which is not one of {allowed}: write "
            "each entry under one of these headings, with both pairs of brackets."
        )


class DuplicateEquipmentError(BitewrightError):
    """Two entries of one section share a name."""

    def __init__(self, section: str, name: str) -> None:
        self.section = section
        self.name = name
        super().__init__(
            f"The name '{name}' is taken: the catalogue's {section} already hold one; give your "
            "entry a name of its own."
        )


class UnknownEquipmentError(BitewrightError):
    """A name is not in the catalogue."""

    def __init__(self, section: str, name: object, known: tuple[str, ...]) -> None:
        self.section = section
        self.name = name
        self.known = known
        super().__init__(
            f"{quoted(name)} is not among the catalogue's {section}: use one of "
            f"{', '.join(known) or '(none)'}, or add it in an equipment file."
            f"{meant(name, known)}"
        )


@dataclass(frozen=True, slots=True, kw_only=True)
class Catalogue:
    """Receptors, holders and tubes by name.

    Examples
    --------
    >>> packaged_catalogue().receptor("sensor-2").active_long_mm
    36.0
    """

    receptors: Mapping[str, Receptor] = field(default_factory=dict)
    holders: Mapping[str, Holder] = field(default_factory=dict)
    tubes: Mapping[str, Tube] = field(default_factory=dict)

    def receptor(self, name: str) -> Receptor:
        """The receptor of that name, or `UnknownEquipmentError` naming those there are."""
        return _found(self.receptors, "receptors", name)

    def holder(self, name: str) -> Holder:
        """The holder of that name, or `UnknownEquipmentError` naming those there are."""
        return _found(self.holders, "holders", name)

    def tube(self, name: str) -> Tube:
        """The tube of that name, or `UnknownEquipmentError` naming those there are."""
        return _found(self.tubes, "tubes", name)

    def with_entries(self, content: Mapping[str, object]) -> "Catalogue":
        """Entries of a file added to these; a name already there is refused, not replaced.

        Parameters
        ----------
        content : mapping
            A parsed equipment file: ``format`` and lists named receptors, holders and tubes.

        Raises
        ------
        EquipmentFormatError
            If the format is missing or of a version not known here.
        CatalogueSectionError
            If there is anything else than the three lists.
        CatalogueEntryError
            If an entry has an unknown, missing or impossible field.
        DuplicateEquipmentError
            If a name occurs twice, or is in this catalogue already.
        """
        return self.merged(catalogue_from_mapping(content))

    def merged(self, other: "Catalogue") -> "Catalogue":
        """Both catalogues' entries; `DuplicateEquipmentError` where they share a name."""
        for section in fields(self):
            both = [*getattr(self, section.name), *getattr(other, section.name)]
            _refuse_duplicates(section.name, both)
        return Catalogue(
            receptors={**self.receptors, **other.receptors},
            holders={**self.holders, **other.holders},
            tubes={**self.tubes, **other.tubes},
        )


@cache
def packaged_catalogue() -> Catalogue:
    """The generic equipment that comes with Bitewright, every figure with its source."""
    catalogue = Catalogue()
    for section in SECTIONS:
        table = resources.files("bitewright.equipment") / "tables" / f"{section}.toml"
        catalogue = catalogue.with_entries(tomllib.loads(table.read_text(encoding="utf-8")))
    return catalogue


def catalogue_from_mapping(content: Mapping[str, object]) -> Catalogue:
    """A catalogue of just the entries a parsed file holds; errors as `Catalogue.with_entries`."""
    if content.get("format") != EQUIPMENT_FORMAT:
        raise EquipmentFormatError(content.get("format"))
    for key in content:
        if key != "format" and key not in SECTIONS:
            raise CatalogueSectionError(key)
    return Catalogue(
        receptors=_section(content, "receptors", Receptor),
        holders=_section(content, "holders", Holder),
        tubes=_section(content, "tubes", Tube),
    )


def catalogue_to_mapping(catalogue: Catalogue) -> dict[str, object]:
    """What a file holds for a catalogue; `catalogue_from_mapping` gives the catalogue back."""
    lists = {
        name: [entry_to_mapping(entry) for entry in getattr(catalogue, name).values()]
        for name in SECTIONS
    }
    return {"format": EQUIPMENT_FORMAT} | {
        name: entries for name, entries in lists.items() if entries
    }


def _section(content: Mapping[str, object], name: str, kind: type[Entry]) -> dict[str, Entry]:
    listed = content.get(name, [])
    if not isinstance(listed, (list, tuple)):
        raise CatalogueSectionError(name)
    entries = [entry_from_mapping(kind, mapping) for mapping in listed]
    _refuse_duplicates(name, [entry.name for entry in entries])
    return {entry.name: entry for entry in entries}


def _refuse_duplicates(section: str, names: list[str]) -> None:
    for name, count in Counter(names).items():
        if count > 1:
            raise DuplicateEquipmentError(section, name)


def _found(things: Mapping[str, Thing], section: str, name: str) -> Thing:
    if name not in things:
        raise UnknownEquipmentError(section, name, tuple(things))
    return things[name]


__all__ = [
    "EQUIPMENT_FORMAT",
    "Catalogue",
    "CatalogueEntryError",
    "CatalogueSectionError",
    "DuplicateEquipmentError",
    "EquipmentFormatError",
    "UnknownEquipmentError",
    "catalogue_from_mapping",
    "catalogue_to_mapping",
    "packaged_catalogue",
]
