"""Stores of every released schema, kept as they were, are brought up to date and lose nothing."""

import shutil
import sqlite3
import sys
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from uuid import uuid4

import psycopg
import pytest
from sqlalchemy import inspect, make_url, text
from sqlalchemy.exc import DBAPIError

from bitewright.store.appending import append
from bitewright.store.checking import check_store
from bitewright.store.columns import log_columns
from bitewright.store.entries import entries_after
from bitewright.store.failures import StoreReadOnlyError
from bitewright.store.location import store_location
from bitewright.store.names import names
from bitewright.store.opening import Store, opened_as_it_lies, opened_store
from bitewright.store.tables import METADATA, OLDER_VERSIONS, SCHEMA_VERSION
from tests.as_nobody import said_as_nobody
from tests.stores import empty_database, exposure, some_entries

FOLDER = Path(__file__).resolve().parents[1] / "corpus" / "stores"
SQLITE = sorted(FOLDER.glob("*.sqlite"))
POSTGRESQL = sorted(FOLDER.glob("*.sql"))
VERSIONS = ("0001", "0002", "0003")


def test_every_schema_there_ever_was_is_kept() -> None:
    assert (*OLDER_VERSIONS, SCHEMA_VERSION) == VERSIONS, (
        "run `python -m builders.store_corpus` and add it here"
    )
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


@pytest.mark.skipif(sys.platform == "win32", reason="platform: modes as POSIX")
@pytest.mark.parametrize("kept", SQLITE, ids=lambda path: path.stem)
def test_an_old_file_that_may_only_be_read_is_read_as_it_lies(
    kept: Path, own_folders: Path
) -> None:
    folder = own_folders / "kept"
    folder.mkdir()
    file = folder / "old.sqlite"
    shutil.copy(kept, file)
    before = file.read_bytes()
    assert said_as_nobody(folder, lambda: read_as_it_lies(str(file))) == AS_IT_LIES
    assert [path.name for path in folder.iterdir()] == [file.name]
    assert file.read_bytes() == before


@pytest.mark.parametrize("kept", SQLITE, ids=lambda path: path.stem)
def test_names_are_found_in_an_old_file_too_damaged_to_be_opened(
    kept: Path, own_folders: Path
) -> None:
    file = own_folders / "old.sqlite"
    shutil.copy(kept, file)
    with opened_as_it_lies(store_location(str(file))) as lying, lying.reading() as connection:
        assert names(connection) == {"T1": "Invented Teacher"}


@pytest.mark.parametrize("kept", POSTGRESQL, ids=lambda path: path.stem)
def test_an_old_database_that_may_only_be_read_is_read_as_it_lies(
    kept: Path, own_folders: Path
) -> None:
    assert own_folders
    with empty_database() as address:
        with psycopg.connect(address, autocommit=True) as connection:
            connection.execute(kept.read_bytes())
        only_reading = f"{address}?options=-cdefault_transaction_read_only%3Don"
        assert f"answered {read_as_it_lies(only_reading)!r}" == AS_IT_LIES
        with as_reader(address) as reader:
            assert f"answered {read_as_it_lies(reader)!r}" == AS_IT_LIES


AS_IT_LIES = "answered (True, {'T1': 'Invented Teacher'}, 3, 0, 'StoreReadOnlyError')"


def read_as_it_lies(place: str) -> tuple[bool, dict[str, str], int, int, str]:
    """Its entries, names, decided exposures and damaged ones, and how writing fails."""
    with opened_store(store_location(place)) as store:
        with store.reading() as connection:
            whole = [each.entry for each in entries_after(connection)] == some_entries()
            people = names(connection)
        decided = len(log_columns(store).decided())
        damaged = len(check_store(store).damaged)
        try:
            with store.writing() as connection:
                append(connection, [exposure("new-1")])
        except StoreReadOnlyError as error:
            return whole, people, decided, damaged, type(error).__name__
    return whole, people, decided, damaged, "written"


@contextmanager
def as_reader(address: str) -> Iterator[str]:
    """The address of the same database for a role that may read its tables and no more."""
    role = f"reader_{uuid4().hex}"
    with psycopg.connect(address, autocommit=True) as connection:
        connection.execute(f"CREATE ROLE {role} LOGIN")
        connection.execute(f"GRANT SELECT ON ALL TABLES IN SCHEMA public TO {role}")
        try:
            yield str(make_url(address).set(username=role).render_as_string(hide_password=False))
        finally:
            connection.execute(f"DROP OWNED BY {role}")
            connection.execute(f"DROP ROLE {role}")


@pytest.mark.skipif(sys.platform == "win32", reason="platform: modes as POSIX")
def test_a_version_there_never_was_is_told_where_it_may_only_be_read(own_folders: Path) -> None:
    folder = own_folders / "kept"
    folder.mkdir()
    shutil.copy(SQLITE[0], folder / "old.sqlite")
    with sqlite3.connect(folder / "old.sqlite") as raw:
        raw.execute("UPDATE alembic_version SET version_num = '0000'")
    raw.close()
    said = said_as_nobody(folder, lambda: read_as_it_lies(str(folder / "old.sqlite")))
    assert said.startswith("bitewright.")
    assert "none there ever was" in said


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
