"""Acts in a process that has no rights beyond those of its files' modes."""

import os
from collections.abc import Callable, Iterable
from pathlib import Path
from tempfile import gettempdir

NOBODY = 65534


def said_as_nobody(folder: Path, act: Callable[[], object], *, closed: Iterable[Path] = ()) -> str:
    """What an act answers or fails with, by somebody who may read the folder and nothing else.

    ``closed``: folders in it that may not even be entered.
    """
    before = folder.stat().st_mode
    for path in folder.rglob("*"):
        path.chmod(0o555 if path.is_dir() else 0o444)
    folder.chmod(0o555)
    for path in closed:
        path.chmod(0o000)
    open_the_way_to(folder)
    said = answer_of_nobody(act)
    for path in folder.rglob("*"):
        path.chmod(0o777)
    folder.chmod(before)
    return said


def open_the_way_to(folder: Path) -> None:
    """Let anybody through the tests' own folders; left so, for tests beside may be on their way."""
    own = [path for path in folder.parents if path.is_relative_to(gettempdir())]
    for path in own[:-1]:  # the last is the folder for all that is temporary, open as it is
        path.chmod(path.stat().st_mode | 0o055)


def answer_of_nobody(act: Callable[[], object]) -> str:
    """What an act answers or fails with in a process without further rights."""
    reading, writing = os.pipe()
    child = os.fork()
    if child == 0:
        try:
            if os.geteuid() == 0:
                os.setgroups([])
                os.setgid(NOBODY)
                os.setuid(NOBODY)
            os.write(writing, _said(act).encode()[:4000])
        finally:
            os._exit(0)
    os.close(writing)
    said = b"".join(iter(lambda: os.read(reading, 4096), b"")).decode()
    os.close(reading)
    os.waitpid(child, 0)
    return said


def _said(act: Callable[[], object]) -> str:
    try:
        return f"answered {act()!r}"
    except Exception as error:  # noqa: BLE001 - what it was is what the test wants to know
        return f"{type(error).__module__}.{type(error).__name__}: {error}"


__all__ = ["answer_of_nobody", "open_the_way_to", "said_as_nobody"]
