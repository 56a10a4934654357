"""Whole files in and out: read with a clear refusal, written so that no half file is ever seen."""

import os
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import BinaryIO
from uuid import uuid4

from bitewright.errors import BitewrightError

MOST_BYTES = 1 << 29


class FileUnreadableError(BitewrightError):
    """A file is not there, is a folder, may not be read or is far too large."""

    def __init__(self, path: Path, reason: str) -> None:
        self.path = path
        self.reason = reason
        super().__init__(f"The file {path} cannot be read, because {reason}: check its path.")


class FileUnwritableError(BitewrightError):
    """A file cannot be written where it was asked for; nothing was changed."""

    def __init__(self, path: Path, reason: str) -> None:
        self.path = path
        self.reason = reason
        super().__init__(
            f"The file {path} cannot be written, because {reason}: choose a folder that exists "
            "and may be written to."
        )


def read_file(path: Path, *, most_bytes: int = MOST_BYTES) -> bytes:
    """All bytes of a file.

    Raises
    ------
    FileUnreadableError
        If it cannot be opened or holds more than `most_bytes`.
    """
    try:
        with path.open("rb") as file:
            data = file.read(most_bytes + 1)
    except (OSError, ValueError) as error:
        raise FileUnreadableError(path, _reason(error)) from error
    if len(data) > most_bytes:
        raise FileUnreadableError(path, f"it holds more than {most_bytes >> 20} MiB")
    return data


def write_file(path: Path, data: bytes) -> None:
    """Write a file whole or not at all, as `whole_file` does.

    Raises
    ------
    FileUnwritableError
        If the folder does not exist or the disk refuses.
    """
    with whole_file(path) as file:
        file.write(data)


@contextmanager
def whole_file(path: Path) -> Iterator[BinaryIO]:
    """A file to write to, which is there whole when the ``with`` ends well and else not at all.

    The bytes go to a new file beside the target, are flushed to the disk, and then take the
    target's place in one step; on any failure the target is as it was and nothing is left over.

    Raises
    ------
    FileUnwritableError
        If the folder does not exist or the disk refuses.
    """
    try:
        target = Path(os.path.realpath(path))  # a link stays a link
        part = target.with_name(f".{uuid4().hex}.part")
    except (OSError, ValueError) as error:
        raise FileUnwritableError(path, _reason(error)) from error
    try:
        with part.open("xb") as file:
            yield file
            file.flush()
            os.fsync(file.fileno())
        part.replace(target)
    except OSError as error:
        raise FileUnwritableError(path, _reason(error)) from error
    except ValueError as error:
        if part.exists():  # not the path's fault, but the writer's
            raise
        raise FileUnwritableError(path, _reason(error)) from error
    finally:
        _remove_if_there(part)


def _remove_if_there(part: Path) -> None:
    try:
        part.unlink(missing_ok=True)
    except (OSError, ValueError):  # its folder is not one, or the path is no path
        return


def _reason(error: OSError | ValueError) -> str:
    if isinstance(error, FileNotFoundError):
        return "there is nothing at that path"
    if isinstance(error, IsADirectoryError):
        return "it is a folder"
    if isinstance(error, PermissionError):
        return "permission is denied"
    return f"the system says '{getattr(error, 'strerror', None) or error}'"


__all__ = ["FileUnreadableError", "FileUnwritableError", "read_file", "whole_file", "write_file"]
