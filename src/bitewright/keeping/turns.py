"""Taking turns: who reads a file to change it is alone with it until it is written back."""

from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

from bitewright.errors import BitewrightError
from bitewright.keeping.locks import waited_for
from bitewright.keeping.whole_files import FileUnwritableError, why_not

WAIT_S = 10.0
"""How long others who change the same file are waited for. Our choice. [s]"""


class FileInUseError(BitewrightError):
    """Somebody else was changing a file all the time."""

    status_code = 409

    def __init__(self, path: Path) -> None:
        self.path = path
        super().__init__(
            f"The file {path} is being changed by another page or program, so nothing of this was "
            "kept: try again in a moment."
        )


@contextmanager
def alone_with(path: Path) -> Iterator[None]:
    """Be the only one, among all threads and processes, who changes a file inside the ``with``.

    Its folder is made if it is not there. Beside the file stays an empty one with a lock, which
    ends with whoever holds it.

    Raises
    ------
    FileInUseError, FileUnwritableError
    """
    try:
        path.parent.mkdir(parents=True, exist_ok=True)
        file = path.with_name(f".{path.name}.lock").open("ab")
    except OSError as error:
        raise FileUnwritableError(path, why_not(error)) from error
    with file:
        try:
            had = waited_for(file, wait_s=WAIT_S)
        except OSError as error:
            raise FileUnwritableError(path, why_not(error)) from error
        if not had:
            raise FileInUseError(path)
        yield


__all__ = ["FileInUseError", "alone_with"]
