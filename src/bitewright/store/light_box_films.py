"""Films on the light box as rows of its file, each sealed by a digest over all it holds."""

import hashlib
import json
from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

from sqlalchemy import Column, Float, Integer, MetaData, Row, String, Table, Text

from bitewright.kept_text import with_signs_for_what_is_not_kept

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
    Column("seal", String(64), nullable=False, server_default=""),
    sqlite_autoincrement=True,
)

PARSED: Mapping[str, type] = {"attributes": dict, "marks": dict, "decision": dict, "caveats": list}
"""Columns that hold JSON, and of which kind."""


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
    is_as_written : bool
        Whether its seal fits what the file holds.
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
    is_as_written: bool = True


def film_of_row(row: Row[Any]) -> KeptFilm:
    """A film from its row, whatever that holds."""
    fields = dict(row._mapping)  # noqa: SLF001  SQLAlchemy's public name for it
    seal = fields.pop("seal")
    is_as_written = seal in {"", seal_of(fields)}
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
    return KeptFilm(
        **shown, damaged=tuple(damaged), has_signs=has_signs, is_as_written=is_as_written
    )


def seal_of(fields: Mapping[str, Any]) -> str:
    """SHA-256 over everything that a row holds but its seal."""
    held = {name: value for name, value in fields.items() if name != "seal"}
    return hashlib.sha256(json.dumps(held, sort_keys=True, default=repr).encode()).hexdigest()


__all__ = ["FILMS", "KeptFilm", "film_of_row", "seal_of"]
