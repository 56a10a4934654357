"""Imports taken back in the middle of a log: what else is there stays, in SQLite and PostgreSQL."""

from dataclasses import replace

import pytest
from sqlalchemy import text
from sqlalchemy.exc import DBAPIError

from bitewright.log.entry import Entry
from bitewright.log.imports import ImportName
from bitewright.store.appending import append
from bitewright.store.checking import check_store
from bitewright.store.entries import entries_after
from bitewright.store.imports import StillSpokenOfError, imports, imports_of_keys, take_back
from bitewright.store.location import StoreLocation
from bitewright.store.names import names, set_names
from bitewright.store.opening import Store, opened_store
from tests.stores import exposure, later

FIRST = ImportName(id="0123abcd", sheet="January")
SECOND = ImportName(id="89abcdef", sheet="February")


def of(name: ImportName, key: str, **fields: str) -> Entry:
    return replace(exposure(key, **fields), why=name.reason())


def fill(store: Store, *more: Entry, many: bool = False) -> None:
    with store.writing(many=many) as connection:
        given = [
            exposure("own-1"),
            of(FIRST, "f-1", case="case-0001", operator="staff-01"),
            of(FIRST, "f-2", case="case-0002"),
            later("c-1", "f-1", room="R2"),
            of(SECOND, "s-1", case="case-0002"),
            later("c-2", "own-1", room="R3"),
            *more,
        ]
        assert not append(connection, given).refused
        people = {"case-0001": "One", "case-0002": "Two", "staff-01": "Three"}
        set_names(connection, people)


@pytest.mark.parametrize("many", [False, True])
def test_what_else_is_there_stays_and_is_sealed_anew(
    location: StoreLocation, *, many: bool
) -> None:
    with opened_store(location, make=True) as store:
        fill(store, many=many)
        with store.reading() as connection:
            before = list(entries_after(connection))
            assert [each.id for each in imports(connection)] == [FIRST.id, SECOND.id]
            assert imports_of_keys(connection, ["f-1", "s-1", "x"])[FIRST.id] == 1
        with store.writing(many=many) as connection:
            gone = take_back(connection, FIRST.id)
        assert (gone.exposures, gone.later, gone.names) == (2, 1, 2)
        with store.reading() as connection:
            left = list(entries_after(connection))
            assert names(connection) == {"case-0002": "Two"}
            assert [(each.id, each.first) for each in imports(connection)] == [(SECOND.id, 2)]
        assert [each.entry.key for each in left] == ["own-1", "s-1", "c-2"]
        assert [each.number for each in left] == [1, 2, 3]
        assert left[0] == before[0]
        assert left[1].entry == before[4].entry
        assert not check_store(store).problems
        with pytest.raises(DBAPIError, match="never changed"), store.engine.begin() as connection:
            connection.execute(text("DELETE FROM entry"))


def test_an_import_that_others_speak_of_stays(location: StoreLocation) -> None:
    with opened_store(location, make=True) as store:
        fill(store, exposure("own-2", kind="retake", retake_of="f-1"))
        with pytest.raises(StillSpokenOfError, match="entry 7"), store.writing() as connection:
            take_back(connection, FIRST.id)
        with store.reading() as connection:
            assert len(list(entries_after(connection))) == 7
