"""The database itself refuses to change or delete an entry."""

from alembic import op

revision = "0002"
down_revision = "0001"

SQLITE = """
CREATE TRIGGER entry_stays_{act} BEFORE {act} ON entry
BEGIN SELECT RAISE(ABORT, 'entries are appended, never changed or deleted'); END
"""
POSTGRESQL_FUNCTION = """
CREATE FUNCTION entry_stays() RETURNS trigger LANGUAGE plpgsql AS $$
BEGIN RAISE EXCEPTION 'entries are appended, never changed or deleted'; END $$
"""
POSTGRESQL_TRIGGER = """
CREATE TRIGGER entry_stays BEFORE UPDATE OR DELETE OR TRUNCATE ON entry
FOR EACH STATEMENT EXECUTE FUNCTION entry_stays()
"""


def upgrade() -> None:
    """Add the triggers."""
    if op.get_bind().dialect.name == "sqlite":
        op.execute(SQLITE.format(act="UPDATE"))
        op.execute(SQLITE.format(act="DELETE"))
    else:
        op.execute(POSTGRESQL_FUNCTION)
        op.execute(POSTGRESQL_TRIGGER)
