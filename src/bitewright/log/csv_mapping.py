"""How a table becomes fields of the log: columns, values, dates, decimal comma.

A mapping says what a table of someone's own means. One whose headings are the log's own names needs
none: its mapping follows from them.
"""

import re
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, field
from typing import Any

from bitewright.errors import BitewrightError, listed_plainly, quoted
from bitewright.log.exposure_state import UnknownFieldError
from bitewright.log.fields import FIELDS, NUMBERS

MAPPING_FORMAT = "bitewright.csv-mapping/1"
KEY_COLUMN = "key"
SIZE_COLUMN = "fault_size"
MORE_COLUMNS = (KEY_COLUMN, SIZE_COLUMN)
DATES = {
    "year-month-day": re.compile(r"(?P<year>\d{4})-(?P<month>\d{1,2})-(?P<day>\d{1,2})"),
    "day.month.year": re.compile(r"(?P<day>\d{1,2})\.\s?(?P<month>\d{1,2})\.\s?(?P<year>\d{4})"),
    "day/month/year": re.compile(r"(?P<day>\d{1,2})/(?P<month>\d{1,2})/(?P<year>\d{4})"),
    "month/day/year": re.compile(r"(?P<month>\d{1,2})/(?P<day>\d{1,2})/(?P<year>\d{4})"),
}


class MissingColumnError(BitewrightError):
    """A table lacks a column that is asked for."""

    def __init__(self, column: str, there: Sequence[str]) -> None:
        self.column = column
        has = f"the table has {listed_plainly(there)}" if there else "the table has no headings"
        super().__init__(
            f"There is no column {quoted(column)}, {has}: correct the heading, the mapping or its "
            "separator."
        )


class ColumnTwiceError(BitewrightError):
    """A table has a column twice, and it cannot be told which is meant."""

    def __init__(self, column: str) -> None:
        self.column = column
        super().__init__(f"The column {quoted(column)} is there twice: keep one, or rename one.")


class UnknownColumnError(BitewrightError):
    """A table without a mapping has a heading that is no field of the log."""

    def __init__(self, column: str) -> None:
        self.column = column
        allowed = ", ".join((*FIELDS, KEY_COLUMN))
        super().__init__(f"The column {quoted(column)} is unknown: the headings are {allowed}.")


class LongRowError(BitewrightError):
    """A row has something beyond the table's last heading."""

    def __init__(self, cells: int, headings: int) -> None:
        super().__init__(
            f"There are {cells} cells under {headings} headings: put text that holds the "
            "separator in quotes."
        )


@dataclass(frozen=True, slots=True, kw_only=True)
class CsvMapping:
    """What a mapping file says.

    Parameters
    ----------
    columns : mapping of field to column heading
        Fields of the log, and "key" and "fault_size".
    values : mapping of field to mapping of text to text
        What the table's words mean; words not named stay as they are.
    constants : mapping of field to text
        The same for every row; a cell that is not empty goes before it.
    separator, encoding : str or None
        None is found out.
    decimal : str or None
        "." or ","; None takes either, and neither as a mark of thousands.
    date : str
        A name in `DATES`.
    between_faults : str
    key_prefix : str
        Put before every key.
    """

    columns: Mapping[str, str]
    values: Mapping[str, Mapping[str, str]] = field(default_factory=dict)
    constants: Mapping[str, str] = field(default_factory=dict)
    separator: str | None = None
    encoding: str | None = None
    decimal: str | None = "."
    date: str = "year-month-day"
    between_faults: str = "|"
    key_prefix: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class MappedRow:
    """A row's fields as text, and its key where the table has one."""

    key: str | None
    fields: Mapping[str, str]


def mapping_from(document: Mapping[str, Any]) -> CsvMapping:
    """The mapping of a document that fits the schema csv-mapping-1.

    Raises
    ------
    UnknownFieldError
        If it names a field that there is not.
    """
    allowed = (*FIELDS, *MORE_COLUMNS)
    for part in ("columns", "values", "constants"):
        for name in document.get(part, {}):
            if name not in allowed:
                raise UnknownFieldError(name)
    given = {name: value for name, value in document.items() if name != "format"}
    if "values" in given:
        given["values"] = {
            name: {word.strip().casefold(): meaning for word, meaning in words.items()}
            for name, words in given["values"].items()
        }
    return CsvMapping(**given)


def own_mapping(heading: Sequence[str], *, required: Sequence[str]) -> CsvMapping:
    """The mapping of a table whose headings are the log's own names, in capitals or not.

    Raises
    ------
    MissingColumnError
        If one of the required is not there.
    UnknownColumnError
        If a heading is no field.
    """
    named = [cell.strip().lower() for cell in heading]
    for name in required:
        if name not in named:
            raise MissingColumnError(name, named)
    for name in named:
        if name not in FIELDS and name != KEY_COLUMN:
            raise UnknownColumnError(name)
    return CsvMapping(columns=dict(zip(named, heading, strict=True)), decimal=None)


class RowReader:
    """Reads rows of a table under its heading.

    Raises
    ------
    MissingColumnError, ColumnTwiceError
        When made, if a column is missing or there twice.
    """

    def __init__(self, mapping: CsvMapping, heading: Sequence[str]) -> None:
        named = [cell.strip() for cell in heading]
        for column in mapping.columns.values():
            if column.strip() not in named:
                raise MissingColumnError(column, named)
            if named.count(column.strip()) > 1:
                raise ColumnTwiceError(column)
        self._headings = len(named)
        self._mapping = mapping
        self._places = [
            (
                name,
                named.index(column.strip()),
                mapping.values.get(name) or {},
                self._converter(name),
            )
            for name, column in mapping.columns.items()
        ]

    def mapped(self, cells: Sequence[str]) -> MappedRow:
        """One row; cells missing at its end are empty.

        Raises
        ------
        LongRowError
        """
        mapping = self._mapping
        if len(cells) > self._headings and any(cells[self._headings :]):
            raise LongRowError(len(cells), self._headings)
        fields = dict(mapping.constants)
        for name, place, words, converted in self._places:
            text = cells[place].strip() if place < len(cells) else ""
            if words:
                text = words.get(text.casefold(), text)
            if text:
                fields[name] = text if converted is None else converted(text)
        key = fields.pop(KEY_COLUMN, None)
        size = fields.pop(SIZE_COLUMN, None)
        if size and fields.get("faults"):
            fields["faults"] = f"{fields['faults']}:{size}"
        return MappedRow(key=key, fields=fields)

    def column_of(self, name: str) -> str | None:
        """The heading that a field is read from."""
        return self._mapping.columns.get(name)

    def _converter(self, name: str) -> Callable[[str], str] | None:
        """How a column's text is put into the log's form; None where it is that already."""
        mapping = self._mapping
        if name == "day":
            form = DATES[mapping.date]
            return lambda text: _iso_date(text, form)
        if name in NUMBERS or name == SIZE_COLUMN:
            return self._number()
        if name == "faults":
            return self._faults
        if name in {KEY_COLUMN, "retake_of"}:
            return lambda text: mapping.key_prefix + text
        return None

    def _number(self) -> Callable[[str], str] | None:
        """How a number is put into the log's form; None where it is that already."""
        if self._mapping.decimal == ",":
            return lambda text: text.replace(".", "").replace(",", ".")
        return with_point if self._mapping.decimal is None else None

    def _faults(self, text: str) -> str:
        words = self._mapping.values.get("faults", {})
        parts = [part.strip() for part in text.split(self._mapping.between_faults)]
        named = [words.get(part.casefold(), part) for part in parts if part]
        if self._mapping.decimal != ".":
            named = [part.replace(",", ".") for part in named]
        return "|".join(named)


def with_point(text: str) -> str:
    """A number with a decimal point, whichever mark it had; with several it stays, and is none."""
    return text if text.count(",") + text.count(".") > 1 else text.replace(",", ".")


def _iso_date(text: str, form: re.Pattern[str]) -> str:
    found = form.fullmatch(text)
    if found is None:
        return text  # refused as a day, with what was written
    return f"{found['year']}-{int(found['month']):02d}-{int(found['day']):02d}"


__all__ = [
    "DATES",
    "MAPPING_FORMAT",
    "ColumnTwiceError",
    "CsvMapping",
    "LongRowError",
    "MappedRow",
    "MissingColumnError",
    "RowReader",
    "UnknownColumnError",
    "mapping_from",
    "own_mapping",
    "with_point",
]
