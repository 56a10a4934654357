"""Stores of every released schema, kept as they were, are brought up to date and lose nothing."""

import shutil
import sqlite3
from pathlib import Path

import psycopg
import pytest
from sqlalchemy import inspect, text
from sqlalchemy.exc import DBAPIError

from bitewright.store.appending import append
from bitewright.store.checking import check_store
from bitewright.store.entries import entries_after
from bitewright.store.location import store_location
from bitewright.store.names import names
from bitewright.store.opening import Store, opened_store
from bitewright.store.tables import METADATA, SCHEMA_VERSION
from tests.stores import empty_database, exposure, some_entries

FOLDER = Path(__file__).resolve().parents[1] / "corpus" / "stores"
SQLITE = sorted(FOLDER.glob("*.sqlite"))
POSTGRESQL = sorted(FOLDER.glob("*.sql"))
VERSIONS = ("0001", "0002", "0003")


def test_every_schema_there_ever_was_is_kept() -> None:
    assert VERSIONS[-1] == SCHEMA_VERSION, "run `python -m builders.store_corpus` and add it here"
    assert [path.name for path in SQLITE] == [f"schema-{each}.sqlite" for each in VERSIONS]
    wanted = [f"schema-{each}.postgresql.sql" for each in VERSIONS]
    assert [path.name for path in POSTGRESQL] == wanted


@pytest.mark.parametrize("kept", SQLITE, ids=lambda path: path.stem)
def test_an_old_file_is_brought_up(kept: Path, own_folders: Path) -> None:
    file = own_folders / "old.sqlite"
    shutil.copy(kept, file)
    with opened_store(store_location(str(file))) as store:
        assert_is_whole(store)


@pytest.mark.parametrize("kept", POSTGRESQL, ids=lambda path: path.stem)
def test_an_old_database_is_brought_up(kept: Path, own_folders: Path) -> None:
    assert own_folders
    with empty_database() as address:
        with psycopg.connect(address, autocommit=True) as connection:
            connection.execute(kept.read_bytes())
        with opened_store(store_location(address)) as store:
            assert_is_whole(store)


def assert_is_whole(store: Store) -> None:
    """Same entries, seals and names; what the newest schema has; and it goes on."""
    with store.reading() as connection:
        read = [each.entry for each in entries_after(connection)]
        assert read == some_entries()
        assert names(connection) == {"T1": "Invented Teacher"}
        found = inspect(connection)
        for table in METADATA.tables.values():
            columns = {column["name"] for column in found.get_columns(table.name)}
            assert columns == {column.name for column in table.columns}
    assert not [p for p in check_store(store).problems if "abababab" not in p]
    with pytest.raises(DBAPIError, match="never changed"), store.engine.begin() as connection:
        connection.execute(text("UPDATE entry SET why = 'x'"))
    with store.writing() as connection:
        assert append(connection, [exposure("new-1")]).last_number == 9


def test_each_kept_file_has_the_schema_it_says(own_folders: Path) -> None:
    """Opening one by mistake would have brought it up."""
    assert own_folders
    for kept in SQLITE:
        with sqlite3.connect(f"{kept.as_uri()}?mode=ro", uri=True) as raw:
            (version,) = raw.execute("SELECT version_num FROM alembic_version").fetchone()
        raw.close()
        assert kept.stem == f"schema-{version}"
