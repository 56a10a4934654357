"""Keep a store of the newest schema for ever, to prove later that it can still be brought up.

Run ``python -m builders.store_corpus`` when a release changes the schema, with a server named in
BITEWRIGHT_TEST_POSTGRESQL and pg_dump installed, and commit what it writes into
tests/corpus/stores. A file there is never written again.
"""

import shutil
import subprocess
from pathlib import Path

from bitewright.log.entry import body_text, sealed
from bitewright.store.entries import last_number_and_digest
from bitewright.store.location import store_location
from bitewright.store.names import set_name
from bitewright.store.opening import _alone, _engine, _migrate
from bitewright.store.tables import ENTRY, SCHEMA_VERSION
from tests.stores import empty_database, some_entries

FOLDER = Path(__file__).resolve().parents[1] / "tests" / "corpus" / "stores"


def main(version: str = SCHEMA_VERSION) -> None:
    """Write what is not there yet, and say where."""
    file = FOLDER / f"schema-{version}.sqlite"
    if not file.exists():
        fill(str(file), version)
        print(f"wrote {file}")
    dump = FOLDER / f"schema-{version}.postgresql.sql"
    if not dump.exists() and shutil.which("pg_dump"):
        with empty_database() as address:
            fill(address, version)
            dump.write_text(dumped(address), encoding="utf-8")
        print(f"wrote {dump}")


def fill(place: str, version: str) -> None:
    """Make a store of a schema with the made-up entries of the tests and one name."""
    location = store_location(place)
    engine = _engine(location, read_only=False)
    with _alone(engine) as connection:
        _migrate(connection, version)
        _, digest = last_number_and_digest(connection)
        numbers: dict[str, int] = {}
        for number, entry in enumerate(some_entries(), start=1):
            numbers[entry.key] = number
            body = body_text(entry.body)
            digest = sealed(digest, entry, body)
            row = {
                "number": number,
                "key": entry.key,
                "act": entry.act.value,
                "about": None if entry.about is None else numbers[entry.about],
                "written_at": entry.written_at,
                "written_by": entry.written_by,
                "why": entry.why,
                "body": body,
                "digest": digest,
            }
            connection.execute(ENTRY.insert(), [row])
        set_name(connection, "T1", "Invented Teacher")
    if location.file is not None:
        with engine.connect() as connection:
            connection.rollback()
            raw = connection.connection.driver_connection
            raw.execute("PRAGMA journal_mode = DELETE")
    engine.dispose()


def dumped(address: str) -> str:
    """A database as SQL, without what only pg_dump's own client understands."""
    command = ["pg_dump", "--inserts", "--no-owner", "--no-privileges", address]
    sql = subprocess.run(command, check=True, capture_output=True, text=True).stdout  # noqa: S603
    kept = [
        line
        for line in sql.splitlines()
        if line and not line.startswith(("--", "\\", "SET ", "SELECT pg_catalog.set_config"))
    ]
    return "\n".join(kept) + "\n"


if __name__ == "__main__":
    main()
