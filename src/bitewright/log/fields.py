"""The fields of a logged exposure: how each is typed, what is allowed, how it is kept.

A value is kept as plain data (text, number, truth value, list) so that an entry stays readable for
ever; `as_text` and `from_text` are each other's inverse, and text is what tables and commands show.
"""

import math
import re
from collections.abc import Callable, Mapping
from dataclasses import dataclass
from functools import lru_cache
from types import MappingProxyType
from typing import Any

import numpy as np

from bitewright.errors import BitewrightError
from bitewright.log.faults import FaultWordsError, faults_as_text, faults_from_text
from bitewright.mouth.numbering import ToothName, UnknownToothError
from bitewright.quality.rating import rating_schemes
from bitewright.quality.views import view_names

Plain = str | float | bool | list[Any]
"""What a field's value may be: teeth are a list of codes, faults one of small mappings."""

OTHER_VIEWS = ("periapical", "occlusal")
"""Views that are logged though nothing here plans or rates them."""
KINDS = ("exposure", "retake", "extra-view", "planned-stage")
DECISIONS = ("accepted", "rejected")
CODE = re.compile(r"[^\W_][\w./+-]{0,39}")
KEY = re.compile(r"(?=.*[^\d])[\w][\w.:/+-]{0,63}")
DIGEST = re.compile(r"[0-9a-f]{64}")
DAY = re.compile(r"\d{4}-\d{2}-\d{2}")
FIRST_DAY = "1895-11-08"
"""No exposure is older than the discovery of x-rays."""
LONGEST_WORDS = 80
LONGEST_NOTE = 500
YES = frozenset({"yes", "true", "1", "y"})
NO = frozenset({"no", "false", "0", "n"})


class FieldValueError(BitewrightError):
    """A field of an entry has a value that is not allowed."""

    def __init__(self, field: str, given: str, allowed: str) -> None:
        self.field = field
        self.given = given
        self.allowed = allowed
        super().__init__(f"'{given[:60]}' is not allowed as {field}: give {allowed}.")


@dataclass(frozen=True, slots=True, kw_only=True)
class LogField:
    """One field.

    Parameters
    ----------
    says : str
        What it means.
    allowed : str
        What may be given, in words.
    read : callable
        Plain value of a text; raises ValueError, `FaultWordsError` or `UnknownToothError`.
    is_number : bool
        Whether a table should show it as a number.
    """

    says: str
    allowed: str
    read: Callable[[str], Plain]
    is_number: bool = False


def from_text(name: str, text: str) -> Plain:
    """The plain value of a field's text.

    Raises
    ------
    FieldValueError
    """
    field = FIELDS[name]
    try:
        return field.read(text)
    except FaultWordsError as error:
        raise FieldValueError(name, text, f"what can be read ({error})") from error
    except (ValueError, UnknownToothError) as error:
        raise FieldValueError(name, text, field.allowed) from error


def as_text(name: str, value: Plain) -> str:
    """A plain value as `from_text` reads it."""
    if isinstance(value, bool):
        return "yes" if value else "no"
    if isinstance(value, float):
        return repr(value)
    if isinstance(value, list) and name == "faults":
        return faults_as_text(value)
    if isinstance(value, list):
        return " ".join(str(tooth) for tooth in value)
    return str(value)


def day_number(day: str) -> int:
    """Days from 1970-01-01 to an ISO date."""
    return _day_number(day)


def day_text(number: int) -> str:
    """ISO date of a number of days since 1970-01-01."""
    return str(np.datetime64(number, "D"))


@lru_cache(maxsize=65536)
def _day_number(day: str) -> int:
    return int(np.datetime64(day, "D").astype(np.int64))


@lru_cache(maxsize=65536)
def _day(text: str) -> str:
    if DAY.fullmatch(text) is None or text < FIRST_DAY:
        raise ValueError(text)
    _day_number(text)
    return text


def _matching(pattern: re.Pattern[str]) -> Callable[[str], str]:
    def read(text: str) -> str:
        if pattern.fullmatch(text) is None:
            raise ValueError(text)
        return text

    return read


def _words(longest: int) -> Callable[[str], str]:
    def read(text: str) -> str:
        if not text or len(text) > longest or not text.isprintable():
            raise ValueError(text)
        return text

    return read


def _one_of(allowed: tuple[str, ...]) -> Callable[[str], str]:
    known = {name: name for name in allowed}

    def read(text: str) -> str:
        found = known.get(text) or known.get(text.strip().lower().replace(" ", "-"))
        if found is None:
            raise ValueError(text)
        return found

    return read


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
    if not colon or CODE.fullmatch(scheme) is None or not grade or len(grade) > 20:
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


def _number(least: float, most: float) -> Callable[[str], float]:
    def read(text: str) -> float:
        value = float(text)
        if not (math.isfinite(value) and least <= value <= most):
            raise ValueError(text)
        return value

    return read


_CODE_ALLOWED = (
    "a code of up to 40 letters, digits and . / + - _ without spaces; names are kept apart, with "
    "`bitewright log name`"
)
_LABEL_ALLOWED = f"up to {LONGEST_WORDS} characters on one line"


def _code(*, says: str) -> LogField:
    return LogField(says=says, allowed=_CODE_ALLOWED, read=_matching(CODE))


def _label(*, says: str) -> LogField:
    return LogField(says=says, allowed=_LABEL_ALLOWED, read=_words(LONGEST_WORDS))


def _choice(choices: tuple[str, ...], *, says: str) -> LogField:
    return LogField(says=says, allowed=f"one of {', '.join(choices)}", read=_one_of(choices))


def _range(least: float, most: float, *, says: str) -> LogField:
    return LogField(
        says=says,
        allowed=f"a number from {least:g} to {most:g}",
        read=_number(least, most),
        is_number=True,
    )


def _digest(*, says: str) -> LogField:
    return LogField(says=says, allowed="a SHA-256 of 64 hexadecimal digits", read=_matching(DIGEST))


# Ranges of numbers are our choice, wide enough for any intraoral set and any error that is one.
FIELDS: Mapping[str, LogField] = MappingProxyType(
    {
        "day": LogField(
            says="day of the exposure",
            allowed="a date such as 2026-01-31, not before x-rays were known",
            read=_day,
        ),
        "case": _code(says="pseudonym of the patient or case; never a name or a health number"),
        "operator": _code(says="who exposed, by code"),
        "supervisor": _code(says="who supervised, by code"),
        "level": _label(says="the operator's level of training"),
        "room": _label(says="room or unit"),
        "receptor": _label(says="receptor"),
        "holder": _label(says="holder"),
        "view": _choice((*view_names(), *OTHER_VIEWS), says="what the image is for"),
        "teeth": LogField(
            says="teeth wanted on the image",
            allowed="ISO 3950 codes with spaces between, such as 14 15 16",
            read=_teeth,
        ),
        "reason": _label(says="why the exposure was justified"),
        "kind": _choice(KINDS, says="what sort of exposure it is"),
        "retake_of": LogField(
            says="key of the exposure that it repeats",
            allowed="the key of an exposure in the log",
            read=_matching(KEY),
        ),
        "changed": LogField(
            says="what was changed for the retake",
            allowed=f"up to {LONGEST_NOTE} characters on one line",
            read=_words(LONGEST_NOTE),
        ),
        "succeeded": LogField(
            says="whether the retake answered the question", allowed="yes or no", read=_flag
        ),
        "tube_voltage_kv": _range(40.0, 120.0, says="tube voltage [kV]"),
        "tube_current_ma": _range(0.1, 50.0, says="tube current [mA]"),
        "exposure_time_s": _range(0.001, 10.0, says="exposure time [s]"),
        "rating": LogField(
            says="rating as scheme:grade",
            allowed="scheme:grade such as uk-2020:A; see `bitewright list schemes`",
            read=_rating,
        ),
        "faults": LogField(
            says="faults seen, each with its size where measured",
            allowed="faults such as overlap:0.4|cone-cut",
            read=faults_from_text,
        ),
        "decision": _choice(DECISIONS, says="whether the image was kept for assessment"),
        "decided_by": _code(says="who decided, by code"),
        "contact_error_deg": _range(-90, 90, says="error of the horizontal aim, tube to the front"),
        "contact_error_sd_deg": _range(0, 90, says="its standard uncertainty"),
        "vertical_error_deg": _range(-90, 90, says="error of the vertical aim, tube too high"),
        "vertical_error_sd_deg": _range(0, 90, says="its standard uncertainty"),
        "forward_mm": _range(-60, 60, says="receptor too far to the front"),
        "forward_sd_mm": _range(0, 60, says="its standard uncertainty"),
        "height_mm": _range(-60, 60, says="receptor too high"),
        "height_sd_mm": _range(0, 60, says="its standard uncertainty"),
        "film": _digest(says="content of the film's file"),
        "assessment": _digest(says="content of the assessment's file"),
        "note": LogField(
            says="anything else; never a name",
            allowed=f"up to {LONGEST_NOTE} characters on one line",
            read=_words(LONGEST_NOTE),
        ),
    }
)
"""Every field of a logged exposure by name, in the order tables show them."""


__all__ = [
    "CODE",
    "DECISIONS",
    "FIELDS",
    "KEY",
    "KINDS",
    "FieldValueError",
    "LogField",
    "Plain",
    "as_text",
    "day_number",
    "day_text",
    "from_text",
]
