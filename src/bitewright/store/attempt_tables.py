"""Tables of attempts at exercises, in the log's own database and apart from its entries.

They are made when the first attempt is kept, so a log without practice stays as it is. Each
student's attempts are a chain of their own: one student's record can be deleted, and every other
seal still holds.
"""

from sqlalchemy import Column, Connection, Integer, MetaData, String, Table, Text, inspect, text

METADATA = MetaData()

ATTEMPT = Table(
    "attempt",
    METADATA,
    Column("student", String(40), primary_key=True),
    Column("number", Integer, primary_key=True, autoincrement=False),
    Column("key", String(64), nullable=False, unique=True),
    Column("written_at", String(32), nullable=False),
    Column("body", Text, nullable=False),
    Column("digest", String(64), nullable=False),
)
"""Attempts, appended only. `key` is made of student, item and moment."""

DELETION = Table(
    "attempt_deletion",
    METADATA,
    Column("number", Integer, primary_key=True, autoincrement=False),
    Column("student", String(40), nullable=False),
    Column("attempts", Integer, nullable=False),
    Column("deleted_at", String(32), nullable=False),
    Column("deleted_by", String(40), nullable=False),
    Column("digest", String(64), nullable=False),
)
"""That a student's attempts were deleted, when, by whom and how many; nothing of what they held."""

NAMES = (ATTEMPT.name, DELETION.name)
SQLITE = """
CREATE TRIGGER {table}_stays_{act} BEFORE {act} ON {table}
BEGIN SELECT RAISE(ABORT, 'attempts are appended, never changed'); END
"""
POSTGRESQL_FUNCTION = """
CREATE FUNCTION attempts_stay() RETURNS trigger LANGUAGE plpgsql AS $$
BEGIN RAISE EXCEPTION 'attempts are appended, never changed'; END $$
"""
POSTGRESQL_TRIGGER = """
CREATE TRIGGER {table}_stays BEFORE UPDATE OR DELETE OR TRUNCATE ON {table}
FOR EACH STATEMENT EXECUTE FUNCTION attempts_stay()
"""


def has_attempts(connection: Connection) -> bool:
    """Whether anything was ever kept here."""
    return inspect(connection).has_table(ATTEMPT.name)


def make_tables(connection: Connection) -> None:
    """Make the tables and their guards where they are not, inside a writing transaction."""
    if has_attempts(connection):
        return
    METADATA.create_all(connection)
    if connection.dialect.name != "sqlite":
        connection.execute(text(POSTGRESQL_FUNCTION))
        for table in NAMES:
            connection.execute(text(POSTGRESQL_TRIGGER.format(table=table)))
        return
    for table in NAMES:
        for act in ("UPDATE", "DELETE"):
            connection.execute(text(SQLITE.format(table=table, act=act)))


def delete_rows(connection: Connection, student: str) -> None:
    """Delete a student's attempts; the database's own guard is back before all ends."""
    gone = ATTEMPT.delete().where(ATTEMPT.c.student == student)
    if connection.dialect.name == "sqlite":
        connection.execute(text("DROP TRIGGER IF EXISTS attempt_stays_DELETE"))
        connection.execute(gone)
        connection.execute(text(SQLITE.format(table=ATTEMPT.name, act="DELETE")))
        return
    connection.execute(text("ALTER TABLE attempt DISABLE TRIGGER attempt_stays"))
    connection.execute(gone)
    connection.execute(text("ALTER TABLE attempt ENABLE TRIGGER attempt_stays"))


__all__ = ["ATTEMPT", "DELETION", "delete_rows", "has_attempts", "make_tables"]
