"""A user's own equipment and mouths: kept in the data folder, used by name everywhere."""

import dataclasses
import re
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
    NAME_PATTERN,
    entry_from_mapping,
    entry_to_mapping,
    readable_name,
)
from bitewright.errors import BitewrightError
from bitewright.files.own_folder import (
    own_equipment_file,
    own_mouth_file,
    own_mouth_files,
    remove_own_mouth,
)
from bitewright.files.toml_files import read_toml, toml_bytes, toml_from_bytes, write_toml
from bitewright.mouth.drawn_mouth import drawn_mouth
from bitewright.mouth.invented_mouths import invented_mouth, invented_mouth_titles, invented_mouths
from bitewright.mouth.mouth import Mouth, standard_mouth
from bitewright.mouth.mouth_description import mouth_from_description, mouth_to_description
from bitewright.nearest_name import meant
from bitewright.words import file_notes, mouths

STANDARD = "standard"
DRAWN = re.compile(r"drawn-(\d{1,9})(-thirds)?")
"""Mouths drawn by a seed: drawn-7, and drawn-7-thirds with third molars."""

DRAWN_SHOWN = ("drawn-1", "drawn-2", "drawn-3")
"""Those of them that lists show."""

UNITS = {"mm": "mm", "deg": "degrees", "kv": "kV", "ma": "mA", "s": "s", "al": "mm Al"}


class UnknownSectionError(BitewrightError):
    """The catalogue has no such section."""

    status_code = 404

    def __init__(self, given: str) -> None:
        super().__init__(
            f"The catalogue has no section {given[:40]!r} to add to; it has {', '.join(SECTIONS)} "
            "and mouths."
        )


class NotOwnError(BitewrightError):
    """A packaged entry cannot be changed or removed."""

    status_code = 404

    def __init__(self, name: str) -> None:
        super().__init__(
            f"{name[:40]!r} is none of your own entries, and what comes with Bitewright stays as "
            "it is: add one of your own under another name."
        )


class UnknownMouthError(BitewrightError):
    """A mouth was named that there is not.

    Parameters
    ----------
    given : str
    or_file : bool
        Whether a path to a mouth file would do as well.
    """

    def __init__(self, given: str, *, or_file: bool = False) -> None:
        self.given = given
        self.known = mouth_names()
        number = re.match(r"drawn-(\d{1,9})", given)
        drawn = [f"{number[0]}{end}" for end in ("", "-thirds")] if number else []
        path = ", or the path of a mouth file" if or_file else ""
        super().__init__(
            f"Mouth '{given[:60]}' is not known: give one of {', '.join(self.known)}, any other "
            f"number after drawn- (with third molars: drawn-7-thirds){path}."
            f"{meant(given, [*self.known, *drawn])}"
        )


class MouthNameError(BitewrightError):
    """A mouth's name cannot be used."""

    def __init__(self, given: str, why: str) -> None:
        super().__init__(
            f"The mouth's name {given[:60]!r} {why}: give small letters, digits and hyphens, such "
            "as 'narrow-palate-2'."
        )


def own_equipment() -> Catalogue:
    """The user's own equipment; empty where there is none."""
    file = own_equipment_file()
    return catalogue_from_mapping(read_toml(file)) if file.exists() else Catalogue()


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
    added = packaged_catalogue().merged(own_equipment()).with_entries(content)
    packaged = packaged_catalogue()
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
    words, unit = field.name, ""
    for ending, named in UNITS.items():
        if field.name.endswith(f"_{ending}"):
            words, unit = field.name.removesuffix(f"_{ending}"), named
    low, high = field.metadata.get("range", (None, None))
    is_choice = isinstance(hint, type) and issubclass(hint, Enum)
    return {
        "name": field.name,
        "words": words.replace("_", " "),
        "unit": unit,
        "low": low,
        "high": high,
        "whole": hint is int,
        "choices": {m.value: readable_name(m.value) for m in hint} if is_choice else {},
        "is_flag": hint is bool,
        "is_needed": field.default is dataclasses.MISSING,
    }


# ------------------------------------------------------------------------------- mouths
def mouth_names() -> tuple[str, ...]:
    """Mouths with a name: standard, invented, the user's own, and some of those drawn by seed."""
    own = own_mouth_files()
    drawn = [name for name in DRAWN_SHOWN if name not in own]
    return (STANDARD, *invented_mouths(), *own, *drawn)


def mouth_title(name: str) -> str:
    """What is shown of a mouth's name."""
    drawn = DRAWN.fullmatch(name)
    if drawn and name not in own_mouth_files():
        return f"drawn mouth {drawn[1]}{' with third molars' if drawn[2] else ''}"
    return invented_mouth_titles().get(name, readable_name(name))


def named_mouth(name: str) -> Mouth | None:
    """The mouth of a name, None if there is none; `DRAWN` names count, whatever their seed."""
    if name == STANDARD:
        return standard_mouth()
    if name in invented_mouths():
        return invented_mouth(name)
    own = own_mouth_files()
    if name in own:
        return mouth_from_description(read_toml(own[name]))
    drawn = DRAWN.fullmatch(name)
    return drawn_mouth(int(drawn[1]), third_molars=bool(drawn[2])) if drawn else None


def known_mouth(name: str, *, or_file: bool = False) -> Mouth:
    """As `named_mouth`, where there has to be one.

    Raises
    ------
    UnknownMouthError
    """
    found = named_mouth(name)
    if found is None:
        raise UnknownMouthError(name, or_file=or_file)
    return found


def mouth_table() -> list[dict[str, Any]]:
    """Every named mouth, what it shows, and whether it is the user's own."""
    says = {STANDARD: mouths.STANDARD}
    says |= dict(invented_mouths())
    says |= dict.fromkeys(DRAWN_SHOWN, mouths.DRAWN)
    return [
        {
            "name": name,
            "title": mouth_title(name),
            "says": says.get(name, mouths.OWN),
            "is_own": name in own_mouth_files(),
        }
        for name in mouth_names()
    ]


def add_mouth(name: str, text: bytes) -> None:
    """Keep a mouth's description under a name, checked first.

    Raises
    ------
    BitewrightError
        If name or description is not as it should be.
    """
    if not re.fullmatch(NAME_PATTERN, name) or len(name) > 40:
        raise MouthNameError(name, "is not allowed")
    if name == STANDARD or name in invented_mouths() or DRAWN.fullmatch(name):
        raise MouthNameError(name, "is taken")
    content = toml_from_bytes(text, name=f"{name}.toml")
    mouth = mouth_from_description(content)
    file = own_mouth_file(name)
    write_toml(file, mouth_to_description(mouth), comment=file_notes.MOUTH)


def mouth_text(name: str) -> bytes:
    """A named mouth's whole description as a file."""
    found = known_mouth(name)
    return toml_bytes(mouth_to_description(found), name=f"{name}.toml", comment=file_notes.MOUTH)


def remove_mouth(name: str) -> None:
    """Remove one of the user's own mouths."""
    if name not in own_mouth_files():
        raise NotOwnError(name)
    remove_own_mouth(name)


__all__ = [
    "DRAWN",
    "STANDARD",
    "UnknownMouthError",
    "add_equipment",
    "add_equipment_text",
    "add_mouth",
    "entry_fields",
    "entry_table",
    "known_mouth",
    "mouth_names",
    "mouth_table",
    "mouth_text",
    "mouth_title",
    "named_mouth",
    "own_equipment",
    "own_equipment_text",
    "put_entry",
    "remove_entry",
    "remove_mouth",
]
