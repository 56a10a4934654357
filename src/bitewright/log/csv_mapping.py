"""How a table of someone's own becomes fields of the log: columns, values, dates, decimal comma."""

import re
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, field
from typing import Any

from bitewright.errors import BitewrightError
from bitewright.log.exposure_state import UnknownFieldError
from bitewright.log.fields import FIELDS

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
NUMBERS = frozenset({SIZE_COLUMN, *(name for name, each in FIELDS.items() if each.is_number)})


class MappingColumnError(BitewrightError):
    """The table lacks a column that the mapping names."""

    def __init__(self, column: str, there: Sequence[str]) -> None:
        self.column = column
        super().__init__(
            f"The mapping names the column '{column[:60]}', the table has "
            f"{', '.join(there)[:400]}: correct the mapping, or its separator."
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
    decimal : str
        "." or ",".
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
    decimal: str = "."
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


class RowReader:
    """Reads rows of a table under its heading.

    Raises
    ------
    MappingColumnError
        When made, if a column is missing.
    """

    def __init__(self, mapping: CsvMapping, heading: Sequence[str]) -> None:
        named = [cell.strip() for cell in heading]
        for column in mapping.columns.values():
            if column.strip() not in named:
                raise MappingColumnError(column, named)
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
        """One row; cells missing at its end are empty."""
        mapping = self._mapping
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
        if name in NUMBERS and mapping.decimal == ",":
            return lambda text: text.replace(".", "").replace(",", ".")
        if name == "faults":
            return self._faults
        if name in {KEY_COLUMN, "retake_of"}:
            return lambda text: mapping.key_prefix + text
        return None

    def _faults(self, text: str) -> str:
        words = self._mapping.values.get("faults", {})
        parts = [part.strip() for part in text.split(self._mapping.between_faults)]
        named = [words.get(part.casefold(), part) for part in parts if part]
        if self._mapping.decimal == ",":
            named = [part.replace(",", ".") for part in named]
        return "|".join(named)


def _iso_date(text: str, form: re.Pattern[str]) -> str:
    found = form.fullmatch(text)
    if found is None:
        return text  # refused as a day, with what was written
    return f"{found['year']}-{int(found['month']):02d}-{int(found['day']):02d}"


__all__ = [
    "DATES",
    "MAPPING_FORMAT",
    "CsvMapping",
    "MappedRow",
    "MappingColumnError",
    "RowReader",
    "mapping_from",
]
