"""What a phrase for a fault says by its parts: the thing, and what is wrong with it."""

import re
import tomllib
from collections.abc import Mapping
from functools import cache, lru_cache
from importlib.resources import files
from typing import Any

from bitewright.sheets.cells import plain
from bitewright.sheets.vocabulary import meanings

BOUND = r"(?<![^ ])"
END = r"(?![^ ])"


@lru_cache(maxsize=20_000)
def fault_by_parts(text: str, *, least: int = 1) -> str | None:
    """The fault that a plain text names by its parts, so many at least; None where none."""
    held = parts_in(text)
    if not held or says_well(text):
        return None
    for fault, parts in _rules():
        if len(parts) >= least and parts <= held:
            return fault
    return None


@lru_cache(maxsize=20_000)
def parts_in(text: str) -> frozenset[str]:
    """The parts that a plain text has."""
    return frozenset(name for name, pattern in _patterns().items() if pattern.search(text))


def says_well(text: str) -> bool:
    """Whether a plain text says that all is well: "contacts open", "position ok"."""
    words = set(text.split())
    if words & DENIED:
        return False
    return bool(words & _well()) or {"contact", "open"} <= parts_in(text)


DENIED = frozenset(
    {
        "not",
        "nicht",
        "pas",
        "non",
        "no",
        "nao",
        "niet",
        "kein",
        "keine",
        "never",
        "but",
        "aber",
        "mais",
        "pero",
        "ma",
        "mas",
        "maar",
        "except",
        "bis",
        "sauf",
    }
)


@cache
def _table() -> Mapping[str, Any]:
    text = (files("bitewright.sheets") / "tables" / "fault_parts.toml").read_text("utf-8")
    return tomllib.loads(text)


@cache
def _well() -> frozenset[str]:
    return frozenset(_table()["well"]["words"])


@cache
def _rules() -> tuple[tuple[str, frozenset[str]], ...]:
    return tuple(
        (rule["fault"], frozenset(parts)) for rule in _table()["rule"] for parts in rule["parts"]
    )


@cache
def _patterns() -> Mapping[str, re.Pattern[str]]:
    return {
        name: re.compile("|".join(map(_pattern, words)))
        for name, words in _table()["parts"].items()
    }


def _pattern(word: str) -> str:
    """As the table says: a whole word, the beginning of one, or anywhere in one."""
    if word.startswith("*"):
        return re.escape(word.strip("*")) + ("" if word.endswith("*") else END)
    return BOUND + re.escape(word.rstrip("*")) + ("" if word.endswith("*") else END)


OF_MANY = frozenset(
    {
        "not shown",
        "not visible",
        "not seen",
        "not imaged",
        "cut off",
        "abgeschnitten",
        "not on film",
    }
    | {"nicht dargestellt", "nicht abgebildet", "nicht sichtbar", "non visibile", "non visible"}
    | {"no visible", "nao visivel", "niet zichtbaar", "ontbreekt", "manca", "off the film"}
    | {"missed", "missing", "fehlt", "manque", "falta", "falsch"}
    | {
        "horizontal",
        "vertical",
        "angle",
        "angulation",
        "position",
        "placement",
        "positioning",
        "light",
    }
    | {"patient", "exposure", "dark", "lage", "winkel", "coupe", "exposition", "posicion", "angulo"}
    | {"contrast", "density", "scan", "tubus", "cone", "blank", "hell", "dunkel", "sensor"}
)
"""Words that name a fault only where no other word of the phrase does."""
JOINED_BY = re.compile(
    r"\s+(?:en|as well as|with|w/|met|mit|avec|con|com|med|then|also|auch|aussi|ook|anche|"
    r"samt|sowie|tambien|también|também|också|és|ve|och|og)\s+",
    re.IGNORECASE,
)
"""Words that join two faults, and that also stand within the name of one."""
ANOTHER = re.compile(
    r"(?:(?:of|to|from|for|no|nr|num|film|image|row|line|entry|von|zu|aus|fur|zeile|bild|de|du|la|le|n|num|"
    r"ligne|del|della|do|da|numero|riga|linha|fila|van|regel|av|af|fra|rad|z|c|cislo|see|s|siehe)\s)*\d+"
)


OPEN_FAULTS = frozenset(
    {
        "centre",
        "centring",
        "centering",
        "centred",
        "centered",
        "off centre",
        "off center",
        "centrage",
    }
    | {"not centred", "not centered", "decentred", "decentered", "zentrierung", "dezentriert"}
    | {"zentrierfehler", "nicht zentriert", "schlecht zentriert", "zentrierungsfehler"}
    | {"centreerfout", "decentre", "decentree", "decentrage", "mal centre", "mal centree"}
    | {"descentrado", "descentrada", "decentrado", "decentrada", "mal centrado", "mal centrada"}
    | {"centrado", "centraje", "descentraje", "decentrato", "decentrata", "decentramento"}
    | {"centratura", "non centrato", "non centrata", "centragem", "descentramento"}
    | {"slecht gecentreerd", "niet gecentreerd", "centrering", "decentrering", "felcentrerad"}
    | {"fejlcentreret", "feilsentrert", "sentrering", "niecentralne", "decentrace"}
)
"""Words that some say of the beam, which then cuts the film, and others of the occlusal plane."""


def is_open_fault(text: str) -> bool:
    """Whether a word for a fault means one of two things, so that a person is asked."""
    return plain(text) in OPEN_FAULTS


def names_another(text: str) -> bool:
    """Whether a phrase says of which film this one is the second: "repeat of no. 7"."""
    first, _, rest = plain(text).partition(" ")
    again = (
        meanings("kinds").get(first) == "retake" or meanings("decisions").get(first) == "retaken"
    )
    return again and len(first) > 2 and ANOTHER.fullmatch(rest) is not None


__all__ = [
    "JOINED_BY",
    "OF_MANY",
    "fault_by_parts",
    "is_open_fault",
    "names_another",
    "parts_in",
    "says_well",
]
