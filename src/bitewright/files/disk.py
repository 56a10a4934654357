"""Whole files in and out: read with a clear refusal, written as everything that is kept."""

from pathlib import Path

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
    try:
        with path.open("rb") as file:
            data = file.read(most_bytes + 1)
    except (OSError, ValueError) as error:
        raise FileUnreadableError(path, why_not(error)) from error
    if len(data) > most_bytes:
        raise FileUnreadableError(path, f"it holds more than {most_bytes >> 20} MiB")
    return data


__all__ = ["FileUnreadableError", "FileUnwritableError", "read_file", "whole_file", "write_file"]
