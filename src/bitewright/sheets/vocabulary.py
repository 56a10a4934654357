"""What headings and cells commonly mean, in many languages, read from the packaged tables."""

import re
import tomllib
from bisect import bisect_left
from collections.abc import Collection, Iterable, Iterator, Mapping
from dataclasses import dataclass
from functools import cache
from importlib.resources import files
from typing import Any

from bitewright.sheets.cells import plain
from bitewright.sheets.close_words import LONG, slips

EXACT, WITHIN, JOINED, SHORTENED = 3.0, 1.8, 1.5, 1.2
"""How much a heading that is a synonym counts; that holds one; that has one as a part of a compound
word; that is its beginning. Our choice."""
IN_BRACKETS = re.compile(r"\([^)]*\)?")
LISTED = re.compile(
    r"(?<!\w)\w(?:\s?[/,|\u2013-]\s?\w){1,6}(?!\w)|(?<!\w)\w\s(?:bis|to|tot|til|till|a|\u00e0)\s\w(?!\w)"
)
"""Grades that a heading lists behind its word, such as "G/M/D" or "1-4"."""
BEFORE_BRACKETS = 0.95
"""How much a heading counts without what stands in brackets behind it. Our choice."""
UPPER = 0.65
"""How much the upper line of a heading counts beside the lower one. Our choice."""
NEARLY = 2.7
"""How much a heading counts that is a synonym but for small words. Our choice."""
SMALL = frozenset(
    {"no", "nr", "n", "num", "numero", "number", "nummer", "of", "the", "de", "du", "des", "del"}
    | {"della", "dello", "di", "da", "do", "dos", "la", "le", "les", "el", "il", "d", "l", "der"}
    | {"die", "das", "van", "het", "code", "id", "a", "o", "e", "os", "as", "in", "im"}
    | {"name", "nom", "nombre", "nome", "naam", "namn", "navn"}
)
OVER = " / "
"""What stands between the two lines of a heading."""
LEAST_BEGUN = 2
"""Letters that the beginning of a word must have, the first one of several one more. Our choice."""
MOST_PARTS = 12
"""Words of a text up to which its phrases are looked up, and not each known word in it."""
LEAST_PART = 5
"""Letters that a part of a compound word, or a mistyped word, must have. Our choice."""


@cache
def _table(name: str) -> dict[str, Any]:
    text = (files("bitewright.sheets") / "tables" / name).read_text("utf-8")
    return {key: value for key, value in tomllib.loads(text).items() if key != "format"}


@cache
def heading_words() -> Mapping[str, tuple[str, ...]]:
    """Synonyms of each thing that a column may hold."""
    return {name: tuple(words) for name, words in _table("headings.toml").items()}


@cache
def meanings(part: str) -> Mapping[str, str]:
    """Words of one part of the table of words: what each means."""
    return {word: name for name, words in _table("words.toml")[part].items() for word in words}


@cache
def fault_words() -> Mapping[str, str]:
    """Words for faults: the log's name of each."""
    return {word: name for name, words in _table("fault_words.toml").items() for word in words}


@cache
def words_of(part: str, name: str) -> frozenset[str]:
    """The words of one meaning."""
    return frozenset(_table("words.toml")[part][name])


def lowest(heading: str) -> str:
    """The lower line of a heading of two lines."""
    return heading.rpartition(OVER)[2]


MARKS_ALONE = re.compile("\\s*[\u2713\u2714\u221a\u2611]\\s*[/|,]?\\s*[\u2717\u2718\u2612xX]\\s*")
"""A heading of a tick and a cross alone: what stands under it tells what became of the films."""


@cache
def heading_scores(heading: str) -> Mapping[str, float]:
    """How well a heading fits each thing that a column may hold; what it does not is left out.

    Of a heading of two lines the lower one tells more.
    """
    if MARKS_ALONE.fullmatch(heading):
        return {"decision": EXACT}
    texts = {plain(heading): 1.0, plain(lowest(heading)): 1.0}
    if "(" in heading:
        texts.setdefault(plain(IN_BRACKETS.sub(" ", heading)), BEFORE_BRACKETS)
    if LISTED.search(heading):
        texts.setdefault(plain(LISTED.sub(" ", lowest(heading))), BEFORE_BRACKETS)
    if OVER in heading:
        texts.setdefault(plain(heading.rpartition(OVER)[0]), UPPER)
    found: dict[str, float] = {}
    for text in filter(_has_letters, texts):
        for name, word in _heading_index().near(text):
            score = _fit(text, word) * texts[text]
            if score > found.get(name, 0.0):
                found[name] = score
    if max(found.values(), default=0.0) >= NEARLY:  # a word for a thing is no part of another
        found = {name: score for name, score in found.items() if score > JOINED}
    return found


def _has_letters(text: str) -> bool:
    return any(map(str.isalpha, text))


@dataclass(frozen=True, slots=True)
class _HeadingIndex:
    """Synonyms of headings by what a heading must have to fit them, so that few are looked at.

    Parameters
    ----------
    entries : list of (synonym, name of the thing)
        In alphabetical order.
    first, core : mapping of first word, and of what is left without small words, to entries
    alone : mapping of letters in a synonym of one long word to entries
    """

    entries: list[tuple[str, str]]
    first: Mapping[str, list[tuple[str, str]]]
    core: Mapping[str, list[tuple[str, str]]]
    alone: Mapping[int, list[tuple[str, str]]]

    def near(self, text: str) -> Iterator[tuple[str, str]]:
        """Name and synonym of all that may fit a text, and of some that do not."""
        held = text.split()
        found = {entry for word in held for entry in self.first.get(word, ())}
        found.update(self.core.get(_core(text), ()))
        if len(held) == 1 or len(held[0]) > LEAST_BEGUN:
            found.update(self._begun(held[0]))
        for word in held:
            lengths = range(LEAST_PART, len(word) + 3)
            found.update(entry for size in lengths for entry in self.alone.get(size, ()))
        return ((name, word) for word, name in found)

    def _begun(self, start: str) -> Iterator[tuple[str, str]]:
        for at in range(bisect_left(self.entries, (start, "")), len(self.entries)):
            if not self.entries[at][0].startswith(start):
                return
            yield self.entries[at]


@cache
def _heading_index() -> _HeadingIndex:
    first: dict[str, list[tuple[str, str]]] = {}
    core: dict[str, list[tuple[str, str]]] = {}
    alone: dict[int, list[tuple[str, str]]] = {}
    entries = sorted({(word, name) for name, words in heading_words().items() for word in words})
    for entry in entries:
        asked = entry[0].split()
        first.setdefault(asked[0], []).append(entry)
        if _core(entry[0]):
            core.setdefault(_core(entry[0]), []).append(entry)
        if len(asked) == 1 and len(entry[0]) >= LEAST_PART:
            alone.setdefault(len(entry[0]), []).append(entry)
    return _HeadingIndex(entries=entries, first=first, core=core, alone=alone)


def _fit(text: str, word: str) -> float:  # noqa: PLR0911  one a way to fit
    if text == word:
        return EXACT
    held, asked = text.split(), word.split()
    if len(held) > 1 and (core := _core(text)) and core == _core(word):
        return NEARLY
    if _holds(held, asked) or _shortens(held, asked):
        return WITHIN * (0.5 + 0.5 * len(asked) / len(held)) if len(word) > 1 else 0.0
    if len(asked) == 1 and len(word) >= LEAST_PART:
        if any(
            len(each) > len(word) and (each.endswith(word) or each.startswith(word))
            for each in held
        ):
            return JOINED * (0.5 + 0.5 / len(held))
        if any(is_mistyped(each, word) for each in held):
            return JOINED * (0.5 + 0.5 / len(held))
    if len(held) == 1 and len(text) >= 3 and word.startswith(text):
        return SHORTENED
    return 0.0


@cache
def _core(text: str) -> str:
    """A heading without the small words and the word for number that may stand in it."""
    core = " ".join(word for word in text.split() if word not in SMALL)
    return core if len(core) > 1 else ""  # the G of "D/G" is no grade


def _shortens(held: list[str], asked: list[str]) -> bool:
    """Whether each of several words of a heading begins the one asked for: "oper id"."""
    return (
        len(held) == len(asked) > 1
        and len(held[0]) > LEAST_BEGUN
        and all(
            len(part) >= LEAST_BEGUN and whole.startswith(part)
            for part, whole in zip(held, asked, strict=True)
        )
    )


def _holds(held: list[str], asked: list[str]) -> bool:
    size = len(asked)
    return any(held[at : at + size] == asked for at in range(len(held) - size + 1))


@cache
def is_mistyped(given: str, word: str) -> bool:
    """Whether a word has a slip, or two if long: letters left out, put in, changed or swapped."""
    if min(len(given), len(word)) < LEAST_PART or given == word:
        return False
    most = 2 if min(len(given), len(word)) >= LONG else 1
    if abs(len(given) - len(word)) > most or len(_letters(given) - _letters(word)) > most:
        return False  # each slip brings one new letter at most
    return slips(given, word, most) <= most


@cache
def _letters(word: str) -> frozenset[str]:
    return frozenset(word)


def longest_held(text: str, words: Collection[str]) -> str | None:
    """The longest of some words that a plain text holds, whole words only; None where none."""
    parts = text.split(" ")
    if len(parts) > MOST_PARTS:
        held = f" {text} "
        return max((word for word in words if f" {word} " in held), key=len, default=None)
    there = {
        phrase
        for first in range(len(parts))
        for last in range(first + 1, len(parts) + 1)
        if (phrase := " ".join(parts[first:last])) in words
    }
    return max(sorted(there), key=len, default=None)


def nearest_word(text: str, words: Iterable[str]) -> str | None:
    """The word of which a plain text is a slip; None where none or several."""
    near = [word for word in words if -2 <= len(word) - len(text) <= 2]
    found = {word for word in near if slips(text, word, 1) == 1}
    found = found or {word for word in near if is_mistyped(text, word)}
    return found.pop() if len(found) == 1 else None


__all__ = [
    "EXACT",
    "JOINED",
    "NEARLY",
    "OVER",
    "WITHIN",
    "fault_words",
    "heading_scores",
    "heading_words",
    "is_mistyped",
    "longest_held",
    "lowest",
    "meanings",
    "nearest_word",
    "words_of",
]
