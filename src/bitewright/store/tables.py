"""The tables of the newest schema. The migrations make them; these say what there is to ask for."""

from sqlalchemy import BigInteger, Column, ForeignKey, Integer, MetaData, String, Table, Text

SCHEMA_VERSION = "0003"
OLDER_VERSIONS = ("0001", "0002")
"""Schemas of earlier versions: brought up to date, or read as they lie where nobody may write."""
METADATA = MetaData()
NUMBER = BigInteger().with_variant(Integer(), "sqlite")

ENTRY = Table(
    "entry",
    METADATA,
    Column("number", NUMBER, primary_key=True, autoincrement=False),
    Column("key", String(64), nullable=False, unique=True),
    Column("act", String(16), nullable=False),
    Column("about", NUMBER, ForeignKey("entry.number"), index=True),
    Column("written_at", String(32), nullable=False),
    Column("written_by", String(40)),
    Column("why", Text),
    Column("body", Text, nullable=False),
    Column("digest", String(64), nullable=False),
)
"""Entries, appended only. `about` is the number of the exposure that a later entry speaks of."""

PERSON = Table(
    "person",
    METADATA,
    Column("code", String(40), primary_key=True),
    Column("name", Text, nullable=False),
    Column("seal", String(64), nullable=False, server_default=""),
)
"""Names by code, apart from the record: a row is deleted when a name is to be forgotten. `seal` is
the SHA-256 of code and name."""

STORE = Table(
    "store",
    METADATA,
    Column("id", String(32), primary_key=True),
    Column("made_at", String(32), nullable=False),
)
"""One row: which store this is."""

VERSION = Table("alembic_version", MetaData(), Column("version_num", String(32), primary_key=True))


__all__ = ["ENTRY", "OLDER_VERSIONS", "PERSON", "SCHEMA_VERSION", "STORE", "VERSION"]
