"""Stores for tests: made-up entries, and an empty database of each kind."""

import os
from collections.abc import Iterator, Mapping
from contextlib import contextmanager
from pathlib import Path
from typing import Any
from uuid import uuid4

import psycopg
import pytest

from bitewright.log.entry import Act, Entry
from bitewright.log.exposure_state import state_from_text
from bitewright.store.location import StoreLocation, store_location

SERVER = "BITEWRIGHT_TEST_POSTGRESQL"
TODAY = 30_000
PLAIN = {"day": "2026-01-31", "operator": "S1", "view": "right-molar", "supervisor": "T1"}


def exposure(key: str, **fields: str) -> Entry:
    """An exposure with these fields beside the plain ones."""
    return Entry(
        key=key,
        act=Act.EXPOSURE,
        about=None,
        written_at="2026-01-31T10:00:00Z",
        written_by="S1",
        why=None,
        body=state_from_text({**PLAIN, **fields}, today=TODAY),
    )


def later(key: str, about: str, act: Act = Act.CORRECTION, **changes: Any) -> Entry:
    """A later entry about an exposure."""
    return Entry(
        key=key,
        act=act,
        about=about,
        written_at="2026-02-01T10:00:00Z",
        written_by="T1",
        why="said wrongly" if act is Act.CORRECTION else None,
        body=changes,
    )


def some_entries() -> list[Entry]:
    """Exposures of every kind, a correction, a decision, a link."""
    return [
        exposure("a-1", decision="rejected", faults="overlap:0.4|cone-cut", rating="uk-2020:N"),
        exposure("a-2", kind="retake", retake_of="a-1", changed="tube back", teeth="16 46 47"),
        exposure("b-1", decision="accepted", case="C7", contact_error_deg="-3.25", room="=R1"),
        exposure("b-2", kind="extra-view", view="periapical", note="'quoted', -dashed; Größe"),
        later("c-1", "a-1", room="R2", faults=[{"fault": "overlap", "size": 0.6}]),
        later("c-2", "a-2", Act.DECISION, decision="accepted", decided_by="T2"),
        later("c-3", "b-1", case=None),
        later("c-4", "b-1", Act.LINK, film="ab" * 32),
    ]


@contextmanager
def empty_location(kind: str, folder: Path) -> Iterator[StoreLocation]:
    """Where an empty store of a kind can be made: "sqlite" or "postgresql".

    Without a server named in the environment, tests that need one are skipped; on a build server
    that skip fails the run.
    """
    if kind == "sqlite":
        yield store_location(str(folder / "log.sqlite"))
        return
    with empty_database() as address:
        yield store_location(address)


@contextmanager
def empty_database() -> Iterator[str]:
    """Address of a fresh PostgreSQL database, gone afterwards."""
    server = os.environ.get(SERVER)
    if not server:
        pytest.skip(f"no PostgreSQL server: name one in {SERVER}, as .ci/run does")
    name = f"test_{uuid4().hex[:12]}"
    with psycopg.connect(server, autocommit=True) as connection:
        connection.execute(f"CREATE DATABASE {name}".encode())
        try:
            yield f"{server.rpartition('/')[0]}/{name}"
        finally:
            connection.execute(f"DROP DATABASE {name} WITH (FORCE)".encode())


def states(entries: list[Entry]) -> Mapping[str, dict[str, Any]]:
    """How exposures stand after entries, by key: worked out here in the plainest way."""
    found: dict[str, dict[str, Any]] = {}
    for entry in entries:
        state = found.setdefault(entry.about or entry.key, {})
        for name, value in entry.body.items():
            state[name] = value
            if value is None:
                del state[name]
    return found
