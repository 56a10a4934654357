"""The light box's own small store: films without names, their marks, what was decided.

One SQLite file in the user's data folder. Pixels lie beside it, one file a film.
"""

import json
from collections.abc import Iterator, Mapping
from contextlib import contextmanager
from dataclasses import dataclass
from datetime import datetime
from pathlib import Path
from typing import Any

from platformdirs import user_data_path
from sqlalchemy import (
    Column,
    Connection,
    Engine,
    Float,
    Integer,
    MetaData,
    Row,
    String,
    Table,
    Text,
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
from bitewright.kept_text import with_signs_for_what_is_not_kept
from bitewright.store.write_ahead import write_ahead

WAIT_S = 10.0
"""How long others who write are waited for."""

FILE_NAME = "light-box.sqlite"
SCHEMA_VERSION = 1

META = MetaData()
FILMS = Table(
    "films",
    META,
    Column("id", Integer, primary_key=True),
    Column("sha256", String(64), nullable=False),
    Column("label", String(200), nullable=False),
    Column("visit", String(60), nullable=False),
    Column("columns", Integer, nullable=False),
    Column("rows", Integer, nullable=False),
    Column("bits", Integer, nullable=False),
    Column("pixel_mm", Float),
    Column("source", Text, nullable=False),
    Column("attributes", Text, nullable=False),
    Column("caveats", Text, nullable=False),
    Column("added", String(32), nullable=False),
    Column("marks", Text, nullable=False),
    Column("marks_version", Integer, nullable=False),
    Column("decision", Text, nullable=False),
    sqlite_autoincrement=True,
)

PARSED: Mapping[str, type] = {"attributes": dict, "marks": dict, "decision": dict, "caveats": list}
"""Columns that hold JSON, and of which kind."""


class LightBoxError(BitewrightError):
    """The light box's file cannot be read or written."""

    def __init__(self, file: Path, reason: str) -> None:
        self.file = file
        super().__init__(
            f"The light box's file {file} cannot be used ({reason}): make room, or ask for the "
            "right to write there; nothing was changed."
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


@dataclass(frozen=True, slots=True, kw_only=True)
class KeptFilm:
    """One film on the light box.

    Parameters
    ----------
    id : int
    sha256 : str
        Of the file it came in.
    label : str
        The user's words for it; no names of people.
    visit : str
        Films of one visit share it.
    columns, rows, bits : int
    pixel_mm : float or None
        At the receptor. [mm]
    source : str
    attributes : mapping
        Everything kept of the file's own texts.
    caveats : tuple of str
    added : str
        Day and time, ISO 8601.
    marks : mapping
        A marks document's view, receptor, holder, marks and so on; empty at first.
    marks_version : int
    decision : mapping
        What a person decided; empty at first.
    damaged : tuple of str
        Which of attributes, marks, decision and caveats the file holds but nobody can read; they
        are empty here.
    has_signs : bool
        Whether the file holds characters that cannot be shown; U+FFFD stands for them here.
    """

    id: int
    sha256: str
    label: str
    visit: str
    columns: int
    rows: int
    bits: int
    pixel_mm: float | None
    source: str
    attributes: Mapping[str, str]
    caveats: tuple[str, ...]
    added: str
    marks: Mapping[str, Any]
    marks_version: int
    decision: Mapping[str, Any]
    damaged: tuple[str, ...] = ()
    has_signs: bool = False


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
        return tuple(_film(row) for row in rows)

    def film(self, number: int) -> KeptFilm:
        """One film.

        Raises
        ------
        NoSuchFilmError
        """
        with self._connected() as connection:
            return _found(connection, number)

    def add(self, *, now: datetime, attributes: Mapping[str, str], **fields: Any) -> KeptFilm:  # noqa: ANN401
        """Put a film on the light box; fields as `KeptFilm`."""
        row = {
            **fields,
            "attributes": json.dumps(dict(attributes)),
            "caveats": json.dumps(list(fields["caveats"])),
            "added": now.isoformat(timespec="seconds"),
            "marks": "{}",
            "marks_version": 0,
            "decision": "{}",
        }
        with self._connected() as connection:
            made = connection.execute(insert(FILMS).values(**row)).inserted_primary_key
            return _found(connection, int(made[0]) if made else 0)

    def change_marks(self, number: int, marks: Mapping[str, Any], *, version: int) -> KeptFilm:
        """Keep new marks that were made from a version of the old ones.

        Raises
        ------
        NoSuchFilmError, MarksChangedError
        """
        with self._connected() as connection:
            film = _found(connection, number)
            if film.marks_version != version:
                raise MarksChangedError(number, version, film.marks_version)
            _change(connection, number, marks=json.dumps(dict(marks)), marks_version=version + 1)
            return _found(connection, number)

    def change_label(self, number: int, *, label: str, visit: str) -> KeptFilm:
        """Give a film other words or another visit."""
        with self._connected() as connection:
            _found(connection, number)
            _change(connection, number, label=label, visit=visit)
            return _found(connection, number)

    def decide(self, number: int, decision: Mapping[str, Any]) -> KeptFilm:
        """Keep what a person decided about a film."""
        with self._connected() as connection:
            _found(connection, number)
            _change(connection, number, decision=json.dumps(dict(decision)))
            return _found(connection, number)

    def remove(self, number: int) -> None:
        """Take a film off the light box, pixels and all."""
        with self._connected() as connection:
            film = _found(connection, number)
            connection.execute(delete(FILMS).where(FILMS.c.id == number))
        self.pixel_file(film).unlink(missing_ok=True)

    @contextmanager
    def _connected(self) -> Iterator[Connection]:
        try:
            with self.engine.begin() as connection:
                yield connection
        except DBAPIError as error:
            raise LightBoxError(self.file, str(error.orig)) from error


def light_box_file() -> Path:
    """The file in the platform's data folder."""
    return user_data_path("bitewright", appauthor=False) / FILE_NAME


def open_light_box(file: Path) -> LightBoxStore:
    """Open a light box, made if there is none.

    Raises
    ------
    LightBoxError, NewerLightBoxError
    """
    try:
        file.parent.mkdir(parents=True, exist_ok=True)
    except OSError as error:
        raise LightBoxError(file, error.strerror or str(error)) from error
    engine = create_engine(f"sqlite:///{file}", poolclass=NullPool)
    event.listen(engine, "connect", _set_up)
    store = LightBoxStore(file=file, engine=engine)
    store.pixel_folder.mkdir(exist_ok=True)
    with store._connected() as connection:  # noqa: SLF001  of this very file
        version = int(connection.execute(text("PRAGMA user_version")).scalar_one())
        if version > SCHEMA_VERSION:
            raise NewerLightBoxError(file, version)
        if version < SCHEMA_VERSION:
            # Another process may open the same new file at this moment.
            connection.execute(CreateTable(FILMS, if_not_exists=True))
            connection.execute(text(f"PRAGMA user_version = {SCHEMA_VERSION}"))
    return store


def _set_up(connection: Any, _: object) -> None:  # noqa: ANN401  sqlite3's own, untyped here
    write_ahead(connection, wait_s=WAIT_S)


def _found(connection: Connection, number: int) -> KeptFilm:
    row = connection.execute(select(FILMS).where(FILMS.c.id == number)).one_or_none()
    if row is None:
        raise NoSuchFilmError(number)
    return _film(row)


def _change(connection: Connection, number: int, **values: object) -> None:
    connection.execute(update(FILMS).where(FILMS.c.id == number).values(**values))


def _film(row: Row[Any]) -> KeptFilm:
    fields = dict(row._mapping)  # noqa: SLF001  SQLAlchemy's public name for it
    damaged = []
    for name, kind in PARSED.items():
        try:
            fields[name] = json.loads(fields[name])
        except (TypeError, ValueError, RecursionError):
            fields[name] = None
        if not isinstance(fields[name], kind):
            fields[name] = kind()
            damaged.append(name)
    shown = with_signs_for_what_is_not_kept(fields)
    has_signs = shown != fields
    shown["caveats"] = tuple(str(each) for each in shown["caveats"])
    return KeptFilm(**shown, damaged=tuple(damaged), has_signs=has_signs)


__all__ = [
    "KeptFilm",
    "LightBoxError",
    "LightBoxStore",
    "MarksChangedError",
    "NewerLightBoxError",
    "NoSuchFilmError",
    "light_box_file",
    "open_light_box",
]
