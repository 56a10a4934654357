"""How the days of a whole sheet are written: in one column or several, with month or year above."""

from collections import Counter
from collections.abc import Mapping, Sequence

from bitewright.log.days import day_text
from bitewright.sheets.cells import plain
from bitewright.sheets.column_facts import ColumnFacts
from bitewright.sheets.dates import (
    DayReading,
    Order,
    day_reading,
    month_and_year,
    number_of,
    parts_of,
)
from bitewright.sheets.joining_sheets import Joined

DAY_FIRST_WORDS = frozenset(
    {
        "datum",
        "tag",
        "aufnahme",
        "behandler",
        "zahn",
        "fehler",
        "bemerkung",
        "seite",
        "raum",
        "qualitat",
    }
    | {"fecha", "dia", "paciente", "operador", "placa", "calidad", "diente", "lado", "tipo", "nota"}
    | {"jour", "cliche", "operateur", "dent", "cote", "qualite", "defaut", "remarque", "praticien"}
    | {
        "patientin",
        "vue",
        "salle",
        "capteur",
        "sala",
        "motivo",
        "repetida",
        "wiederholung",
        "refait",
    }
)
"""Words of headings in German, French and Spanish, in which the day is written first. Common
practice, no source."""


def _is_day_first_language(headings: Sequence[str]) -> bool:
    words = {word for heading in headings for word in plain(heading).split()}
    return len(words & DAY_FIRST_WORDS) >= 2


def years_named(table: Joined) -> dict[str, tuple[int | None, int | None]]:
    """Month and year that sections and tabs name."""
    named = {row.section for row in table.rows} | {row.sheet for row in table.rows}
    return {name: found for name in named if any(found := month_and_year(name))}


def of_titles(table: Joined, which: int) -> int | None:
    """The month (0) or year (1) that titles name; None where they name several months."""
    found = [named for title in table.titles if (named := month_and_year(title)[which]) is not None]
    if not found or (which == 0 and len(set(found)) > 1):
        return None
    return Counter(found).most_common(1)[0][0]


def day_by(table: Joined, columns: Mapping[str, str]) -> str | None:
    """How days are written, as `Understanding.day_by`; None where no column holds them."""
    held = {target: heading for heading, target in columns.items()}
    if "day" not in held:
        return None
    known = ColumnFacts(held["day"], table.column(held["day"]), len(table.rows))
    if known.days >= 0.5:
        return "column"
    if known.serials > 0.5:
        return "counted"
    if known.weekdays:
        return "weekday"
    return "parts" if "month" in held else "number"


def days_of(table: Joined, columns: Mapping[str, str], by: str, today: int) -> DayReading:
    """The order of day and month, and whether the year is written."""
    if by == "unknown":
        return DayReading(order=Order.DAY_FIRST, has_no_year=False)
    if by not in {"column", "counted"}:
        return DayReading(order=Order.DAY_FIRST, has_no_year="year" not in columns.values())
    heading = next(name for name, target in columns.items() if target == "day")
    found = day_reading(table.column(heading), today=today, counted=by == "counted")
    if found.order is None and _is_day_first_language(table.headings):
        return DayReading(order=Order.DAY_FIRST, has_no_year=found.has_no_year)
    texts = [cell for cell in table.column(heading) if isinstance(cell, str)]
    if found.order is None and texts and sum("." in text for text in texts) > len(texts) / 2:
        return DayReading(order=Order.DAY_FIRST, has_no_year=found.has_no_year)
    return found


def likely_year(
    table: Joined, columns: Mapping[str, str], days: DayReading, today: int
) -> int | None:
    """The latest year in which no day is still to come; None where days have their year."""
    heading = next((name for name, target in columns.items() if target == "day"), None)
    if heading is None or not days.has_no_year:
        return None
    this = int(day_text(today)[:4])
    found = [parts for cell in table.column(heading) if (parts := parts_of(cell)) is not None]
    order = days.order or Order.DAY_FIRST
    late = sum((number_of(parts, order, year=this) or 0) > today for parts in found)
    return this if late == 0 else this - 1


__all__ = ["day_by", "days_of", "likely_year", "of_titles", "years_named"]
