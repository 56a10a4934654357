"""SQLite's write-ahead journal: taken up by many at once, and left beside a file."""

import sqlite3
from pathlib import Path
from time import monotonic, sleep

PAUSE_S = 0.02
LOCKED = "locked"


def write_ahead(connection: sqlite3.Connection, *, wait_s: float) -> None:
    """Let a connection wait for others, and its file keep a write-ahead journal on firm ground.

    SQLite waits for no one while the journal's mode changes, whatever its busy timeout says: where
    another connection is about to write, it fails at once. So it is tried again here.

    Parameters
    ----------
    connection : sqlite3.Connection
    wait_s : float
        How long others are waited for. [s]

    Raises
    ------
    sqlite3.OperationalError
        If others kept it locked all that time, or the file cannot be written.
    """
    connection.execute(f"PRAGMA busy_timeout = {int(1000 * wait_s)}")
    ends = monotonic() + wait_s
    while True:
        try:
            connection.execute("PRAGMA journal_mode = WAL")
            break
        except sqlite3.OperationalError as error:
            if LOCKED not in str(error) or monotonic() > ends:
                raise
            sleep(PAUSE_S)
    connection.execute("PRAGMA synchronous = FULL")


def left_beside(file: Path) -> Path | None:
    """The write-ahead log or journal with something in it that is not in the file yet, or not out.

    An emptied one stays where the last writer ended well.
    """
    for end in ("-wal", "-journal"):
        left = file.with_name(f"{file.name}{end}")
        if left.exists() and left.stat().st_size > 0:
            return left
    return None


__all__ = ["left_beside", "write_ahead"]
