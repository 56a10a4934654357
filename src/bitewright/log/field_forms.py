"""The forms a logged field's value may have: how it is typed, what is allowed, how it is kept.

A value is kept as plain data (text, number, truth value, list) so that an entry stays readable for
ever. Each form reads a text into that and writes it back.
"""

import math
import re
from collections.abc import Callable, Mapping
from dataclasses import dataclass
from enum import StrEnum
from functools import lru_cache
from types import MappingProxyType
from typing import Any

from bitewright.log.days import day_number
from bitewright.log.faults import faults_as_text, faults_from_text
from bitewright.mouth.numbering import ToothName
from bitewright.quality.rating_schemes import rating_schemes

Plain = str | float | bool | list[Any]
"""What a field's value may be: teeth are a list of codes, faults one of small mappings."""

CODE = re.compile(r"[^\W_][\w./+-]{0,39}")
KEY = re.compile(r"(?=.*[^\d])[\w][\w.:/+-]{0,63}")
DIGEST = re.compile(r"[0-9a-f]{64}")
_CHANCE = r"[1-4][1-8]\.(?:mesial|distal)(?:\.crest)?:(?:0|1|0\.\d{1,4}|1\.0)"
CHANCES = re.compile(rf"{_CHANCE}(?:\|{_CHANCE})*")
DAY = re.compile(r"\d{4}-\d{2}-\d{2}")
FIRST_DAY = "1895-11-08"
"""No exposure is older than the discovery of x-rays."""
LONGEST_WORDS = 80
LONGEST_NOTE = 500
YES = frozenset({"yes", "true", "1", "y"})
NO = frozenset({"no", "false", "0", "n"})


class Sort(StrEnum):
    """What a value is as plain data."""

    TEXT = "text"
    NUMBER = "number"
    FLAG = "flag"
    TEETH = "teeth"
    FAULTS = "faults"


@dataclass(frozen=True, slots=True, kw_only=True)
class Form:
    """One form.

    Parameters
    ----------
    sort : Sort
    allowed : str
        What may be given, in words.
    read : callable
        Plain value of a text; raises ValueError, `FaultWordsError` or `UnknownToothError`.
    write : callable
        Text of a plain value, as `read` takes it.
    choices : tuple of str
        All there are, where they are few and known.
    """

    sort: Sort
    allowed: str
    read: Callable[[str], Plain]
    write: Callable[[Any], str] = str
    choices: tuple[str, ...] = ()

    @property
    def is_number(self) -> bool:
        """Whether a table should show it as a number."""
        return self.sort is Sort.NUMBER


def choice(*choices: str) -> Form:
    """One of a few words; capitals and spaces for hyphens are taken too."""
    known = {name: name for name in choices}

    def read(text: str) -> str:
        found = known.get(text) or known.get(text.strip().lower().replace(" ", "-"))
        if found is None:
            raise ValueError(text)
        return found

    return Form(sort=Sort.TEXT, allowed=f"one of {', '.join(choices)}", read=read, choices=choices)


def number(least: float, most: float) -> Form:
    """A number within a range, both ends included."""

    def read(text: str) -> float:
        value = float(text)
        if not (math.isfinite(value) and least <= value <= most):
            raise ValueError(text)
        return value

    return Form(
        sort=Sort.NUMBER, allowed=f"a number from {least:g} to {most:g}", read=read, write=repr
    )


def count(least: int, most: int) -> Form:
    """A whole number within a range, both ends included."""

    def read(text: str) -> float:
        value = int(text)
        if not least <= value <= most:
            raise ValueError(text)
        return value

    return Form(
        sort=Sort.NUMBER, allowed=f"a whole number from {least} to {most}", read=read, write=_whole
    )


def _whole(value: float) -> str:
    """Text of a whole number, whether it was kept as 3 or as 3.0."""
    return str(int(value)) if float(value).is_integer() else repr(value)


@lru_cache(maxsize=65536)
def _day(text: str) -> str:
    if DAY.fullmatch(text) is None or text < FIRST_DAY:
        raise ValueError(text)
    day_number(text)
    return text


def _matching(pattern: re.Pattern[str]) -> Callable[[str], str]:
    def read(text: str) -> str:
        if pattern.fullmatch(text) is None:
            raise ValueError(text)
        return text

    return read


def _words(longest: int) -> Form:
    def read(text: str) -> str:
        if not text or len(text) > longest or not text.isprintable():
            raise ValueError(text)
        return text

    return Form(sort=Sort.TEXT, allowed=f"up to {longest} characters on one line", read=read)


@lru_cache(maxsize=4096)
def _teeth_codes(text: str) -> tuple[int, ...]:
    codes = [int(part) for part in text.replace(",", " ").replace(";", " ").split()]
    if not codes:
        raise ValueError(text)
    return tuple(sorted({ToothName(code).code for code in codes}))


def _teeth(text: str) -> list[int]:
    return list(_teeth_codes(text))


@lru_cache(maxsize=4096)
def _rating(text: str) -> str:
    scheme, colon, grade = text.partition(":")
    if not colon or CODE.fullmatch(scheme) is None or not 0 < len(grade) <= 20:
        raise ValueError(text)
    if not grade.isprintable():
        raise ValueError(text)
    known = rating_schemes().get(scheme)
    if known is not None and grade not in {*known.grades.values(), "?"}:
        raise ValueError(text)
    return text


@lru_cache(maxsize=64)
def _flag(text: str) -> bool:
    word = text.strip().lower()
    if word not in YES | NO:
        raise ValueError(text)
    return word in YES


FORMS: Mapping[str, Form] = MappingProxyType(
    {
        "date": Form(
            sort=Sort.TEXT,
            allowed="a date such as 2026-01-31, not before x-rays were known",
            read=_day,
        ),
        "code": Form(
            sort=Sort.TEXT,
            allowed="a code of up to 40 letters, digits and . / + - _ without spaces; names are "
            "kept apart, with `bitewright log name`",
            read=_matching(CODE),
        ),
        "words": _words(LONGEST_WORDS),
        "note": _words(LONGEST_NOTE),
        "teeth": Form(
            sort=Sort.TEETH,
            allowed="ISO 3950 codes with spaces between, such as 14 15 16",
            read=_teeth,
            write=lambda teeth: " ".join(str(tooth) for tooth in teeth),
        ),
        "key": Form(
            sort=Sort.TEXT, allowed="the key of an exposure in the log", read=_matching(KEY)
        ),
        "flag": Form(
            sort=Sort.FLAG,
            allowed="yes or no",
            read=_flag,
            write=lambda value: "yes" if value else "no",
        ),
        "rating": Form(
            sort=Sort.TEXT,
            allowed="scheme:grade such as uk-2020:A; see `bitewright list schemes`",
            read=_rating,
        ),
        "faults": Form(
            sort=Sort.FAULTS,
            allowed="faults such as overlap:0.4|cone-cut",
            read=faults_from_text,
            write=faults_as_text,
        ),
        "chances": Form(
            sort=Sort.TEXT,
            allowed="places with chances from 0 to 1, such as 44.distal:0.86|45.mesial:0.85",
            read=_matching(CHANCES),
        ),
        "digest": Form(
            sort=Sort.TEXT,
            allowed="a SHA-256 of 64 hexadecimal digits",
            read=_matching(DIGEST),
        ),
    }
)
"""Forms that need nothing else said, by the name they have in the table of fields."""


__all__ = [
    "CODE",
    "DIGEST",
    "FORMS",
    "KEY",
    "Form",
    "Plain",
    "Sort",
    "choice",
    "count",
    "number",
]
