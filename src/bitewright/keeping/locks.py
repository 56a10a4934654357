"""Locks on files that end with whoever held them, however that ended."""

import sys
from time import monotonic, sleep
from typing import IO, Any

PAUSE_S = 0.01

if sys.platform == "win32":
    import msvcrt

    def _take(number: int) -> None:
        msvcrt.locking(number, msvcrt.LK_NBLCK, 1)
else:
    import fcntl

    def _take(number: int) -> None:
        fcntl.flock(number, fcntl.LOCK_EX | fcntl.LOCK_NB)


def is_locked_for_us(file: IO[Any]) -> bool:
    """Take the lock of an open file at once; whether nobody else, thread or process, holds it.

    It ends when the file is closed, and so with the process.

    Raises
    ------
    OSError
        If the file system knows no locks.
    """
    try:
        _take(file.fileno())
    except (BlockingIOError, PermissionError):  # the second is what Windows says
        return False
    return True


def waited_for(file: IO[Any], *, wait_s: float) -> bool:
    """Wait for the lock of an open file; whether it was had in time."""
    ends = monotonic() + wait_s
    while not is_locked_for_us(file):
        if monotonic() > ends:
            return False
        sleep(PAUSE_S)
    return True


__all__ = ["is_locked_for_us", "waited_for"]
