"""SQLite's write-ahead journal, taken up where others may open the same new file at once."""

import sqlite3
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


__all__ = ["write_ahead"]
