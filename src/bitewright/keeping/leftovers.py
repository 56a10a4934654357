"""What is only half written: noted while it is written, swept at the next start if its writer died.

A note is a file in the data folder that holds the path of one part and is locked for as long as
its writer lives. Whoever gets the lock of a note knows that its writer is gone, whichever process
it was and however long ago.
"""

import os
import re
import shutil
from collections.abc import Iterator
from contextlib import contextmanager, suppress
from pathlib import Path
from tempfile import gettempdir
from time import time
from typing import BinaryIO
from uuid import uuid4

from platformdirs import user_data_path

from bitewright.keeping.locks import is_locked_for_us, waited_for

NOTES = "being-written"
PART = re.compile(r"\.[0-9a-f]{32}\.part(-wal|-shm|-journal)?")
"""A part, and what a database keeps beside one."""
WITH_NAMES = ".names"
WAIT_S = 5.0
REMEMBERED_S = 90 * 86400.0
"""How long a part is remembered whose folder is not there, such as on a stick. Our choice. [s]"""


def part_beside(target: Path) -> Path:
    """A name for what is to become the target, in the same folder."""
    return target.with_name(f".{uuid4().hex}.part")


@contextmanager
def noted(part: Path, *, with_names: bool = False) -> Iterator[None]:
    """Note a part while it is written, so that it is swept if its writer is killed.

    Where no note can be kept, the part is written all the same. ``with_names``: whether names of
    people go into it.
    """
    note = None
    with suppress(OSError):
        note = _note_of(part, WITH_NAMES if with_names else "")
    try:
        yield
    finally:
        if note is not None:
            file, path = note
            with suppress(OSError):
                path.unlink(missing_ok=True)
            file.close()
            with suppress(OSError):  # a system that removes no open file
                path.unlink(missing_ok=True)


@contextmanager
def work_folder() -> Iterator[Path]:
    """A folder for what is only needed meanwhile, for nobody else's eyes, gone afterwards."""
    folder = part_beside(Path(gettempdir()) / "work")
    with noted(folder):
        try:
            folder.mkdir(mode=0o700)
            yield folder
        finally:
            shutil.rmtree(folder, ignore_errors=True)


def sweep_leftovers() -> int:
    """Remove the parts of writers that were killed; how many there were.

    What is being written now is left alone, and so is what cannot be removed.
    """
    swept = 0
    with suppress(OSError):
        for note in sorted(_notes().iterdir()):
            with suppress(OSError, ValueError):
                swept += _swept(note)
    return swept


def parts_with_names() -> tuple[Path, ...]:
    """What is being written now, by whomever, and may hold names of people."""
    found = []
    with suppress(OSError):
        for note in sorted(_notes().glob(f"*{WITH_NAMES}")):
            with suppress(OSError, ValueError), note.open("r+b") as file:
                if not is_locked_for_us(file):
                    found.append(Path(os.fsdecode(file.read())))
    return tuple(found)


def _notes() -> Path:
    return user_data_path("bitewright", appauthor=False) / NOTES


def _note_of(part: Path, ending: str) -> tuple[BinaryIO, Path]:
    """A note of a part, locked; made again where a sweeper took it for a dead writer's."""
    folder = _notes()
    folder.mkdir(parents=True, exist_ok=True, mode=0o700)
    while True:
        path = folder / f"{uuid4().hex}{ending}"
        file = path.open("xb")
        try:
            if waited_for(file, wait_s=WAIT_S) and path.exists():
                file.write(os.fsencode(part))
                file.flush()
                return file, path
        except BaseException:
            file.close()
            path.unlink(missing_ok=True)
            raise
        file.close()


def _swept(note: Path) -> int:
    with note.open("r+b") as file:
        if not is_locked_for_us(file):
            return 0
        part = Path(os.fsdecode(file.read()))
        is_away = not part.parent.exists() and time() - note.stat().st_mtime < REMEMBERED_S
        if is_away:
            return 0
        was_there = PART.fullmatch(part.name) is not None and _removed(part)
        with suppress(OSError):
            note.unlink()
    note.unlink(missing_ok=True)
    return int(was_there)


def _removed(part: Path) -> bool:
    """Whether there was something to remove."""
    if not os.path.lexists(part):
        return False
    if part.is_dir() and not part.is_symlink():
        shutil.rmtree(part)
    else:
        part.unlink()
    return True


__all__ = ["noted", "part_beside", "parts_with_names", "sweep_leftovers", "work_folder"]
