"""Mouths with a name: the standard one, invented ones, drawn ones and a user's own."""

import re
from types import MappingProxyType
from typing import Any

from bitewright.equipment.entries import NAME_PATTERN, readable_name
from bitewright.errors import BitewrightError, quoted
from bitewright.files.own_folder import keep_own_mouth, own_mouth_files, remove_own_mouth
from bitewright.files.toml_files import read_toml, toml_bytes, toml_from_bytes
from bitewright.mouth.drawn_mouth import drawn_mouth
from bitewright.mouth.invented_mouths import invented_mouth, invented_mouth_titles, invented_mouths
from bitewright.mouth.mouth import Mouth, textbook_mouth
from bitewright.mouth.mouth_description import mouth_from_description, mouth_to_description
from bitewright.mouth.population_mouth import Regularity, population_mouth
from bitewright.mouth.standard_mouth import standard_mouth
from bitewright.nearest_name import meant
from bitewright.tasks.catalogue.own_equipment import NotOwnError
from bitewright.words import file_notes, mouths

STANDARD = "standard"
TEXTBOOK = "textbook"
DRAWN = re.compile(r"(drawn|population|calm)-(\d{1,9})(-thirds)?")
"""Mouths drawn by a seed: drawn-7, and drawn-7-thirds with third molars."""

DRAWN_SHOWN = MappingProxyType(
    {
        "population-1": mouths.POPULATION,
        "population-2": mouths.POPULATION,
        "calm-1": mouths.CALM,
        "drawn-1": mouths.DRAWN,
        "drawn-2": mouths.DRAWN,
        "drawn-3": mouths.DRAWN,
    }
)
"""Those of them that lists show, and what they are."""


def mouth_names() -> tuple[str, ...]:
    """Mouths with a name: standard, invented, the user's own, textbook, and some drawn by seed."""
    own = own_mouth_files()
    given = [name for name in (TEXTBOOK, *DRAWN_SHOWN) if name not in own]
    return (STANDARD, *invented_mouths(), *own, *given)


def mouth_title(name: str) -> str:
    """What is shown of a mouth's name."""
    drawn = DRAWN.fullmatch(name)
    if drawn and name not in own_mouth_files():
        return f"{drawn[1]} mouth {drawn[2]}{' with third molars' if drawn[3] else ''}"
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
    if name == TEXTBOOK:
        return textbook_mouth()
    drawn = DRAWN.fullmatch(name)
    return _drawn(drawn[1], int(drawn[2]), third_molars=bool(drawn[3])) if drawn else None


def _drawn(kind: str, seed: int, *, third_molars: bool) -> Mouth:
    if kind == "drawn":
        return drawn_mouth(seed, third_molars=third_molars)
    regularity = Regularity.CALM if kind == "calm" else Regularity.POPULATION
    return population_mouth(seed, regularity=regularity, third_molars=third_molars)


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
    says = {STANDARD: mouths.STANDARD, TEXTBOOK: mouths.TEXTBOOK}
    says |= dict(invented_mouths())
    says |= dict(DRAWN_SHOWN)
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
    if name in (STANDARD, TEXTBOOK) or name in invented_mouths() or DRAWN.fullmatch(name):
        raise MouthNameError(name, "is taken")
    content = toml_from_bytes(text, name=f"{name}.toml")
    mouth = mouth_from_description(content)
    keep_own_mouth(name, _text_of(mouth, name))


def mouth_text(name: str) -> bytes:
    """A named mouth's whole description as a file."""
    return _text_of(known_mouth(name), name)


def _text_of(mouth: Mouth, name: str) -> bytes:
    return toml_bytes(mouth_to_description(mouth), name=f"{name}.toml", comment=file_notes.MOUTH)


def remove_mouth(name: str) -> None:
    """Remove one of the user's own mouths."""
    if name not in own_mouth_files():
        raise NotOwnError(name)
    remove_own_mouth(name)


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
        number = re.match(r"(drawn|population|calm)-(\d{1,9})", given)
        drawn = [f"{number[0]}{end}" for end in ("", "-thirds")] if number else []
        path = ", or the path of a mouth file" if or_file else ""
        super().__init__(
            f"Mouth {quoted(given)} is not known: give one of {', '.join(self.known)}, any other "
            "number after population-, calm- or drawn- (with third molars: drawn-7-thirds)"
            f"{path}."
            f"{meant(given, [*self.known, *drawn])}"
        )


class MouthNameError(BitewrightError):
    """A mouth's name cannot be used."""

    def __init__(self, given: str, why: str) -> None:
        self.field = "name"
        super().__init__(
            f"The mouth's name {quoted(given)} {why}: give small letters, digits and hyphens, such "
            "as 'narrow-palate-2'."
        )


__all__ = [
    "DRAWN",
    "DRAWN_SHOWN",
    "STANDARD",
    "UnknownMouthError",
    "add_mouth",
    "known_mouth",
    "mouth_names",
    "mouth_table",
    "mouth_text",
    "mouth_title",
    "named_mouth",
    "remove_mouth",
]
