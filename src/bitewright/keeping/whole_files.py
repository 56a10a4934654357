"""Files and folders that are there whole or not at all: the one way anything is written."""

import os
import shutil
from collections.abc import Iterator
from contextlib import contextmanager, suppress
from pathlib import Path
from typing import BinaryIO

from bitewright.errors import BitewrightError
from bitewright.keeping.leftovers import noted, part_beside


class FileUnwritableError(BitewrightError):
    """A file cannot be written where it was asked for; nothing was changed."""

    def __init__(self, path: Path, reason: str) -> None:
        self.path = path
        self.reason = reason
        super().__init__(
            f"The file {path} cannot be written, because {reason}: choose a folder that exists "
            "and may be written to."
        )


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
def whole_file(path: Path, *, with_names: bool = False) -> Iterator[BinaryIO]:
    """A file to write to, which is there whole when the ``with`` ends well and else not at all.

    The bytes go to a new file beside the target, are flushed to the disk, and then take the
    target's place in one step; on any failure the target is as it was and nothing is left over.
    Where the writer is killed, the next start sweeps what it left. ``with_names``: whether names of
    people go into it.

    Raises
    ------
    FileUnwritableError
        If the folder does not exist or the disk refuses.
    """
    try:
        target = Path(os.path.realpath(path))  # a link stays a link
        is_other = target.exists() and not (target.is_file() or target.is_dir())
        part = part_beside(target)
    except (OSError, ValueError) as error:
        raise FileUnwritableError(path, why_not(error)) from error
    if is_other:  # the part would take its place: /dev/null would be gone for everybody
        raise FileUnwritableError(path, "a device or a pipe is there")
    with noted(part, with_names=with_names):
        try:
            with part.open("xb") as file:
                yield file
                file.flush()
                os.fsync(file.fileno())
            part.replace(target)
            _settle(target.parent)
        except OSError as error:
            raise FileUnwritableError(path, why_not(error)) from error
        except ValueError as error:
            if part.exists():  # not the path's fault, but the writer's
                raise
            raise FileUnwritableError(path, why_not(error)) from error
        finally:
            with suppress(OSError, ValueError):  # its folder is not one, or the path is no path
                part.unlink(missing_ok=True)


@contextmanager
def whole_folder(target: Path) -> Iterator[Path]:
    """A folder to fill, which takes the target's name when the ``with`` ends well.

    What stood at the target goes in the same moment; on any failure it stays, and nothing is left
    over.

    Raises
    ------
    OSError
        If the disk refuses.
    """
    part, old = part_beside(target), part_beside(target)
    with noted(part), noted(old):
        try:
            part.mkdir(parents=True)
            yield part
            with suppress(FileNotFoundError):
                target.rename(old)
            part.rename(target)
        finally:
            shutil.rmtree(part, ignore_errors=True)
            shutil.rmtree(old, ignore_errors=True)


def check_place(path: Path) -> None:
    """Refuse a file's place before long work is done for it: a folder, or in no folder there is.

    Raises
    ------
    FileUnwritableError
    """
    if path.is_dir():
        raise FileUnwritableError(path, "it is a folder")
    if not path.parent.is_dir():
        raise FileUnwritableError(path, "its folder is not there")


def check_folder_place(folder: Path) -> None:
    """Refuse a folder's place before long work is done for it: a file stands where it would be.

    Raises
    ------
    FileUnwritableError
    """
    there = next((each for each in (folder, *folder.parents) if each.exists()), folder)
    if there.exists() and not there.is_dir():
        raise FileUnwritableError(folder, "a file stands where a folder is needed")
    if there.exists() and not os.access(there, os.W_OK):
        raise FileUnwritableError(folder, "permission is denied")


def make_folder(folder: Path) -> None:
    """Make a folder, and those above it, where they are not there yet.

    Raises
    ------
    FileUnwritableError
    """
    try:
        folder.mkdir(parents=True, exist_ok=True)
    except OSError as error:
        raise FileUnwritableError(folder, why_not(error)) from error


def why_not(error: OSError | ValueError) -> str:
    """What the system says against a path, in words."""
    if isinstance(error, FileNotFoundError):
        return "there is nothing at that path"
    if isinstance(error, IsADirectoryError):
        return "it is a folder"
    if isinstance(error, FileExistsError | NotADirectoryError):
        return "a file stands where a folder is needed"
    if isinstance(error, PermissionError):
        return "permission is denied"
    return f"the system says '{getattr(error, 'strerror', None) or error}'"


def _settle(folder: Path) -> None:
    """Flush a folder too, so that a new name in it outlasts a power cut, where that can be."""
    with suppress(OSError):
        number = os.open(folder, os.O_RDONLY)
        try:
            os.fsync(number)
        finally:
            os.close(number)


__all__ = [
    "FileUnwritableError",
    "check_folder_place",
    "check_place",
    "make_folder",
    "whole_file",
    "whole_folder",
    "why_not",
    "write_file",
]
