"""Codes in place of names: the same name always gets the same code."""

from collections.abc import Mapping

from bitewright.log.field_forms import CODE
from bitewright.sheets.cells import plain
from bitewright.sheets.word_meanings import is_own_code

STAFF, CASE = "staff", "case"
MADE = (f"{STAFF}-", f"{CASE}-", "room-")
"""Beginnings of codes that are made here."""
TITLES = frozenset(
    {"dr", "prof", "mr", "mrs", "ms", "miss", "frau", "herr", "fr", "hr", "mme", "mlle", "m", "dra"}
    | {"sr", "sra", "srta", "don", "dona", "doctor", "drs", "sister", "schwester"}
)


class Pseudonyms:
    """Codes of names, known ones and those made now.

    Parameters
    ----------
    known : mapping of code to name
        Names kept before.
    """

    def __init__(self, known: Mapping[str, str]) -> None:
        self._codes = {(_sort(code), plain(name)): code for code, name in known.items()}
        self._last: dict[str, int] = {}
        for code in known:
            sort, _, number = code.rpartition("-")
            if number.isdigit():
                self._last[sort] = max(self._last.get(sort, 0), int(number))
        self.made: dict[str, str] = {}
        """Names by code that were not known before."""

    def code(self, sort: str, name: str) -> str:
        """The code of a name."""
        key = (sort, plain(name))
        found = self._codes.get(key)
        if found is None:
            number = self._last[sort] = self._last.get(sort, 0) + 1
            found = f"{sort}-{number:04d}" if sort == CASE else f"{sort}-{number:02d}"
            self._codes[key] = found
            self.made[found] = name
        return found


def _sort(code: str) -> str:
    for sort in (CASE, "room"):
        if code.startswith(f"{sort}-"):
            return sort
    return STAFF


def own_code(text: str, *, needs_figure: bool) -> str | None:
    """A code as it is kept, where a text is one that names nobody; None where it may name somebody.

    ``needs_figure``: letters alone may be a name.
    """
    if not is_own_code(text) or (needs_figure and not any(each.isdigit() for each in text)):
        return None
    code = "-".join(text.split())
    code = code.upper() if len(code) <= 4 else code
    return code if CODE.fullmatch(code) else None


def has_title(text: str) -> bool:
    """Whether words hold a form of address, and so may name somebody."""
    return len(plain(text).split()) > 1 and any(word in TITLES for word in plain(text).split()[:-1])


__all__ = ["CASE", "MADE", "STAFF", "Pseudonyms", "has_title", "own_code"]
