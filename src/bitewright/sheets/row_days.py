"""The day of each row of a sheet, as its column, or lines and titles above, tell it."""

from collections.abc import Mapping

from bitewright.sheets.cells import Cell, CellDay, cell_text
from bitewright.sheets.dates import (
    Order,
    is_other_weekday,
    month_of,
    number_of_day,
    parts_of,
    written_day,
    year_turns,
)
from bitewright.sheets.read_rows import CellFault, RowFault, RowRead
from bitewright.sheets.table_body import ALONE, Row
from bitewright.sheets.understanding import Understanding
from bitewright.sheets.weekdays import day_in_week, week_named, weekday_in, weekdays_of

BLANK_DAYS = 0.3
"""Share of rows without a day, from which a day is taken to hold until the next. Our choice."""


class DaysOfRows:
    """Finds the day of one row after the other."""

    def __init__(self, sheet: Understanding, answers: Mapping[str, str]) -> None:
        self._sheet = sheet
        self._answers = answers
        self._order = sheet.order or Order.DAY_FIRST
        self._day_once = _is_written_once(sheet)
        self._weekdays = weekdays_of(sheet.table.column(sheet.heading("day") or ""))
        self._last_above: dict[str, Cell] = {}
        self._last_day: dict[str, Cell] = {}
        self._last_year: dict[str, int] = {}
        self._first_year = _first_year(sheet)
        turns = year_turns(sheet.table.column(sheet.heading("day") or ""), self._order)
        lines = {row.section for row in sheet.table.rows} - {"", *sheet.table.sheets}
        is_named = any(sheet.years.get(line, (None, None))[1] for line in lines)
        self._turns = None if is_named else turns  # a line that names the new year has turned it

    def put(self, read: RowRead, row: Row) -> None:
        """The day of a row among its fields, or what is wrong with it."""
        heading = self._sheet.heading("day") or ""
        cell = row.cells.get(heading)
        above = row.above.get(f"{ALONE}{heading}", row.above.get("day"))
        if above != self._last_above.get(row.sheet):
            self._last_above[row.sheet] = above
            self._last_day[row.sheet] = above
        if cell is None and self._day_once and row.sheet in self._last_day:
            cell = self._last_day[row.sheet]
        self._last_day[row.sheet] = cell
        text = cell_text(cell)
        if not text:
            read.faults.append(CellFault(heading=heading, given="", fault=RowFault.NO_DAY))
            return
        month, year = self._around(row)
        if self._sheet.day_by == "weekday":
            found = self._day_of_week(row, text, year)
        elif self._sheet.day_by in {"parts", "number"}:
            found = self._day_of_parts(row, text, month, year)
        else:
            counted = self._sheet.day_by in {"counted", "column"}  # some may have lost their format
            written = cell if isinstance(cell, (str, float, CellDay)) else text
            parts = parts_of(written, counted=counted)
            if year is None and parts is not None and parts.year is None:
                year = self._last_year.get(row.sheet, self._first_year)
            elif year is not None and parts is not None and parts.year is None:
                year += self._turns is not None and month_of(parts, self._order) < self._turns
            found = None if parts is None else written_day(parts, self._order, year=year)
        if found is None:
            read.faults.append(CellFault(heading=heading, given=text, fault=RowFault.NO_SUCH_DAY))
            return
        read.fields["day"] = found
        self._last_year[row.sheet] = int(found[:4])
        if isinstance(cell, str) and is_other_weekday(cell, found):
            read.faults.append(CellFault(heading=heading, given=text, fault=RowFault.OTHER_WEEKDAY))

    def _around(self, row: Row) -> tuple[int | None, int | None]:
        """Month and year that stand above a row, on its tab, in a title or in an answer."""
        month: int | None = None
        year: int | None = None
        for name in (row.section, row.sheet):
            held = self._sheet.years.get(name, (None, None))
            month, year = month or held[0], year or held[1]
        said = self._answers.get("year")
        month = month or self._sheet.month
        return month, year or self._sheet.year or (int(said) if said else None)

    def _day_of_parts(self, row: Row, text: str, month: int | None, year: int | None) -> str | None:
        for target in ("month", "year"):
            heading = self._sheet.heading(target)
            written = cell_text(row.cells.get(heading)) if heading else ""
            if written:
                named = parts_of(f"1 {written} 2000")
                number = int(written) if written.isdigit() else named.two if named else None
                month, year = (number, year) if target == "month" else (month, number)
        number = number_of_day(text)
        if number is None or month is None or year is None:
            return None
        return day_of_numbers(number, month, year if year > 99 else 2000 + year)

    def _day_of_week(self, row: Row, text: str, year: int | None) -> str | None:
        """The weekday in the week that a line above the row names."""
        weekday = weekday_in(self._weekdays, text)
        for line in (cell_text(row.above.get("day")), row.section, row.sheet):
            monday = week_named(line, self._order, year) if line else None
            if monday is not None:
                return None if weekday is None else day_in_week(monday, weekday)
        return None


def day_of_numbers(day: int, month: int, year: int) -> str | None:
    """A day from its three numbers as 2026-01-31; None where there is none."""
    parts = parts_of(f"{year:04d}-{month:02d}-{day:02d}")
    return None if parts is None else written_day(parts, Order.DAY_FIRST, year=None)


def _first_year(sheet: Understanding) -> int | None:
    """The year of the first day that has one, where most have: for those above without.

    A list goes on from day to day, so one that lacks its year is of the year of the one above.
    """
    if sheet.days.has_no_year or sheet.day_by != "column":
        return None
    found = map(parts_of, sheet.table.column(sheet.heading("day") or ""))
    return next((each.year for each in found if each is not None and each.year), None)


def _is_written_once(sheet: Understanding) -> bool:
    """Whether a day stands only in the first of several rows: a third of the rows have none.

    A mark for "as above" is no day written.
    """
    heading = sheet.heading("day") or ""
    filled = sum(heading in row.cells and heading not in row.dittos for row in sheet.table.rows)
    return filled < (1 - BLANK_DAYS) * len(sheet.table.rows)


__all__ = ["DaysOfRows"]
