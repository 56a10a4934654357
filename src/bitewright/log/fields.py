"""The fields of a logged exposure, from the one table that tells of them.

The store's columns, the audits' table, the headings of CSV files and the titles shown follow from
it; `python -m builders.log_fields` writes it into the schemas and the pages.
"""

import tomllib
from collections.abc import Mapping
from dataclasses import dataclass
from enum import StrEnum
from importlib.resources import files
from types import MappingProxyType
from typing import Any

from bitewright.errors import BitewrightError, quoted
from bitewright.log.decisions import DECISIONS
from bitewright.log.faults import FaultWordsError
from bitewright.log.field_forms import FORMS, Form, Plain, choice, count, number
from bitewright.mouth.numbering import UnknownToothError
from bitewright.quality.views import view_names

OTHER_VIEWS = ("periapical", "occlusal", "right-bitewing", "left-bitewing", "bitewing")
"""Views that are logged though nothing here plans or rates them: other films, and bitewings whose
region, or side, nobody wrote down."""


class Column(StrEnum):
    """How a field's column holds it for audits.

    A day since 1970-01-01; the code of a label, by which exposures are told apart, or of a rating;
    the place among the choices; 1 or 0; the number; rows of their own.
    """

    DAY = "day"
    LABEL = "label"
    RATING = "rating"
    CHOICE = "choice"
    FLAG = "flag"
    NUMBER = "number"
    FAULTS = "faults"


@dataclass(frozen=True, slots=True, kw_only=True)
class LogField:
    """One field.

    Parameters
    ----------
    title : str
        What is shown in place of its name.
    says : str
        What it means.
    form : Form
        How it is typed and what is allowed.
    column : Column or None
        How audits have it; None where they do without.
    """

    title: str
    says: str
    form: Form
    column: Column | None


class FieldValueError(BitewrightError):
    """A field of an entry has a value that is not allowed."""

    def __init__(self, field: str, given: str, allowed: str) -> None:
        self.field = field
        self.given = given
        self.allowed = allowed
        self.problem = f"{quoted(given)} is not allowed: give {allowed}"
        super().__init__(f"{quoted(given)} is not allowed as {field}: give {allowed}.")


def from_text(name: str, text: str) -> Plain:
    """The plain value of a field's text.

    Raises
    ------
    FieldValueError
    """
    form = FIELDS[name].form
    try:
        return form.read(text)
    except FaultWordsError as error:
        raise FieldValueError(name, text, f"what can be read ({error})") from error
    except (ValueError, UnknownToothError) as error:
        raise FieldValueError(name, text, form.allowed) from error


def as_text(name: str, value: Plain) -> str:
    """A plain value as `from_text` reads it."""
    return FIELDS[name].form.write(value)


def fields_with(column: Column) -> tuple[str, ...]:
    """Names of the fields that a column holds so."""
    return tuple(name for name, field in FIELDS.items() if field.column is column)


def _fields() -> dict[str, LogField]:
    text = (files("bitewright.log") / "tables" / "fields.toml").read_text("utf-8")
    return {name: _field(row) for name, row in tomllib.loads(text).items() if name != "format"}


def _field(row: Mapping[str, Any]) -> LogField:
    return LogField(
        title=row["title"],
        says=row["says"],
        form=_form(row),
        column=Column(row["column"]) if "column" in row else None,
    )


def _form(row: Mapping[str, Any]) -> Form:
    if row["form"] == "number":
        return number(*row["range"])
    if row["form"] == "count":
        return count(*row["range"])
    if row["form"] == "choice":
        return choice(*row["choices"])
    if row["form"] == "decision":
        return choice(*DECISIONS)
    if row["form"] == "view":
        return choice(*view_names(), *OTHER_VIEWS)
    return FORMS[row["form"]]


FIELDS: Mapping[str, LogField] = MappingProxyType(_fields())
"""Every field of a logged exposure by name, in the order tables show them."""
KINDS = FIELDS["kind"].form.choices
NUMBERS = frozenset(name for name, field in FIELDS.items() if field.form.is_number)


__all__ = [
    "FIELDS",
    "KINDS",
    "NUMBERS",
    "Column",
    "FieldValueError",
    "LogField",
    "as_text",
    "fields_with",
    "from_text",
]
