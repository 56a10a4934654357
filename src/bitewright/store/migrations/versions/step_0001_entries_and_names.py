"""Entries, names apart from them, and the store's own mark."""

import sqlalchemy as sa
from alembic import op

revision = "0001"
down_revision = None


def upgrade() -> None:
    """Make the tables."""
    number = sa.BigInteger().with_variant(sa.Integer(), "sqlite")
    op.create_table(
        "entry",
        sa.Column("number", number, primary_key=True, autoincrement=False),
        sa.Column("key", sa.String(64), nullable=False, unique=True),
        sa.Column("act", sa.String(16), nullable=False),
        sa.Column("about", number, sa.ForeignKey("entry.number")),
        sa.Column("written_at", sa.String(32), nullable=False),
        sa.Column("written_by", sa.String(40)),
        sa.Column("why", sa.Text()),
        sa.Column("body", sa.Text(), nullable=False),
        sa.Column("digest", sa.String(64), nullable=False),
    )
    op.create_index("ix_entry_about", "entry", ["about"])
    op.create_table(
        "person",
        sa.Column("code", sa.String(40), primary_key=True),
        sa.Column("name", sa.Text(), nullable=False),
    )
    op.create_table(
        "store",
        sa.Column("id", sa.String(32), primary_key=True),
        sa.Column("made_at", sa.String(32), nullable=False),
    )
