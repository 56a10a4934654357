"""Whether two ways to write a name may be one person: a title more, initials, a name cut short."""

import tomllib
from collections.abc import Sequence
from enum import IntEnum
from functools import cache
from importlib.resources import files
from itertools import takewhile

from bitewright.sheets.cells import plain
from bitewright.sheets.close_words import slips

HER = frozenset(
    {"mrs", "ms", "miss", "frau", "fr", "mme", "mlle", "madame", "sra", "srta", "dona", "doutora"}
    | {"dra", "dottoressa", "dssa", "ssa", "sig ra", "signora", "mevr", "mevrouw", "mw", "pani"}
    | {"fru", "froken", "senora", "professoressa", "profa", "schwester", "sister"}
)
HIS = frozenset(
    {"mr", "herr", "hr", "sr", "don", "m", "monsieur", "sig", "signor", "senor", "dhr", "pan"}
    | {"meneer", "brother", "pfleger"}
)
OF_OFFICE = frozenset(
    {"dr", "drs", "doctor", "doktor", "docteur", "doutor", "dott", "dottor", "dottore", "doc"}
    | {"prof", "professor", "professeur", "med", "dent", "dds", "bds", "dmd", "odont", "pd"}
    | {"nurse", "dn", "dh", "dt", "ot", "hyg", "hygienist", "therapist", "dentist", "boss", "chef"}
    | {"zfa", "zmp", "dh", "zmf", "azubi", "zahnarztin", "zahnarzt", "assistentin", "assistent"}
    | {"assistante", "assistant", "hygieniste", "dentiste", "interne", "stagiaire", "mta", "mtra"}
    | {"auxiliar", "higienista", "odontologa", "odontologo", "dentista", "igienista", "aso"}
    | {"assistente", "tirocinante", "praticante", "trainee", "student", "studentin", "etudiant"}
    | {"alumno", "alumna", "estudiante", "estagiaria", "estagiario", "foundation", "fd", "vt"}
    | {"tandarts", "mondhygienist", "preventieassistent", "stagiair", "tandlakare", "tandlaege"}
    | {"tandskoterska", "tandhygienist", "lek", "lekarz", "hig", "asyst", "mudr", "mddr", "dt"}
)
TITLES = HER | HIS | OF_OFFICE
"""Forms of address and of office, in plain letters. Common practice, no source."""
LEAST_BEGUN, LEAST_ALIKE = 3, 3
"""Letters that a name cut short must have, and that two must begin with alike. Our choice."""
INITIALS = 4
"""Letters up to which a word may be initials. Our choice."""
LONGEST_CALLED = 8
"""Letters up to which one of two alike may be a name for every day. Our choice."""


class NameLikeness(IntEnum):
    """How much speaks for two spellings being one person."""

    NONE = 0
    MAY_BE = 1
    LIKELY = 2


def bare_name(text: str) -> tuple[str, ...]:
    """The words of a name in plain letters without its titles; with them where nothing else is."""
    words = plain(text).split()
    bare = tuple(word for word in words if word not in TITLES)
    return bare or tuple(words)


def likeness(one: str, other: str) -> NameLikeness:
    """How much speaks for two spellings being one person."""
    short, full = sorted((bare_name(one), bare_name(other)), key=lambda name: len(" ".join(name)))
    if not short or any(map(_has_figure, (*short, *full))) or _are_of_two(one, other):
        return NameLikeness.NONE
    if sorted(short) == sorted(full):
        return NameLikeness.LIKELY
    found = _by_words(short, full)
    return max(found, _by_initials(short, full))


def _has_figure(word: str) -> bool:
    return any(map(str.isdigit, word))


def _are_of_two(one: str, other: str) -> bool:
    """Whether one is addressed as a woman and the other as a man."""
    first, second = (set(plain(text).split()) for text in (one, other))
    return bool((first & HER and second & HIS) or (first & HIS and second & HER))


def _by_words(short: Sequence[str], full: Sequence[str]) -> NameLikeness:
    """Each word of one in the other: the same, its beginning, its initial, or one much like it."""
    if len(short) > len(full):
        short, full = full, short
    left, least = list(full), NameLikeness.LIKELY
    for word in sorted(short, key=len, reverse=True):
        fits = [(_of_words(word, each), each) for each in left]
        best = max(fits, key=lambda each: each[0], default=(NameLikeness.NONE, ""))
        if best[0] is NameLikeness.NONE:
            return NameLikeness.NONE
        left.remove(best[1])
        least = min(least, best[0])
    only_first = len(short) == 1 and len(short[0]) == 1
    return min(least, NameLikeness.MAY_BE) if only_first and len(full) > 1 else least


def _of_words(one: str, other: str) -> NameLikeness:
    short, full = sorted((one, other), key=len)
    is_cut = full.startswith(short) or (len(short) == 2 and short == full[0] + full[-1])
    if is_cut or any({short, full} <= names for names in _short_names()):
        return NameLikeness.LIKELY  # an initial, the beginning of a name, or "Ma" for Maria
    for least, most in ((5, 1), (8, 2)):
        if len(short) >= least and slips(short, full, most) <= most:
            is_ending = short[:-1] == full[: len(short) - 1]
            return (
                NameLikeness.MAY_BE if is_ending else NameLikeness.LIKELY
            )  # Marie is seldom Maria
    pairs = zip(short, full, strict=False)
    alike = sum(1 for _ in takewhile(lambda pair: pair[0] == pair[1], pairs))
    is_alike = alike >= LEAST_ALIKE and len(short) <= LONGEST_CALLED
    return NameLikeness.MAY_BE if is_alike else NameLikeness.NONE


def _by_initials(short: Sequence[str], full: Sequence[str]) -> NameLikeness:
    """Initials glued or apart, beside a name written out."""
    letters = "".join(short)
    if len(letters) > INITIALS or (len(short) > 1 and any(len(word) > 1 for word in short)):
        return NameLikeness.NONE
    firsts = "".join(word[0] for word in full)
    is_named = len(full) > 1 and len(full[-1]) > 1
    if (min(map(len, full)) == 1 and not (is_named and letters == firsts)) or not set(firsts):
        return NameLikeness.NONE
    if len(full) > 1 and letters in {firsts, firsts[::-1], firsts[0] + firsts[-1]}:
        return NameLikeness.LIKELY
    if len(full) == 1 and len(letters) > 1 and letters[-1] == firsts:
        return NameLikeness.MAY_BE  # CO for Okafor
    if len(full) == 1 and len(letters) > 1 and letters[0] == firsts:
        return NameLikeness.MAY_BE  # PS for Priya
    return (
        NameLikeness.MAY_BE
        if len(letters) > 2 and set(firsts) <= set(letters)
        else NameLikeness.NONE
    )


@cache
def _short_names() -> tuple[frozenset[str], ...]:
    """First names, each with what it is cut to."""
    text = files("bitewright.sheets").joinpath("tables", "short_names.toml").read_text("utf-8")
    return tuple(map(frozenset, tomllib.loads(text)["names"]))


__all__ = ["TITLES", "NameLikeness", "bare_name", "likeness"]
