"""Whole files in and out: read with a clear refusal, written as everything that is kept."""

import os
import stat
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import BinaryIO

from bitewright.errors import BitewrightError
from bitewright.keeping.whole_files import FileUnwritableError, whole_file, why_not, write_file

MOST_BYTES = 1 << 29


class FileUnreadableError(BitewrightError):
    """A file is not there, is a folder, may not be read or is far too large."""

    def __init__(self, path: Path, reason: str) -> None:
        self.path = path
        self.reason = reason
        super().__init__(f"The file {path} cannot be read, because {reason}: check its path.")


def read_file(path: Path, *, most_bytes: int = MOST_BYTES) -> bytes:
    """All bytes of a file.

    Raises
    ------
    FileUnreadableError
        If it cannot be opened or holds more than `most_bytes`.
    """
    with opened_to_read(path) as file:
        data = file.read(most_bytes + 1)
    if len(data) > most_bytes:
        raise FileUnreadableError(path, f"it holds more than {most_bytes >> 20} MiB")
    return data


@contextmanager
def opened_to_read(path: Path) -> Iterator[BinaryIO]:
    """A file's bytes; a pipe or a device, which may never end, is refused before it is read.

    Raises
    ------
    FileUnreadableError
        If it cannot be opened, is no file, or a read of it fails.
    """
    try:
        # Without waiting: who opens a pipe waits for its writer.
        number = os.open(path, os.O_RDONLY | getattr(os, "O_BINARY", 0) | NOT_WAITING)
        with open(number, "rb") as file:  # noqa: PTH123  a file's number is no path
            mode = os.fstat(number).st_mode
            if stat.S_ISDIR(mode):
                raise IsADirectoryError
            if not stat.S_ISREG(mode):
                raise FileUnreadableError(path, "it is a pipe or a device, which may never end")
            yield file
    except UnicodeDecodeError:
        raise  # not the path's fault
    except (OSError, ValueError) as error:
        raise FileUnreadableError(path, why_not(error)) from error


NOT_WAITING = getattr(os, "O_NONBLOCK", 0)

__all__ = [
    "FileUnreadableError",
    "FileUnwritableError",
    "opened_to_read",
    "read_file",
    "whole_file",
    "write_file",
]
