"""A user's own equipment: kept in the data folder, used by name everywhere."""

import dataclasses
from collections.abc import Mapping
from enum import Enum
from typing import Any, get_type_hints

from bitewright.equipment.catalogue import (
    SECTIONS,
    Catalogue,
    catalogue_from_mapping,
    catalogue_to_mapping,
    packaged_catalogue,
)
from bitewright.equipment.entries import (
    entry_from_mapping,
    entry_to_mapping,
    readable_name,
)
from bitewright.errors import BitewrightError, quoted
from bitewright.files.disk import FileUnreadableError
from bitewright.files.own_folder import own_equipment_file
from bitewright.files.toml_files import read_toml, toml_bytes, toml_from_bytes, write_toml
from bitewright.keeping.turns import alone_with
from bitewright.words import file_notes
from bitewright.words.equipment_fields import CONFIDENCE_TITLES, FIELD_SAYS, FIELD_TITLES

UNITS = {"mm": "mm", "deg": "degrees", "kv": "kV", "ma": "mA", "s": "s", "al": "mm Al"}


class UnknownSectionError(BitewrightError):
    """The catalogue has no such section."""

    status_code = 404

    def __init__(self, given: str) -> None:
        super().__init__(
            f"The catalogue has no section {quoted(given)} to add to; it has {', '.join(SECTIONS)} "
            "and mouths."
        )


class NotOwnError(BitewrightError):
    """A packaged entry cannot be changed or removed."""

    status_code = 404

    def __init__(self, name: str) -> None:
        self.field = "name"
        super().__init__(
            f"{quoted(name)} is none of your own entries, and what comes with Bitewright stays as "
            "it is: add one of your own under another name."
        )


def own_equipment() -> Catalogue:
    """The user's own equipment; empty where there is none."""
    try:
        return catalogue_from_mapping(read_toml(own_equipment_file()))
    except FileUnreadableError as error:
        if isinstance(error.__cause__, FileNotFoundError):
            return Catalogue()
        raise


def add_equipment_text(text: bytes) -> Catalogue:
    """As `add_equipment`, of a file's content."""
    return add_equipment(toml_from_bytes(text, name="of equipment"))


def add_equipment(content: Mapping[str, Any]) -> Catalogue:
    """Add entries of an equipment file to the user's own; all of them or none.

    Raises
    ------
    BitewrightError
        If one of them is not as it should be, or its name is taken.
    """
    packaged = packaged_catalogue()
    with alone_with(own_equipment_file()):
        added = packaged.merged(own_equipment()).with_entries(content)
        own = Catalogue(
            receptors={k: v for k, v in added.receptors.items() if k not in packaged.receptors},
            holders={k: v for k, v in added.holders.items() if k not in packaged.holders},
            tubes={k: v for k, v in added.tubes.items() if k not in packaged.tubes},
        )
        _keep(own)
    return own


def put_entry(section: str, entry: Mapping[str, Any]) -> Catalogue:
    """Add one entry, or replace the user's own of that name."""
    if section not in SECTIONS:
        raise UnknownSectionError(section)
    checked = entry_from_mapping(SECTIONS[section], entry)
    if checked.name in getattr(packaged_catalogue(), section):
        raise NotOwnError(checked.name)
    with alone_with(own_equipment_file()):
        own = own_equipment()
        changed = dataclasses.replace(
            own, **{section: {**getattr(own, section), checked.name: checked}}
        )
        _keep(changed)
    return changed


def remove_entry(section: str, name: str) -> Catalogue:
    """Remove one of the user's own entries."""
    if section not in SECTIONS:
        raise UnknownSectionError(section)
    with alone_with(own_equipment_file()):
        own = own_equipment()
        left = {k: v for k, v in getattr(own, section).items() if k != name}
        if len(left) == len(getattr(own, section)):
            raise NotOwnError(name)
        changed = dataclasses.replace(own, **{section: left})
        _keep(changed)
    return changed


def own_equipment_text() -> bytes:
    """The user's own equipment as a file."""
    return toml_bytes(
        catalogue_to_mapping(own_equipment()),
        name=own_equipment_file().name,
        comment=file_notes.OWN_EQUIPMENT,
    )


def _keep(own: Catalogue) -> None:
    write_toml(own_equipment_file(), catalogue_to_mapping(own), comment=file_notes.OWN_EQUIPMENT)


def entry_table(section: str, known: Catalogue) -> list[dict[str, Any]]:
    """Every entry of a section with its title and fields, and whether it is the user's own."""
    packaged = getattr(packaged_catalogue(), section)
    return [
        {"entry": entry_to_mapping(entry), "title": entry.title, "is_own": name not in packaged}
        for name, entry in getattr(known, section).items()
    ]


def entry_fields(section: str) -> list[dict[str, Any]]:
    """What a form for a section asks: name, words, unit, range or choices with their titles."""
    kind = SECTIONS[section]
    hints = get_type_hints(kind)
    return [_field(field, hints[field.name]) for field in dataclasses.fields(kind)]


def _field(field: "dataclasses.Field[Any]", hint: Any) -> dict[str, Any]:  # noqa: ANN401  a type hint
    unit = next((named for end, named in UNITS.items() if field.name.endswith(f"_{end}")), "")
    if field.name == "kv":
        unit = UNITS["kv"]
    low, high = field.metadata.get("range", (None, None))
    is_choice = isinstance(hint, type) and issubclass(hint, Enum)
    return {
        "name": field.name,
        "words": FIELD_TITLES[field.name],
        "says": FIELD_SAYS.get(field.name, ""),
        "unit": unit,
        "low": low,
        "high": high,
        "whole": hint is int,
        "choices": {m.value: _choice(m.value) for m in hint} if is_choice else {},
        "is_flag": hint is bool,
        "is_needed": field.default is dataclasses.MISSING,
    }


def _choice(name: str) -> str:
    return CONFIDENCE_TITLES.get(name, readable_name(name))


__all__ = [
    "NotOwnError",
    "add_equipment",
    "add_equipment_text",
    "entry_fields",
    "entry_table",
    "own_equipment",
    "own_equipment_text",
    "put_entry",
    "remove_entry",
]
