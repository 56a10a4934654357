"""Names of people by code, apart from the record: setting, reading and forgetting them."""

import hashlib
from collections.abc import Mapping

from sqlalchemy import Connection, delete, insert, inspect, select, text, update
from sqlalchemy.exc import DBAPIError

from bitewright.errors import BitewrightError, quoted
from bitewright.keeping.leftovers import parts_with_names, sweep_leftovers
from bitewright.store.opening import Store
from bitewright.store.tables import PERSON


class NoNameError(BitewrightError):
    """There is no name under a code."""

    def __init__(self, code: str) -> None:
        self.code = code
        super().__init__(
            f"No name is kept for the code {quoted(code)}: `bitewright log name list` shows those "
            "there are."
        )


class DamagedNameError(BitewrightError):
    """A name is not as it was kept."""

    def __init__(self, code: str) -> None:
        self.code = code
        super().__init__(
            f"The name kept for the code {quoted(code)} is damaged: keep it again with `bitewright "
            "log name set`, or delete it with `bitewright log name forget`."
        )


def names(connection: Connection) -> dict[str, str]:
    """All names by code, but for those that are not as they were kept."""
    return {code: name for code, name, seal in _people(connection) if seal == _seal(code, name)}


def damaged_names(connection: Connection) -> tuple[str, ...]:
    """Codes whose name is not as it was kept."""
    return tuple(code for code, name, seal in _people(connection) if seal != _seal(code, name))


def _people(connection: Connection) -> list[tuple[str, str, str]]:
    """Code, name and seal of each; in a schema without seals what bringing it up would give."""
    columns = {column["name"] for column in inspect(connection).get_columns(PERSON.name)}
    asked = select(PERSON.c.code, PERSON.c.name).order_by(PERSON.c.code)
    if PERSON.c.seal.name not in columns:
        plain = [(str(code), str(name)) for code, name in connection.execute(asked)]
        return [(code, name, _seal(code, name)) for code, name in plain]
    sealed = asked.add_columns(PERSON.c.seal)
    return [(str(code), str(name), str(seal)) for code, name, seal in connection.execute(sealed)]


def _seal(code: str, name: str) -> str:
    return hashlib.sha256(f"{code}\n{name}".encode(errors="replace")).hexdigest()


def set_name(connection: Connection, code: str, name: str) -> None:
    """Keep a name under a code, in place of any other there."""
    kept = {"name": name, "seal": _seal(code, name)}
    changed = connection.execute(update(PERSON).where(PERSON.c.code == code).values(**kept))
    if changed.rowcount == 0:
        connection.execute(insert(PERSON).values(code=code, **kept))


def set_names(connection: Connection, people: Mapping[str, str]) -> None:
    """Keep many names at once, each under a code that has none yet."""
    rows = [
        {"code": code, "name": name, "seal": _seal(code, name)} for code, name in people.items()
    ]
    if rows:
        connection.execute(insert(PERSON), rows)


def forget_name(store: Store, code: str) -> tuple[str, ...]:
    """Delete a name for good; entries keep the code, so every figure stays as it is.

    In SQLite its place is overwritten and the write-ahead log emptied. In PostgreSQL the table of
    names is written anew. Backups made before still hold it, and so does what a PostgreSQL server
    keeps to recover from a crash.

    Returns
    -------
    tuple of str
        Files that may still hold it, because somebody else reads an earlier state of the store or
        is writing a backup: empty if none does. Asked again, this empties them.

    Raises
    ------
    NoNameError
    """
    sweep_leftovers()
    with store.writing() as connection:
        was_there = connection.execute(delete(PERSON).where(PERSON.c.code == code)).rowcount > 0
    held = _still_held(store)
    if not was_there and not held:
        raise NoNameError(code)
    return held


def _still_held(store: Store) -> tuple[str, ...]:
    held = [str(part) for part in parts_with_names() if part.parent.exists()]
    file = store.location.file
    if file is None:
        return (*held, *_table_made_anew(store))
    if not store.settle():
        held.append(str(file))
    return tuple(held)


def _table_made_anew(store: Store) -> tuple[str, ...]:
    """Let PostgreSQL write the names to a new file, without what was deleted."""
    engine = store.engine.execution_options(isolation_level="AUTOCOMMIT")
    try:
        with engine.connect() as connection:
            connection.execute(text("SET lock_timeout = 3000"))
            connection.execute(text("VACUUM FULL person"))
    except DBAPIError:
        return (f"the table of names in {store.location}",)
    return ()


__all__ = [
    "DamagedNameError",
    "NoNameError",
    "damaged_names",
    "forget_name",
    "names",
    "set_name",
    "set_names",
]
