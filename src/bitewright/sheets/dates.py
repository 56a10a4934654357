"""How a column writes its days: found from all of its cells, asked where they leave it open."""

import re
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from enum import StrEnum
from itertools import pairwise

from bitewright.log.days import day_number, day_text
from bitewright.sheets.cells import Cell, CellDay, cell_text, plain
from bitewright.sheets.vocabulary import meanings, words_of

NUMBERS = re.compile(
    r"(?:[^\W\d]+\.?,?\s+)?(?P<one>\d{1,4})\s?[./\-\s]\s?(?P<two>\d{1,2})"
    r"(?:\s?[./\-\s]\s?(?P<three>\d{4}|\d{1,2}))?\.?(?:[T,\s]\s*\d{1,2}[:.h]\d{2}.*)?"
)
SHORT_YEAR = re.compile(r"(?<=[-./\s])['\u2019](?=\d{2}$)")
"""The sign before a year of two figures: 8-6-'26."""
COMPACT = re.compile(r"(?P<year>(?:19|20)\d{2})(?P<month>\d{2})(?P<day>\d{2})")
NAMED = re.compile(r"\d+|[^\W\d]+")
SERIAL_FIRST, SERIAL_LAST = 20_000, 80_000
"""Days since 1899-12-30 that a spreadsheet may show as a number: 1954 to 2119. Our choice."""
SERIAL_START = -25_569
"""1899-12-30 in days since 1970-01-01."""
NUMBER_OF_DAY = re.compile(r"(?:(?P<before>[^\W\d]+) )?(?P<day>\d{1,2})(?:st|nd|rd|th|er|e|o|a)?")
MOSTLY = 0.9
ROMAN_MONTHS = dict(
    zip(
        ("i", "ii", "iii", "iv", "v", "vi", "vii", "viii", "ix", "x", "xi", "xii"),
        range(1, 13),
        strict=True,
    )
)
NO_MONTHS = frozenset({"set", "out"})
"""Short names of months that are other words in English, so of no month in a longer title."""
THURSDAY = 4
"""Weekday of 1970-01-01, Monday being 1."""


class Order(StrEnum):
    """Which of two numbers is the day."""

    DAY_FIRST = "day-first"
    MONTH_FIRST = "month-first"


@dataclass(frozen=True, slots=True, kw_only=True)
class Parts:
    """The numbers of a written day: two that may be day or month, and the year where it stands.

    ``sure``: the first is the day beyond doubt.
    """

    one: int
    two: int
    year: int | None
    sure: bool = False


def parts_of(cell: Cell, *, counted: bool = False) -> Parts | None:  # noqa: PLR0911  one a form
    """The numbers in a cell that may be a day; None where it is none.

    ``counted``: whether a number may be a day as spreadsheets count them.
    """
    if counted:
        number = cell if isinstance(cell, float) else _whole(cell)
        if number is not None and SERIAL_FIRST <= number <= SERIAL_LAST:
            year, month, day = day_text(int(number) + SERIAL_START).split("-")
            return Parts(one=int(day), two=int(month), year=int(year), sure=True)
    if isinstance(cell, CellDay):
        return Parts(one=cell.day, two=cell.month, year=cell.year, sure=True)
    if isinstance(cell, float):
        return _of_number(cell)
    if not isinstance(cell, str):
        return None
    text = SHORT_YEAR.sub("", cell.strip().strip("'"))
    compact = COMPACT.fullmatch(text)
    if compact:
        return _checked(int(compact["day"]), int(compact["month"]), int(compact["year"]), sure=True)
    found = NUMBERS.fullmatch(text)
    if found:
        return _of_numbers(found)
    return _of_words(text)


def _whole(cell: Cell) -> int | None:
    return int(cell) if isinstance(cell, str) and cell.strip().isdigit() else None


def _of_number(number: float) -> Parts | None:
    if number == int(number):
        compact = COMPACT.fullmatch(str(int(number)))
        if compact:
            return _checked(
                int(compact["day"]), int(compact["month"]), int(compact["year"]), sure=True
            )
    return None


def _of_numbers(found: re.Match[str]) -> Parts | None:
    one, two, three = found["one"], found["two"], found["three"]
    if len(one) == 4 and three is not None:
        return _checked(int(three), int(two), int(one), sure=True)
    if len(one) > 2 or (three is not None and len(three) == 1):
        return None
    year = None if three is None else _whole_year(three)
    return _checked(int(one), int(two), year, sure=False)


def _of_words(text: str) -> Parts | None:
    """Such as 3 March 2025, Mar 3 25 or 3. März."""
    months = meanings("months")
    numbers: list[str] = []
    month = None
    pieces = NAMED.findall(plain(text))
    if pieces and pieces[0] in meanings("weekdays") and _names_month(pieces[1:]):
        pieces = pieces[1:]  # "mar 3 fevr" is a Tuesday
    for piece in pieces:
        if piece.isdigit():
            numbers.append(piece)
        elif piece in months and month is None:
            month = int(months[piece])
        elif piece in ROMAN_MONTHS and month is None and numbers:
            month = ROMAN_MONTHS[piece]
    if month is None or not 1 <= len(numbers) <= 2 or len(text) > 40:
        return None
    if len(numbers[0]) == 4 and len(numbers) == 2:
        numbers.reverse()
    if len(numbers[0]) > 2:
        return None
    year = _whole_year(numbers[1]) if len(numbers) == 2 else None
    return _checked(int(numbers[0]), month, year, sure=True)


def _names_month(pieces: Sequence[str]) -> bool:
    return any(piece in meanings("months") for piece in pieces)


def number_of_day(text: str) -> int | None:
    """The day of the month that a cell holds, its weekday before it or not: 8 of "Do 8."."""
    found = NUMBER_OF_DAY.fullmatch(plain(text))
    if found is None or (found["before"] and found["before"] not in meanings("weekdays")):
        return None
    return int(found["day"])


def _whole_year(text: str) -> int:
    return int(text) if len(text) == 4 else 2000 + int(text)


def _checked(one: int, two: int, year: int | None, *, sure: bool) -> Parts | None:
    if not (1 <= one <= 31 and 1 <= two <= 31 and (one <= 12 or two <= 12)):
        return None
    if sure and two > 12:
        return None
    return Parts(one=one, two=two, year=year, sure=sure)


@dataclass(frozen=True, slots=True, kw_only=True)
class DayReading:
    """How a column's days are read; ``order`` None where its cells leave it open."""

    order: Order | None
    has_no_year: bool


def day_reading(cells: Iterable[Cell], *, today: int, counted: bool = False) -> DayReading:
    """What the cells of a column tell of the order of day and month.

    A number above 12 is a day. Where there is none, the order that keeps the rows in time, and none
    of them after ``today`` [days since 1970-01-01], is taken if the other one does not. ``counted``
    as in `parts_of`.
    """
    read = [parts_of(cell, counted=counted) for cell in cells]
    found = [parts for parts in read if parts is not None]
    open_ones = [parts for parts in found if not parts.sure]
    years = [parts.year for parts in found]
    no_year = bool(years) and sum(year is None for year in years) > len(years) / 2
    if not open_ones:
        return DayReading(order=Order.DAY_FIRST, has_no_year=no_year)
    day_first = sum(parts.one > 12 for parts in open_ones)
    month_first = sum(parts.two > 12 for parts in open_ones)
    if day_first != month_first and max(day_first, month_first) >= 4 * min(day_first, month_first):
        order = Order.DAY_FIRST if day_first > month_first else Order.MONTH_FIRST
        return DayReading(order=order, has_no_year=no_year)
    return DayReading(order=_by_time(found, today), has_no_year=no_year)


def _by_time(found: Sequence[Parts], today: int) -> Order | None:
    """The order in which the rows rise, if the other lets them jump."""
    kept = {}
    for order in Order:
        days = [number_of(parts, order, year=2001) for parts in found]
        known = [day for day in days if day is not None]
        rising = sum(one <= other for one, other in pairwise(known))
        share = rising / max(1, len(known) - 1)
        late = sum(day > today for day in known)
        kept[order] = (share, late, len(set(known)))
    (one, late_one, many), (other, late_other, _) = kept[Order.DAY_FIRST], kept[Order.MONTH_FIRST]
    if many < 6:
        return None
    if one >= 0.95 and (other < 0.85 or late_other > late_one):
        return Order.DAY_FIRST
    if other >= 0.95 and (one < 0.85 or late_one > late_other):
        return Order.MONTH_FIRST
    return None


def number_of(parts: Parts, order: Order, *, year: int | None) -> int | None:
    """Days since 1970-01-01, a number above 12 taken for the day; None where there is no such day.

    ``year`` for those written without.
    """
    text = written_day(parts, order, year=year)
    return None if text is None else day_number(text)


def written_day(parts: Parts, order: Order, *, year: int | None) -> str | None:
    """The day as 2026-01-31; otherwise as `number_of`."""
    of = parts.year if parts.year is not None else year
    if of is None:
        return None
    day, month = parts.one, parts.two
    if not parts.sure and (month > 12 or (order is Order.MONTH_FIRST and day <= 12)):
        day, month = month, day
    text = f"{of:04d}-{month:02d}-{day:02d}"
    try:
        day_number(text)
    except ValueError:
        return None
    return text


def month_of(parts: Parts | None, order: Order) -> int:
    """The month of a written day; nought of none."""
    if parts is None:
        return 0
    if parts.sure or (parts.two <= 12 and (order is Order.DAY_FIRST or parts.one > 12)):
        return parts.two
    return parts.one


def year_turns(cells: Sequence[Cell], order: Order) -> int | None:
    """The first month of a list without years that goes on past the turn of the year; else None.

    Its months rise, fall once from the last ones of a year to the first ones of the next, and rise
    again, never to where the list began.
    """
    read = [parts for cell in cells if (parts := parts_of(cell)) is not None and not parts.year]
    months = [month for parts in read if (month := month_of(parts, order))]
    falls = [at for at, (one, other) in enumerate(pairwise(months)) if other < one]
    turns = [at for at in falls if months[at] - months[at + 1] >= HALF_YEAR]
    if len(turns) != 1 or len(falls) > MOST_FALLS:
        return None
    first, last = min(months[: turns[0] + 1]), max(months[turns[0] + 1 :])
    return first if last < first else None


def is_other_weekday(text: str, day: str) -> bool:
    """Whether a written day begins with a weekday that this day (as 2026-01-31) was not."""
    named = NAMED.findall(plain(text))
    if len(named) < 2 or named[0] in meanings("months"):
        return False
    weekdays = {number for number in range(1, 8) if named[0] in words_of("weekdays", str(number))}
    was = (day_number(day) + THURSDAY - 1) % 7 + 1
    return bool(weekdays) and was not in weekdays


HALF_YEAR, MOST_FALLS = 6, 3
"""Months by which days fall back at the turn of a year, and slips of the order beside. Our
choice."""
MONTH_WORDS = frozenset(
    {"month", "monat", "mois", "mes", "mese", "maand", "manad", "maned", "miesiac", "mesic", "m"}
    | {"honap", "luna", "kuukausi", "mjesec", "ay"}
)
"""Words beside which a number names a month: "Monat 3", and not "Room 3"."""


def month_and_year(text: str) -> tuple[int | None, int | None]:
    """Month and year that a title or a tab names; None for what it does not."""
    months, month, year = meanings("months"), None, None
    pieces = NAMED.findall(plain(text))
    for piece in pieces:
        if piece in months and month is None and (piece not in NO_MONTHS or len(pieces) <= 2):
            month = int(months[piece])
        elif len(piece) == 4 and piece.startswith(("19", "20")) and piece.isdigit():
            year = int(piece)
    numbers = [int(piece) for piece in pieces if piece.isdigit() and len(piece) <= 2]
    if month is not None and year is None and len(numbers) == 1 and numbers[0] >= 15:
        year = 2000 + numbers[0]
    words = {piece for piece in pieces if not piece.isdigit()}
    if month is None and len(pieces) <= 2 and len(numbers) == 1 and words <= MONTH_WORDS:
        month = numbers[0] if 1 <= numbers[0] <= 12 else None
    return month, year


def looks_like_days(cells: Iterable[Cell]) -> float:
    """Share of the cells that may be a day; nought of none."""
    texts = [cell for cell in cells if cell_text(cell)]
    return sum(parts_of(cell) is not None for cell in texts) / len(texts) if texts else 0.0


__all__ = [
    "DayReading",
    "Order",
    "Parts",
    "day_reading",
    "is_other_weekday",
    "looks_like_days",
    "month_and_year",
    "month_of",
    "number_of",
    "number_of_day",
    "parts_of",
    "written_day",
    "year_turns",
]
