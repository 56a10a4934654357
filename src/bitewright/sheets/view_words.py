"""Which view of the log words mean: bitewing or not, side, region, teeth."""

import re
from collections.abc import Iterable, Sequence
from functools import cache, lru_cache

from bitewright.log.fields import OTHER_VIEWS
from bitewright.quality.views import view_names
from bitewright.sheets.cells import plain
from bitewright.sheets.close_words import CloseWords
from bitewright.sheets.vocabulary import meanings, words_of

NOT_INTRAORAL = "not-intraoral"
"""What is said of a film that no log of intraoral exposures has."""
INTRAORAL = frozenset({"bitewing", "periapical", "occlusal"})
PHOTOS = frozenset({"foto", "fotos", "photo", "photos", "foto's", "fotografie"})
TOOTH = re.compile(r"(?<![\d.])([1-8])\s?\.?([1-8])(?!\d)")
NAMED_TOOTH = re.compile(r"\b(ur|ul|ll|lr)\s?-?([1-8])(?!\d)")
ANY_NAMED_TOOTH = re.compile(NAMED_TOOTH.pattern, re.IGNORECASE)
QUADRANTS = {"ur": 1, "ul": 2, "ll": 3, "lr": 4}
RANGE = re.compile(r"(?<!\d)([1-8])([1-8])\s*(?:-|\u2013|bis|to|a|à|al|/)\s*([1-8])?([1-8])(?!\d)")
GLUED = re.compile(
    r"(r|l|d|g|i|re|li)?(pm|p|m)?(bw|bwx|bf|bfa|rc|am|bitewing)(x)?"
    r"(r|l|d|g|i|re|li)?(pm|p|m|premolar|molar)?"
    r"(r|l|d|g|i|re|li)?|(r|l|re|li|d|g)(pm|p|m)|(pm|p|m)(r|l|re|li|d|g|s|e|i)"
)
PARTS = {
    "b w": "bw",
    **dict.fromkeys(("retro coron", "retro coronaire", "retro coronaires"), "retrocoronaire"),
    **dict.fromkeys(("retro alv", "retro alveolaire"), "retroalveolaire"),
    "bite wing": "bitewing",
    "bite wings": "bitewings",
    **dict.fromkeys(("pre mol", "pre molar", "pre molars", "pre molari"), "premolar"),
    **dict.fromkeys(("pre molaren", "pra molaren", "pre molaires", "pre molares"), "premolar"),
}
LETTER_P = "p"
SIDE_LETTERS = {
    **dict.fromkeys(("e", "i", "s", "v", "b"), "left"),
    **dict.fromkeys(("p", "h", "j"), "right"),
}
"""Letters that are sides beside a region: esquerda, izquierda, sinistra, venstre, bal; prawa,
hoger, jobb. Common practice, no source."""
LEFT_ALONE = frozenset({"e", "i", "s"})
"""Letters that are the left side also without a region, as the last word of a bitewing."""
PLACES_OF_SIDE = re.compile(r"(?<!\d)([1-8])\s*(?:-|\u2013|to|bis|a|\u00e0)\s*([1-8])(?!\d)")
"""Places counted from the midline, such as 3-6, beside a side."""
SLAVIC = frozenset({"skrzydlowo", "zgryzowe", "zgryzowa", "zgryzowy", "skrzydlowe", "snimek"})
"""Words for films beside which P alone is the right side: prawa, pravá."""
YEAR = re.compile(r"(?:19|20)\d{2}")
SECOND_MOLAR = 7
OTHERS = (("occlusal", "occlusal"), ("outside", NOT_INTRAORAL), ("periapical", "periapical"))
PLACES = ("sides", "regions", "films")
LEAST_CLOSE = 5
"""Letters from which a word may be mistyped. Our choice."""
QUADRANT = re.compile(r"q(?:uadrant|uadrante)?\s?([1-4])")


@lru_cache(maxsize=50_000)
def view_in(text: str) -> str | None:  # noqa: C901  one a way to write it
    """The log's view that a text names, or `NOT_INTRAORAL`; None where it cannot be told."""
    name = "-".join(plain(text).split())
    if name in view_names() or name in OTHER_VIEWS:
        return name
    words = _pieces(_joined(plain(text)))
    films = meanings("films")
    types = _types(words)
    vertical = "vertical" in types and len(words) > 1
    side, region = _one("sides", words), _one("regions", words)
    codes = teeth_in(text)
    if LETTER_P in words and side and not region:
        region = "premolar"
    letters = {SIDE_LETTERS[word] for word in words if word in SIDE_LETTERS}
    if region and not side and len(letters) == 1:
        side = letters.pop()
        if "v" in words:  # left, as in vanster, and no sign of a vertical film beside
            vertical = any(films.get(word) == "vertical" for word in words if word != "v")
    if (
        "bitewing" in types
        and not side
        and len(letters & {"left"}) == 1
        and words[-1] in LEFT_ALONE
    ):
        side = "left"
    if "bitewing" in types and not side and words[-1] == LETTER_P and SLAVIC & set(words):
        side = "right"
    if side and not region and not codes and (found := PLACES_OF_SIDE.search(text)):
        region = "molar" if max(int(found[1]), int(found[2])) >= SECOND_MOLAR else "premolar"
    if "occlusal" in types and side and (region or SLAVIC & set(words)):
        types.add("bitewing")  # no film of the bite plane has a side and a region
    side = side or _side_of(codes, text)
    region = region or _region_of(codes)
    if "bitewing" not in types:
        for kind, view in OTHERS:
            if kind in types:
                return view
    if "bitewing" not in types and not (side and region and not codes):
        return None
    return _bitewing(side, region, vertical=vertical)


def _types(words: Sequence[str]) -> set[str]:
    """The sorts of film that words name; any image is called a photo in some languages."""
    films, joined = meanings("films"), " ".join(words)
    types = {films[word] for word in films if f" {word} " in f" {joined} "}
    types = types or {kind for word in words if (kind := _close("films", word)) is not None}
    return types - {"outside"} if types & INTRAORAL and PHOTOS & set(words) else types


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
        is_word = any(word in meanings(part) for part in PLACES)
        found = None if is_word else GLUED.fullmatch(word)
        parts = [part for part in found.groups() if part] if found else [word]
        pieces += ["pm" if part == "p" and found else part for part in parts]
    return pieces


@lru_cache(maxsize=50_000)
def _close(part: str, word: str) -> str | None:
    """What a word means, or one that it is close to and that means nothing else."""
    known = meanings(part)
    if word in known:
        return known[word]
    if len(word) < LEAST_CLOSE - 1 or any(word in meanings(each) for each in PLACES):
        return None
    return _close_words(part).meaning(word)


@cache
def _close_words(part: str) -> CloseWords:
    known = meanings(part).items()
    return CloseWords(
        {word: held for word, held in known if len(word) >= LEAST_CLOSE and " " not in word}
    )


def _one(part: str, words: list[str]) -> str | None:
    """The one meaning of a part that words have; None where none or several."""
    found = {meaning for word in words if (meaning := _close(part, word)) is not None}
    return found.pop() if len(found) == 1 else None


def teeth_in(text: str) -> tuple[int, ...]:
    """ISO 3950 codes that a text names, ranges filled; UR6 is 16."""
    found = [
        10 * QUADRANTS[place] + int(tooth) for place, tooth in NAMED_TOOTH.findall(text.lower())
    ]
    for quadrant, first, other, last in RANGE.findall(text):
        if not other or other == quadrant:
            low, high = sorted((int(first), int(last)))
            found += [10 * int(quadrant) + tooth for tooth in range(low, high + 1)]
    found += [10 * int(quadrant) + int(tooth) for quadrant, tooth in TOOTH.findall(text)]
    return tuple(sorted(code for code in set(found) if code // 10 <= 4 or code % 10 <= 5))


def without_teeth(text: str) -> str:
    """A text of a view without the teeth that it names; as it is where nothing else is left."""
    if not teeth_in(text):
        return text
    left = TOOTH.sub(" ", RANGE.sub(" ", ANY_NAMED_TOOTH.sub(" ", text)))
    return " ".join(left.split()).strip(" -,/") if any(map(str.isalpha, left)) else text


def _quadrants(codes: tuple[int, ...], text: str) -> set[int]:
    named = {int(found) for found in QUADRANT.findall(plain(text))}
    return named | {code // 10 for code in codes}


def has_both_sides(text: str) -> bool:
    """Whether a text names teeth of the right and of the left, as no film of one side has."""
    quadrants = _quadrants(teeth_in(text), text)
    return bool(quadrants & {1, 4, 5, 8}) and bool(quadrants & {2, 3, 6, 7})


def both_sides_told(text: str) -> str | None:
    """What else a text says that names right and left, or both; None where it does not."""
    known, words = meanings("sides"), _pieces(_joined(plain(text)))
    sides = {known[word] for word in words if word in known}
    both = words_of("both", "sides")
    if len(sides) < 2 and not any(word in both for word in words):
        return None
    return " ".join(word for word in words if word not in known and word not in both)


@lru_cache(maxsize=5000)
def place_parts(text: str) -> tuple[str | None, str | None, str | None] | None:
    """Side, region and sort of film of a text that names a film and nothing else; else None."""
    words = _pieces(_joined(plain(text)))
    films = meanings("films")
    kinds = {films[word] for word in words if word in films}
    side, region = _one("sides", words), _one("regions", words)
    letters = {SIDE_LETTERS[word] for word in words if word in SIDE_LETTERS}
    side = side or (letters.pop() if len(letters) == 1 else None)
    codes = teeth_in(text)
    others = {*meanings("sides"), *meanings("regions"), *films, *SIDE_LETTERS}
    if any(word not in others and not word.isdigit() for word in words):
        return None
    if not (side or region or kinds or codes):
        return None
    side, region = side or _side_of(codes, text), region or _region_of(codes)
    kind = kinds.pop() if len(kinds) == 1 else None
    return side, region, kind


def is_either_side(text: str) -> bool:
    """Whether a view names right and left with a stroke between: one of them, and not which."""
    return "/" in text and both_sides_told(text) is not None


def are_at_odds(texts: Sequence[str]) -> bool:
    """Whether two cells of a row name one side each, and not the same."""
    known = meanings("sides")
    told = [
        {known[word] for word in _pieces(_joined(plain(text))) if word in known} for text in texts
    ]
    return len({side for sides in told if len(sides) == 1 for side in sides}) > 1


def are_two_sides(text: str) -> bool:
    """Whether a cell of a side holds two of them, such as "D/I"."""
    return len({plain(piece) for piece in re.split(r"[/+&,]", text) if plain(piece)}) > 1


def is_place(text: str) -> bool:
    """Whether a text names a side, with its region or without, and nothing else."""
    words = _pieces(_joined(plain(text)))
    sides = {*meanings("sides"), "side", "seite", "cote", "lado", "lato", "zijde", "kant"}
    named = _one("sides", words) is not None
    return named and all(word in sides or word in meanings("regions") for word in words)


def has_place(text: str) -> bool:
    """Whether a text names a side, a region, a quadrant or teeth."""
    words = _pieces(_joined(plain(text)))
    known = meanings("sides").keys() | meanings("regions").keys()
    named = any(word in known or _one("regions", [word]) for word in words)
    return named or bool(_quadrants(teeth_in(text), text))


def is_region_or_side(text: str) -> bool:
    """Whether all words of a text are sides or regions."""
    words = _pieces(_joined(plain(text)))
    known = meanings("sides").keys() | meanings("regions").keys()
    return bool(words) and all(word in known or _close("regions", word) for word in words)


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


BESIDE_VIEWS = frozenset(
    {"side", "seite", "cote", "lado", "lato", "zijde", "kant", "sida", "of", "the", "and", "und"}
    | {"film", "x", "ray", "view", "region", "digital", "no", "nr", "de", "du", "la", "le", "der"}
    | {"die", "das", "des", "del", "della", "di", "da", "do", "van", "mit", "with"}
)
"""Words that may stand with a view and tell no more of it."""


def side_by_letter(text: str) -> str | None:
    """The side that one letter of a bitewing's text may stand for: "BW h" may be the right one."""
    words = _pieces(_joined(plain(text)))
    sides = {SIDE_LETTERS[word] for word in words if word in SIDE_LETTERS}
    return sides.pop() if len(sides) == 1 and view_in(text) == "bitewing" else None


def has_other_words(text: str) -> bool:
    """Whether a text that names a view holds words that are not known, and may tell more of it."""
    words = _pieces(_joined(plain(text)))
    known = {*SIDE_LETTERS, *BESIDE_VIEWS, *words_of("both", "sides")}
    teeth = bool(teeth_in(text))
    return any(
        not (word.isdigit() and (teeth or YEAR.fullmatch(word)))
        and word not in known
        and not any(_close(part, word) for part in PLACES)
        and not any(f" {word} " in f" {phrase} " for phrase in meanings("films"))
        for word in words
    )


PARTNERS = {
    **dict.fromkeys("gise", "d"),
    "d": "gise",
    "h": "v",
    "v": "h",
    "p": "l",
    "j": "b",
    "b": "j",
}
"""Letters that are a side only where one of the other side is written in the same way."""


def letters_alone(texts: Iterable[str]) -> frozenset[str]:
    """Letters that might be a side, and of whose other side nothing is written."""
    words = {word for text in texts for word in _pieces(_joined(plain(text)))}
    known = meanings("sides")
    written_out = {known[word] for word in words if word in known and len(word) > 1}
    return frozenset(
        letter
        for letter, others in PARTNERS.items()
        if letter in words
        and not words & {*others}
        and not written_out - {known.get(letter, SIDE_LETTERS.get(letter, ""))}
    )


def without_letters(text: str, letters: frozenset[str]) -> str:
    """A text without some single letters; as it is where it has none of them."""
    words = _pieces(_joined(plain(text)))
    left = [word for word in words if word not in letters]
    return text if len(left) == len(words) else " ".join(left)


def is_bitewing_word(text: str) -> bool:
    """Whether a text says bitewing in one of the languages."""
    held = f" {plain(text)} "
    return any(f" {word} " in held for word in words_of("films", "bitewing") if len(word) > 2)


SEVERAL = frozenset(
    {
        "bws",
        "bwx",
        "bwxs",
        "bitewings",
        "bite wings",
        "pair",
        "pair of bitewings",
        "set",
        "set of bw",
    }
    | {"set of bitewings", "both bw", "both bws", "both bitewings", "bw pair", "bw set", "bws both"}
    | {"bissflugel beide", "beide bf", "bf beide", "bfs", "bissflugelaufnahmen", "bf paar", "paar"}
    | {"rcs", "retrocoronaires", "bitewings d g", "deux bw", "paire", "paire de bw", "les deux bw"}
    | {"aletas", "aletas de mordida", "am ambas", "par", "par de aletas", "par de bw", "coppia"}
    | {"coppia di bw", "bw entrambe", "interproximais", "par de interproximais", "bitewing set"}
    | {"setje bw", "bw setje", "beide bw", "bw beide", "begge bw", "bw begge", "bada bw"}
)
"""Words for bitewings of both sides, taken together. Common practice, no source."""


def are_several(text: str) -> bool:
    """Whether a word is for more than one bitewing, where others say which side."""
    return plain(text) in SEVERAL


__all__ = [
    "NOT_INTRAORAL",
    "are_at_odds",
    "are_several",
    "are_two_sides",
    "both_sides_told",
    "has_both_sides",
    "has_other_words",
    "has_place",
    "is_bitewing_word",
    "is_either_side",
    "is_place",
    "is_region_or_side",
    "letters_alone",
    "place_parts",
    "side_by_letter",
    "teeth_in",
    "view_in",
    "without_letters",
    "without_teeth",
]
