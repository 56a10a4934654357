"""Names of operators and supervisors: kept apart from the record, set, listed and forgotten."""

from dataclasses import dataclass
from typing import Any

from bitewright.errors import BitewrightError, quoted
from bitewright.kept_text import check_text
from bitewright.log.fields import from_text
from bitewright.store.names import damaged_names, forget_name, names, set_name
from bitewright.store.opening import opened_store
from bitewright.tasks.log.store_place import store_place

LONGEST_NAME = 80
NAMES_FORMAT = "bitewright.names/1"


class NameTextError(BitewrightError):
    """A name is empty, too long or more than one line."""

    def __init__(self, given: str) -> None:
        self.given = given
        super().__init__(
            f"{quoted(given)} cannot be kept as a name: give up to {LONGEST_NAME} characters on "
            "one line."
        )


def list_names(store: str | None) -> dict[str, str]:
    """All names by code."""
    with opened_store(store_place(store)) as opened, opened.reading() as connection:
        return names(connection)


def damaged_people(store: str | None) -> tuple[str, ...]:
    """Codes whose name is damaged and not shown."""
    with opened_store(store_place(store)) as opened, opened.reading() as connection:
        return damaged_names(connection)


def name_person(code: str, name: str, store: str | None) -> None:
    """Keep a name under a code, in place of any other there."""
    checked, text = str(from_text("operator", code)), name.strip()
    if not text or len(text) > LONGEST_NAME or not text.isprintable():
        raise NameTextError(name)
    with opened_store(store_place(store), make=True) as opened, opened.writing() as connection:
        set_name(connection, checked, text)


@dataclass(frozen=True, slots=True, kw_only=True)
class Forgotten:
    """What became of a name: files that may still hold it, and whether a server keeps the store."""

    held: tuple[str, ...]
    by_a_server: bool


def forget_person(code: str, store: str | None) -> Forgotten:
    """Delete a name; every entry and figure stays as it is.

    Raises
    ------
    NoNameError, TextNotKeptError
    """
    check_text("code", code)
    location = store_place(store)
    with opened_store(location) as opened:
        held = forget_name(opened, code)
    return Forgotten(held=held, by_a_server=location.file is None)


def names_document(people: dict[str, str], damaged: tuple[str, ...]) -> dict[str, Any]:
    """As data for machines."""
    return {"format": NAMES_FORMAT, "names": people, "damaged": list(damaged)}


__all__ = [
    "Forgotten",
    "damaged_people",
    "forget_person",
    "list_names",
    "name_person",
    "names_document",
]
