"""Open a store: connect, bring its schema up to date, know which store it is."""

import os
import shutil
import sqlite3
from collections.abc import Iterator
from contextlib import contextmanager, suppress
from dataclasses import dataclass
from pathlib import Path
from uuid import uuid4

from sqlalchemy import Connection, Engine, create_engine, event, inspect, select, text
from sqlalchemy.pool import NullPool

from bitewright.errors import BitewrightError, ExtraMissingError
from bitewright.store.entries import is_named
from bitewright.store.failures import (
    StoreDamagedError,
    StoreFullError,
    StoreReadOnlyError,
    StoreUnreachableError,
    database_failures,
)
from bitewright.store.kept_files import sweep_kept_files
from bitewright.store.location import StoreLocation
from bitewright.store.tables import OLDER_VERSIONS, SCHEMA_VERSION, STORE, VERSION
from bitewright.store.write_ahead import left_beside, write_ahead

WAIT_S = 30.0
"""How long a writer waits for another. Our choice."""
SETTLE_WAIT_S = 3.0
"""How long those who read are waited for when a write-ahead log is emptied. Our choice."""
MANY_CACHE_KB = 96 * 1024
"""Pages that are held in memory while very many entries are written. Our choice. [KiB]"""
NO_VERSION = "its version is none there ever was"
WRITES = "bitewright_writes"
WRITER_LOCK = 0x62697465
"""PostgreSQL's number for "somebody is appending": any, the same for all."""


class NewerStoreError(BitewrightError):
    """The store was made by a newer version of the program."""

    def __init__(self, where: object, version: str) -> None:
        self.version = version
        super().__init__(
            f"The store {where} has schema {version[:20]}, this version of Bitewright knows up to "
            f"{SCHEMA_VERSION}: use the newer version that made it."
        )


class StoreLeftOpenError(BitewrightError):
    """Beside a store that may only be read lies what its last writer did not bring to an end."""

    def __init__(self, where: object, beside: str) -> None:
        self.beside = beside
        super().__init__(
            f"The store {where} was left while somebody wrote, and {beside} beside it must be "
            "settled first: open the store once with the right to write to it and to its folder, "
            "or copy both to a folder of your own."
        )


class NoStoreError(BitewrightError):
    """There is nothing to read yet."""

    def __init__(self, where: object) -> None:
        super().__init__(
            f"There is no store at {where} yet: record a first exposure with `bitewright log add`, "
            "or name another place with --store."
        )


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Store:
    """An open store.

    Parameters
    ----------
    location : StoreLocation
    engine : Engine
    id : str
        Which store it is, wherever it is copied to.
    read_only : bool
        Whether it may only be read; one of an older schema is then read as it lies.
    """

    location: StoreLocation
    engine: Engine
    id: str
    read_only: bool = False

    @contextmanager
    def reading(self) -> Iterator[Connection]:
        """A connection that sees one state of the store."""
        with database_failures(self.location), self.engine.connect() as connection:
            yield connection

    @contextmanager
    def writing(self, *, many: bool = False) -> Iterator[Connection]:
        """A transaction that is alone in writing; kept whole when it ends well, else not at all.

        ``many``: very many entries, which go into SQLite's file at once and not through its
        write-ahead log, where they would need their room twice. Who reads meanwhile waits.
        """
        if self.read_only:
            raise StoreReadOnlyError(str(self.location))
        alone = _alone_with_many if many and self.location.file is not None else _alone
        with database_failures(self.location), alone(self.engine) as connection:
            yield connection

    def names(self, content_digest: str) -> bool:
        """Whether any entry names a film or assessment by its digest."""
        with self.reading() as connection:
            return is_named(connection, content_digest)

    def settle(self) -> bool:
        """Take everything from the write-ahead log into the file; whether nothing is left in it.

        Somebody who reads an earlier state keeps it from being emptied.
        """
        if self.location.file is None or self.read_only:
            return True
        with self.reading() as connection:
            connection.rollback()
            raw = connection.connection.driver_connection
            if raw is None:
                return False
            raw.execute(f"PRAGMA busy_timeout = {int(1000 * SETTLE_WAIT_S)}")
            busy, _, _ = raw.execute("PRAGMA wal_checkpoint(TRUNCATE)").fetchone()
            return not busy

    def check_room(self) -> None:
        """Refuse to end a large transaction whose pages would then find no room in the file.

        Raises
        ------
        StoreFullError
        """
        file = self.location.file
        log = file.with_name(f"{file.name}-wal") if file else None
        if file and log and log.exists():
            missing = log.stat().st_size - shutil.disk_usage(file.parent).free
            if missing > 0:
                raise StoreFullError(str(self.location))

    def close(self) -> None:
        """Let go of its connections."""
        self.engine.dispose()


@contextmanager
def opened_store(location: StoreLocation, *, make: bool = False) -> Iterator[Store]:
    """A store, open inside the ``with``.

    Parameters
    ----------
    location : StoreLocation
    make : bool
        Whether to make it where there is none.

    Raises
    ------
    NoStoreError
        If there is none and it should not be made.
    NewerStoreError
        If its schema is newer than is known here.
    StoreLeftOpenError
        If it may only be read, and its last writer was cut off.
    BitewrightError
        Every failure in `bitewright.store.failures`.
    """
    store = open_store(location, make=make)
    try:
        yield store
    finally:
        store.close()


def open_store(location: StoreLocation, *, make: bool = False) -> Store:
    """As `opened_store`, for who closes it himself."""
    read_only = False
    if location.file is not None:
        read_only = _look_at(location.file, location, make=make)
    engine = _engine(location, read_only=read_only)
    try:
        with _told_if_left_open(location, read_only=read_only), database_failures(location):
            id_, as_it_lies = _up_to_date(engine, location, make=make, read_only=read_only)
        store = Store(location=location, engine=engine, id=id_, read_only=read_only or as_it_lies)
    except BaseException:
        engine.dispose()
        raise
    if not store.read_only:
        sweep_kept_files(location, store.names)
    return store


@contextmanager
def _told_if_left_open(location: StoreLocation, *, read_only: bool) -> Iterator[None]:
    """Name what lies beside a file that may only be read, where that keeps it from being read."""
    try:
        yield
    except (StoreReadOnlyError, StoreUnreachableError) as error:
        left = left_beside(location.file) if read_only and location.file else None
        if left is None or error.where != str(location):
            raise
        raise StoreLeftOpenError(location, left.name) from error


@contextmanager
def opened_as_it_lies(location: StoreLocation) -> Iterator[Store]:
    """A store that may be too damaged to be opened, to read what is left; its id is empty.

    Raises
    ------
    NoStoreError, StoreLeftOpenError
    """
    if location.file is not None and not os.path.isfile(location.file):  # noqa: PTH113 - no error
        raise NoStoreError(location)
    engine = _engine(location, read_only=True)
    try:
        with _told_if_left_open(location, read_only=True):
            yield Store(location=location, engine=engine, id="", read_only=True)
    finally:
        engine.dispose()


def _look_at(file: Path, location: StoreLocation, *, make: bool) -> bool:
    """Whether the file may only be read; its folder is made where a store is to be made."""
    try:
        is_there = file.exists()
    except OSError as error:
        raise StoreUnreachableError(str(location), error.strerror or str(error)) from error
    if is_there:
        return not (os.access(file, os.W_OK) and os.access(file.parent, os.W_OK))
    if not make:
        raise NoStoreError(location)
    try:
        file.parent.mkdir(parents=True, exist_ok=True)
    except OSError as error:
        raise StoreUnreachableError(str(location), error.strerror or str(error)) from error
    return False


def _engine(location: StoreLocation, *, read_only: bool) -> Engine:
    if location.file is None:
        try:
            engine = create_engine(location.url, poolclass=NullPool)
        except ImportError as error:
            raise ExtraMissingError(
                "Stores in PostgreSQL", ["psycopg"], extra="postgresql"
            ) from error
        event.listen(engine, "begin", _begin_postgresql)
        return engine
    file = location.file

    def connect() -> sqlite3.Connection:
        if not read_only:
            return sqlite3.connect(file, timeout=WAIT_S, isolation_level=None)
        # Where not even the files beside it can be made, it is read as it lies there.
        lonely = not os.access(file.parent, os.W_OK) and left_beside(file) is None
        mode = "mode=ro&immutable=1" if lonely else "mode=ro"
        address = f"{file.as_uri()}?{mode}"
        return sqlite3.connect(address, uri=True, timeout=WAIT_S, isolation_level=None)

    engine = create_engine("sqlite://", creator=connect, poolclass=NullPool)
    event.listen(engine, "connect", _prepare_reading if read_only else _prepare_sqlite)
    event.listen(engine, "begin", _begin_sqlite)
    return engine


def _prepare_sqlite(connection: sqlite3.Connection, _record: object) -> None:
    _prepare_reading(connection, _record)
    write_ahead(connection, wait_s=WAIT_S)
    connection.execute("PRAGMA secure_delete = ON")


def _prepare_reading(connection: sqlite3.Connection, _record: object) -> None:
    connection.execute(f"PRAGMA busy_timeout = {int(1000 * WAIT_S)}")
    connection.execute("PRAGMA foreign_keys = ON")


def _begin_sqlite(connection: Connection) -> None:
    alone = connection.get_execution_options().get(WRITES)
    connection.exec_driver_sql("BEGIN IMMEDIATE" if alone else "BEGIN")


def _begin_postgresql(connection: Connection) -> None:
    if connection.get_execution_options().get(WRITES):
        connection.exec_driver_sql(f"SET LOCAL lock_timeout = {int(1000 * WAIT_S)}")
        connection.exec_driver_sql(f"SELECT pg_advisory_xact_lock({WRITER_LOCK})")


@contextmanager
def _alone(engine: Engine) -> Iterator[Connection]:
    with engine.execution_options(**{WRITES: True}).begin() as connection:
        yield connection


@contextmanager
def _alone_with_many(engine: Engine) -> Iterator[Connection]:
    """As `_alone`, with a journal of the pages that were there before, as few are changed.

    The next connection goes back to the write-ahead log. Where others hold the file open, the log
    stays in use.
    """
    with engine.execution_options(**{WRITES: True}).connect() as connection:
        raw = connection.connection.driver_connection
        if raw is not None:
            with suppress(sqlite3.OperationalError):  # somebody else has it open
                raw.execute("PRAGMA journal_mode = TRUNCATE")
            raw.execute(f"PRAGMA cache_size = -{MANY_CACHE_KB}")
        with connection.begin():
            yield connection


def _up_to_date(
    engine: Engine, location: StoreLocation, *, make: bool, read_only: bool
) -> tuple[str, bool]:
    """The store's id, its schema made or brought up to date, and whether it still is an older one.

    An older one that may only be read is read as it lies.
    """
    with engine.connect() as connection:
        version = _version(connection)
        if version == SCHEMA_VERSION or (read_only and version in OLDER_VERSIONS):
            return _id(connection, location), version != SCHEMA_VERSION
    if version is None and not make:
        raise NoStoreError(location)
    if version is not None and version > SCHEMA_VERSION:
        raise NewerStoreError(location, version)
    if read_only and version is not None:
        raise StoreDamagedError(str(location), NO_VERSION)
    if read_only:
        raise StoreReadOnlyError(str(location))
    try:
        with database_failures(location), _alone(engine) as connection:
            _brought_up(connection, location)
            return _id(connection, location), False
    except StoreReadOnlyError:  # as a database's server has it
        if version not in OLDER_VERSIONS:
            raise
    with engine.connect() as connection:
        return _id(connection, location), True


def _version(connection: Connection) -> str | None:
    if not inspect(connection).has_table("alembic_version"):
        return None
    return connection.execute(select(VERSION.c.version_num)).scalar()


def _brought_up(connection: Connection, location: StoreLocation) -> None:
    from alembic.util import CommandError  # noqa: PLC0415  as `_migrate`

    try:
        _migrate(connection)
    except CommandError as error:
        raise StoreDamagedError(str(location), NO_VERSION) from error


def _migrate(connection: Connection, to: str = "head") -> None:
    """Take the steps that are still to be taken; nothing where another process just took them."""
    from alembic import command  # noqa: PLC0415  a third of a second, and seldom needed
    from alembic.config import Config  # noqa: PLC0415

    config = Config()
    config.set_main_option("script_location", "bitewright.store:migrations")
    config.attributes["connection"] = connection
    command.upgrade(config, to)
    if connection.execute(select(STORE.c.id)).scalar() is None:
        made_at = connection.execute(text("SELECT CURRENT_TIMESTAMP")).scalar()
        connection.execute(STORE.insert().values(id=uuid4().hex, made_at=str(made_at)[:19]))


def _id(connection: Connection, location: StoreLocation) -> str:
    found = connection.execute(select(STORE.c.id)).scalars().all()
    if len(found) != 1:
        raise StoreDamagedError(str(location), "it does not say which store it is")
    return str(found[0])


__all__ = [
    "NewerStoreError",
    "NoStoreError",
    "Store",
    "StoreLeftOpenError",
    "open_store",
    "opened_as_it_lies",
    "opened_store",
]
