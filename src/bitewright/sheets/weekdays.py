"""Days told by their weekday alone, under a line that says which week it is."""

import re
from collections.abc import Iterable, Mapping

from bitewright.log.days import day_number, day_text
from bitewright.sheets.cells import Cell, cell_text, plain
from bitewright.sheets.dates import THURSDAY, Order, parts_of, written_day

LANGUAGES = (
    ("mon", "tue", "wed", "thu", "fri", "sat", "sun"),
    ("m", "tu", "w", "th", "f", "sa", "su"),
    ("mo", "di", "mi", "do", "fr", "sa", "so"),
    ("lun", "mar", "mer", "jeu", "ven", "sam", "dim"),
    ("lu", "ma", "me", "je", "ve", "sa", "di"),
    ("lun", "mar", "mie", "jue", "vie", "sab", "dom"),
    ("l", "m", "x", "j", "v", "s", "d"),
    ("lun", "mar", "mer", "gio", "ven", "sab", "dom"),
    ("seg", "ter", "qua", "qui", "sex", "sab", "dom"),
    ("2a", "3a", "4a", "5a", "6a", "sa", "do"),
    ("ma", "di", "wo", "do", "vr", "za", "zo"),
)
"""How weekdays begin in seven languages, Monday first."""
MOSTLY = 0.8
DATE = re.compile(
    r"(?<!\d)(?:\d{1,2}[./-]\d{1,2}(?:[./-]\d{2,4})?|\d{4}-\d{1,2}-\d{1,2}"
    r"|\d{1,2}\.?\s+(?:de\s+)?[^\W\d]{3,12}(?:\s+(?:de\s+)?\d{4})?)(?!\d)"
)
WEEK = re.compile(
    r"\b(?:kw|week|wk|w|woche|kalenderwoche|semaine|sem|semana|settimana|sett)\s*(?:no|nr|n)?\s*(\d{1,2})\b"
)


def weekdays_of(cells: Iterable[Cell]) -> dict[str, int]:
    """Number of each weekday's word, Monday being 1, where nearly all cells are weekdays."""
    words = [plain(cell_text(cell)) for cell in cells if isinstance(cell, str)]
    if not words:
        return {}
    best: dict[str, int] = {}
    most = 0
    for names in LANGUAGES:
        known = {word: number for word in {*words} if (number := _number(word, names)) is not None}
        held = sum(word in known for word in words)
        if held > most and (len({*known.values()}) > 1 or len(names[0]) > 1):
            best, most = known, held
    return best if most >= MOSTLY * len(words) else {}


def _number(word: str, names: tuple[str, ...]) -> int | None:
    if not word or " " in word:
        return None
    least = len(names[0])
    if least == 1:
        return names.index(word) + 1 if word in names else None
    found = [at for at, name in enumerate(names, 1) if word.startswith(name)]
    is_one = len(found) == 1 and word[:1].isalpha()
    return found[0] if is_one or (word in names and found) else None


def week_named(text: str, order: Order, year: int | None) -> int | None:
    """Monday of the week that a line names, in days since 1970-01-01; None where it names none."""
    for written in DATE.findall(text):
        parts = parts_of(written)
        day = None if parts is None else written_day(parts, order, year=year)
        if day is not None:
            number = day_number(day)
            return number - (number + THURSDAY - 1) % 7
    found = WEEK.search(plain(text))
    if found is None or year is None or not 1 <= int(found[1]) <= 53:
        return None
    fourth = day_number(f"{year:04d}-01-04")  # it is in the first week of every year
    return fourth - (fourth + THURSDAY - 1) % 7 + 7 * (int(found[1]) - 1)


def names_week(text: str) -> bool:
    """Whether a line names a week by its number, such as "KW 38", or by a date."""
    return WEEK.search(plain(text)) is not None or DATE.search(text) is not None


def day_in_week(monday: int, weekday: int) -> str:
    """The day as 2026-01-31."""
    return day_text(monday + weekday - 1)


def weekday_in(known: Mapping[str, int], text: str) -> int | None:
    """The weekday that a cell names beyond doubt; None where it does not."""
    return None if text.rstrip().endswith("?") else known.get(plain(text))


__all__ = ["day_in_week", "names_week", "week_named", "weekday_in", "weekdays_of"]
