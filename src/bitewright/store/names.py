"""Names of people by code, apart from the record: setting, reading and forgetting them."""

from sqlalchemy import Connection, delete, insert, select, update

from bitewright.errors import BitewrightError, quoted
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


def names(connection: Connection) -> dict[str, str]:
    """All names by code."""
    rows = connection.execute(select(PERSON.c.code, PERSON.c.name).order_by(PERSON.c.code))
    return {str(code): str(name) for code, name in rows}


def set_name(connection: Connection, code: str, name: str) -> None:
    """Keep a name under a code, in place of any other there."""
    changed = connection.execute(update(PERSON).where(PERSON.c.code == code).values(name=name))
    if changed.rowcount == 0:
        connection.execute(insert(PERSON).values(code=code, name=name))


def forget_name(store: Store, code: str) -> None:
    """Delete a name for good; entries keep the code, so every figure stays as it is.

    In SQLite its place is overwritten and the write-ahead log emptied. In PostgreSQL the server
    frees the place in its own time. Backups made before still hold it.

    Raises
    ------
    NoNameError
    """
    with store.writing() as connection:
        if connection.execute(delete(PERSON).where(PERSON.c.code == code)).rowcount == 0:
            raise NoNameError(code)
    if store.location.file is not None:
        with store.reading() as connection:
            connection.rollback()
            raw = connection.connection.driver_connection
            if raw is not None:
                raw.execute("PRAGMA wal_checkpoint(TRUNCATE)")


__all__ = ["NoNameError", "forget_name", "names", "set_name"]
