"""The light box's own small store: films without names, their marks, what was decided.

One SQLite file in the user's data folder. Pixels lie beside it, one file a film. They are written
before the film's row is: so a row without pixels cannot come about, and pixels without a row are
swept when the light box is opened.
"""

import json
from collections.abc import Iterator, Mapping
from contextlib import contextmanager, suppress
from dataclasses import dataclass
from datetime import datetime
from pathlib import Path
from typing import Any

from platformdirs import user_data_path
from sqlalchemy import (
    Connection,
    Engine,
    create_engine,
    delete,
    event,
    insert,
    select,
    text,
    update,
)
from sqlalchemy.exc import DBAPIError
from sqlalchemy.pool import NullPool
from sqlalchemy.schema import CreateTable

from bitewright.errors import BitewrightError
from bitewright.keeping.whole_files import write_file
from bitewright.store.failures import DAMAGED
from bitewright.store.light_box_films import FILMS, KeptFilm, film_of_row, seal_of
from bitewright.store.write_ahead import write_ahead

WAIT_S = 10.0
"""How long others who write are waited for."""

FILE_NAME = "light-box.sqlite"
SCHEMA_VERSION = 2
WRITES = "light_box_writes"


class LightBoxError(BitewrightError):
    """The light box's file cannot be read or written."""

    def __init__(self, file: Path, reason: str) -> None:
        self.file = file
        super().__init__(
            f"The light box's file {file} cannot be used ({reason}): make room, or ask for the "
            "right to write there; nothing was changed."
        )


class DamagedLightBoxError(BitewrightError):
    """The light box's file is no sound database."""

    def __init__(self, file: Path, reason: str) -> None:
        self.file = file
        super().__init__(
            f"The light box's file {file} is damaged ({reason}): move it to another folder, with "
            f"{file.name}.films beside it, and keep both; the light box then begins anew."
        )


class NewerLightBoxError(BitewrightError):
    """The light box's file was made by a newer version of the program."""

    def __init__(self, file: Path, version: int) -> None:
        super().__init__(
            f"The light box's file {file} has schema {version}, this version of Bitewright knows "
            f"up to {SCHEMA_VERSION}: use the newer version that made it."
        )


class NoSuchFilmError(BitewrightError):
    """No film of this number is on the light box."""

    status_code = 404

    def __init__(self, number: int) -> None:
        self.number = number
        super().__init__(f"Film {number} is not on the light box: choose one of the films shown.")


class MarksChangedError(BitewrightError):
    """Somebody else changed the marks meanwhile."""

    status_code = 409

    def __init__(self, number: int, given: int, kept: int) -> None:
        self.number = number
        super().__init__(
            f"The marks of film {number} were changed elsewhere (version {kept}, yours was made "
            f"from {given}): load the film again, then repeat your change."
        )


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class LightBoxStore:
    """An open light box."""

    file: Path
    engine: Engine

    @property
    def pixel_folder(self) -> Path:
        """Where pixels lie."""
        return self.file.with_name(f"{self.file.name}.films")

    def pixel_file(self, film: KeptFilm) -> Path:
        """Where one film's pixels lie."""
        return self.pixel_folder / f"{film.id}.png"

    def films(self) -> tuple[KeptFilm, ...]:
        """Every film, the newest visit's first."""
        with self._connected() as connection:
            rows = connection.execute(select(FILMS).order_by(FILMS.c.id)).all()
        return tuple(film_of_row(row) for row in rows)

    def film(self, number: int) -> KeptFilm:
        """One film.

        Raises
        ------
        NoSuchFilmError
        """
        with self._connected() as connection:
            return _found(connection, number)

    def add(
        self,
        picture: bytes,
        *,
        now: datetime,
        attributes: Mapping[str, str],
        **fields: Any,  # noqa: ANN401
    ) -> KeptFilm:
        """Put a film on the light box, whole or not at all; fields as `KeptFilm`.

        ``picture``: the file its pixels are kept in.
        """
        row = {
            **fields,
            "attributes": json.dumps(dict(attributes)),
            "caveats": json.dumps(list(fields["caveats"])),
            "added": now.isoformat(timespec="seconds"),
            "marks": "{}",
            "marks_version": 0,
            "decision": "{}",
        }
        with self._writing() as connection:
            made = connection.execute(insert(FILMS).values(**row)).inserted_primary_key
            number = int(made[0]) if made else 0
            film = _changed(connection, number)
            write_file(self.pixel_file(film), picture)
            return film

    def change_marks(self, number: int, marks: Mapping[str, Any], *, version: int) -> KeptFilm:
        """Keep new marks that were made from a version of the old ones.

        Raises
        ------
        NoSuchFilmError, MarksChangedError
        """
        with self._writing() as connection:
            film = _found(connection, number)
            if film.marks_version != version:
                raise MarksChangedError(number, version, film.marks_version)
            kept = json.dumps(dict(marks))
            return _changed(connection, number, marks=kept, marks_version=version + 1)

    def change_label(self, number: int, *, label: str, visit: str) -> KeptFilm:
        """Give a film other words or another visit."""
        with self._writing() as connection:
            return _changed(connection, number, label=label, visit=visit)

    def decide(self, number: int, decision: Mapping[str, Any]) -> KeptFilm:
        """Keep what a person decided about a film."""
        with self._writing() as connection:
            return _changed(connection, number, decision=json.dumps(dict(decision)))

    def remove(self, number: int) -> None:
        """Take a film off the light box, pixels and all."""
        with self._writing() as connection:
            film = _found(connection, number)
            connection.execute(delete(FILMS).where(FILMS.c.id == number))
        with suppress(OSError):  # what stays is swept when the light box is opened again
            self.pixel_file(film).unlink(missing_ok=True)

    @contextmanager
    def _connected(self) -> Iterator[Connection]:
        with _told(self.file), self.engine.begin() as connection:
            yield connection

    @contextmanager
    def _writing(self) -> Iterator[Connection]:
        """A transaction that is alone in writing from its beginning."""
        with (
            _told(self.file),
            self.engine.execution_options(**{WRITES: True}).begin() as connection,
        ):
            yield connection


@contextmanager
def _told(file: Path) -> Iterator[None]:
    """Turn failures of the database into sentences."""
    try:
        yield
    except DBAPIError as error:
        reason = str(error.orig)
        if any(word in reason for word in DAMAGED):
            raise DamagedLightBoxError(file, reason) from error
        raise LightBoxError(file, reason) from error
    except UnicodeDecodeError as error:  # the database's own words about it are damaged
        raise DamagedLightBoxError(file, "what it says is no text") from error


def light_box_file() -> Path:
    """The file in the platform's data folder."""
    return user_data_path("bitewright", appauthor=False) / FILE_NAME


def open_light_box(file: Path) -> LightBoxStore:
    """Open a light box, made if there is none.

    Raises
    ------
    LightBoxError, NewerLightBoxError
    """
    engine = create_engine(f"sqlite:///{file}", poolclass=NullPool)
    event.listen(engine, "connect", _set_up)
    event.listen(engine, "begin", _begin)
    store = LightBoxStore(file=file, engine=engine)
    try:
        store.pixel_folder.mkdir(parents=True, exist_ok=True)
    except OSError as error:
        raise LightBoxError(file, error.strerror or str(error)) from error
    with store._writing() as connection:  # noqa: SLF001  of this very file
        version = int(connection.execute(text("PRAGMA user_version")).scalar_one())
        if version > SCHEMA_VERSION:
            raise NewerLightBoxError(file, version)
        if version < SCHEMA_VERSION:
            _bring_up(connection, version)
        _sweep(connection, store.pixel_folder)
    return store


def _bring_up(connection: Connection, version: int) -> None:
    """Make the table, or seal the films of a file from before there were seals."""
    if version == 0:
        connection.execute(CreateTable(FILMS, if_not_exists=True))
    else:
        connection.execute(
            text("ALTER TABLE films ADD COLUMN seal VARCHAR(64) DEFAULT '' NOT NULL")
        )
        for number in connection.execute(select(FILMS.c.id)).scalars().all():
            _changed(connection, number)
    connection.execute(text(f"PRAGMA user_version = {SCHEMA_VERSION}"))


def _sweep(connection: Connection, folder: Path) -> None:
    """Remove pixels without a row: of films that were being entered, or just removed, at a kill.

    Nobody enters one meanwhile, as pixels are written inside a writing transaction.
    """
    known = set(connection.execute(select(FILMS.c.id)).scalars())
    with suppress(OSError):
        for path in folder.glob("*.png"):
            if path.stem.isdecimal() and int(path.stem) not in known:
                path.unlink(missing_ok=True)


def _set_up(connection: Any, _: object) -> None:  # noqa: ANN401  sqlite3's own, untyped here
    connection.isolation_level = None
    write_ahead(connection, wait_s=WAIT_S)


def _begin(connection: Connection) -> None:
    alone = connection.get_execution_options().get(WRITES)
    connection.exec_driver_sql("BEGIN IMMEDIATE" if alone else "BEGIN")


def _found(connection: Connection, number: int) -> KeptFilm:
    row = connection.execute(select(FILMS).where(FILMS.c.id == number)).one_or_none()
    if row is None:
        raise NoSuchFilmError(number)
    return film_of_row(row)


def _changed(connection: Connection, number: int, **values: object) -> KeptFilm:
    """A film with other values, sealed again; one that was damaged stays so."""
    film = _found(connection, number)
    if values:
        connection.execute(update(FILMS).where(FILMS.c.id == number).values(**values))
    if film.is_as_written:
        row = connection.execute(select(FILMS).where(FILMS.c.id == number)).one()
        seal = seal_of(dict(row._mapping))  # noqa: SLF001  SQLAlchemy's public name for it
        connection.execute(update(FILMS).where(FILMS.c.id == number).values(seal=seal))
    return _found(connection, number)


__all__ = [
    "DamagedLightBoxError",
    "KeptFilm",
    "LightBoxError",
    "LightBoxStore",
    "MarksChangedError",
    "NewerLightBoxError",
    "NoSuchFilmError",
    "light_box_file",
    "open_light_box",
]
