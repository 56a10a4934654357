"""Each name gets a seal, so that a damaged one is not shown as somebody's."""

import hashlib

import sqlalchemy as sa
from alembic import op

revision = "0003"
down_revision = "0002"


def upgrade() -> None:
    """Add the column, and seal the names there are."""
    seal = sa.Column("seal", sa.String(64), nullable=False, server_default="")
    op.add_column("person", seal)
    person = sa.table("person", sa.column("code"), sa.column("name"), sa.column("seal"))
    connection = op.get_bind()
    for code, name in connection.execute(sa.select(person.c.code, person.c.name)).all():
        made = hashlib.sha256(f"{code}\n{name}".encode()).hexdigest()
        connection.execute(sa.update(person).where(person.c.code == code).values(seal=made))
