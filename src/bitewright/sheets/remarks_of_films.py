"""A remark that several films of a row share: which of them each part of it is about."""

import re
from collections.abc import Mapping, Sequence

from bitewright.sheets.cells import plain
from bitewright.sheets.grade_words import WORST
from bitewright.sheets.takes import takes_in
from bitewright.sheets.view_words import place_parts
from bitewright.sheets.word_meanings import decision_word, flag

PIECES = re.compile(r"\s*(?:[,;]|\s/\s|\n)\s*")
SIGNS = re.compile(r"^[\s:.\-\u2013\u2014>)]+")
MOST_WORDS = 4
"""Words with which a remark may name its film. Our choice."""


def remark_of_each(text: str, results: Mapping[str, str]) -> dict[str, str]:
    """What a remark says of each film: ``results`` of the films of the row, by what names each.

    A part that names a film is of that one, and so are those behind it that name none. One that
    names none at all is of the films that were not good, or else of all.
    """
    found: dict[str, list[str]] = {}
    last: Sequence[str] = ()
    for piece in PIECES.split(text):
        films, rest = _films_named(piece, tuple(results))
        last = _worst(films, results) if films else (last or _worst(tuple(results), results))
        for film in last:
            if rest:
                found.setdefault(film, []).append(rest)
    return {film: ", ".join(parts) for film, parts in found.items()}


def _films_named(piece: str, films: tuple[str, ...]) -> tuple[tuple[str, ...], str]:
    """Films that the beginning of a part of a remark names, and what it says of them."""
    words = piece.split()
    for size in range(min(MOST_WORDS, len(words)), 0, -1):
        named = place_parts(" ".join(words[:size]))
        if named is None:
            continue
        held = tuple(film for film in films if _is_of(named, film))
        if held:
            return held, SIGNS.sub("", " ".join(words[size:]))
    return (), piece


def _is_of(named: tuple[str | None, ...], film: str) -> bool:
    own = place_parts(film)
    return own is not None and all(
        one is None or one == other for one, other in zip(named, own, strict=True)
    )


def _worst(films: tuple[str, ...], results: Mapping[str, str]) -> tuple[str, ...]:
    """Of several films those that were not kept, else those with a remark; all where none is."""
    for least in (2, 1):
        bad = tuple(film for film in films if _badness(results[film]) >= least)
        if bad:
            return bad
    return films


def _badness(result: str) -> int:
    takes = takes_in(result, {})
    if takes:
        return 2 if "rejected" in takes else 1
    decision = decision_word(result)
    if decision in {"rejected", "retaken"} or plain(result) in {"n", "3", *WORST}:
        return 2
    if decision == "accepted-with-a-remark" or plain(result) == "2":
        return 1
    return 2 if flag(result) is False else 0


__all__ = ["remark_of_each"]
