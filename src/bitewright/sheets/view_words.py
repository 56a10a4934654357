"""Which view of the log words mean: bitewing or not, side, region, teeth."""

import re
from functools import lru_cache

from bitewright.log.fields import OTHER_VIEWS
from bitewright.quality.views import view_names
from bitewright.sheets.cells import plain
from bitewright.sheets.vocabulary import meanings, words_of

NOT_INTRAORAL = "not-intraoral"
"""What is said of a film that no log of intraoral exposures has."""
TOOTH = re.compile(r"(?<![\d.])([1-8])\s?\.?([1-8])(?!\d)")
RANGE = re.compile(r"(?<!\d)([1-8])([1-8])\s*(?:-|\u2013|bis|to|a|à|al|/)\s*([1-8])?([1-8])(?!\d)")
GLUED = re.compile(
    r"(r|l|d|g|i|re|li)?(pm|p|m)?(bw|bwx|bf|bfa|rc|am|bitewing)(x)?"
    r"(r|l|d|g|i|re|li)?(pm|p|m|premolar|molar)?"
    r"(r|l|d|g|i|re|li)?|(r|l|re|li|d|g)(pm|p|m)|(pm|m)(r|l|re|li|d|g)"
)
PARTS = {
    "b w": "bw",
    "bite wing": "bitewing",
    "bite wings": "bitewings",
    **dict.fromkeys(("pre mol", "pre molar", "pre molars", "pre molari"), "premolar"),
    **dict.fromkeys(("pre molaren", "pra molaren", "pre molaires", "pre molares"), "premolar"),
}
QUADRANT = re.compile(r"q(?:uadrant|uadrante)?\s?([1-4])")


@lru_cache(maxsize=50_000)
def view_in(text: str) -> str | None:
    """The log's view that a text names, or `NOT_INTRAORAL`; None where it cannot be told."""
    name = "-".join(plain(text).split())
    if name in view_names() or name in OTHER_VIEWS:
        return name
    words = _pieces(_joined(plain(text)))
    films = meanings("films")
    joined = " ".join(words)
    types = {films[word] for word in films if f" {word} " in f" {joined} "}
    vertical = "vertical" in types and len(words) > 1
    if "bitewing" not in types:
        if "occlusal" in types:
            return "occlusal"
        if "outside" in types:
            return NOT_INTRAORAL
        if "periapical" in types:
            return "periapical"
    side, region = _one("sides", words), _one("regions", words)
    codes = teeth_in(text)
    side = side or _side_of(codes, text)
    region = region or _region_of(codes)
    if "bitewing" not in types and not (side and _one("regions", words)):
        return None
    return _bitewing(side, region, vertical=vertical)


def _bitewing(side: str | None, region: str | None, *, vertical: bool) -> str:
    if side and region:
        return f"{side}-{region}-vertical" if vertical else f"{side}-{region}"
    return f"{side}-bitewing" if side else "bitewing"


def _joined(text: str) -> str:
    """A plain text in which words of two parts, such as "pre molar" and "b w", are one."""
    held = f" {text} "
    for parts, one in PARTS.items():
        held = held.replace(f" {parts} ", f" {one} ")
    return held.strip()


def _pieces(text: str) -> list[str]:
    """Words, those glued to others taken apart: "bwr pm" as bw, r, pm."""
    pieces: list[str] = []
    for word in text.split():
        found = GLUED.fullmatch(word)
        parts = [part for part in found.groups() if part] if found else [word]
        pieces += ["pm" if part == "p" and found else part for part in parts]
    return pieces


def _one(part: str, words: list[str]) -> str | None:
    """The one meaning of a part that words have; None where none or several."""
    known = meanings(part)
    found = {known[word] for word in words if word in known}
    return found.pop() if len(found) == 1 else None


def teeth_in(text: str) -> tuple[int, ...]:
    """ISO 3950 codes that a text names, ranges filled."""
    found: list[int] = []
    for quadrant, first, other, last in RANGE.findall(text):
        if not other or other == quadrant:
            low, high = sorted((int(first), int(last)))
            found += [10 * int(quadrant) + tooth for tooth in range(low, high + 1)]
    found += [10 * int(quadrant) + int(tooth) for quadrant, tooth in TOOTH.findall(text)]
    return tuple(sorted(code for code in set(found) if code // 10 <= 4 or code % 10 <= 5))


def _quadrants(codes: tuple[int, ...], text: str) -> set[int]:
    named = {int(found) for found in QUADRANT.findall(plain(text))}
    return named | {code // 10 for code in codes}


def has_both_sides(text: str) -> bool:
    """Whether a text names teeth of the right and of the left, as no film of one side has."""
    quadrants = _quadrants(teeth_in(text), text)
    return bool(quadrants & {1, 4, 5, 8}) and bool(quadrants & {2, 3, 6, 7})


def is_place(text: str) -> bool:
    """Whether a text names a side, with its region or without, and nothing else."""
    words = _pieces(_joined(plain(text)))
    sides = {*meanings("sides"), "side", "seite", "cote", "lado", "lato", "zijde", "kant"}
    named = _one("sides", words) is not None
    return named and all(word in sides or word in meanings("regions") for word in words)


def _side_of(codes: tuple[int, ...], text: str) -> str | None:
    quadrants = _quadrants(codes, text)
    if quadrants and quadrants <= {1, 4, 5, 8}:
        return "right"
    return "left" if quadrants and quadrants <= {2, 3, 6, 7} else None


def _region_of(codes: tuple[int, ...]) -> str | None:
    """A second molar is on a molar film, a first premolar on a premolar one. Our choice between."""
    places = {code % 10 for code in codes}
    if not places:
        return None
    if places & {7, 8}:
        return "molar"
    return "molar" if 6 in places and not places & {1, 2, 3, 4} else "premolar"


def is_bitewing_word(text: str) -> bool:
    """Whether a text says bitewing in one of the languages."""
    held = f" {plain(text)} "
    return any(f" {word} " in held for word in words_of("films", "bitewing") if len(word) > 2)


__all__ = [
    "NOT_INTRAORAL",
    "has_both_sides",
    "is_bitewing_word",
    "is_place",
    "teeth_in",
    "view_in",
]
