"""Films and assessments kept beside a store under the SHA-256 of their content."""

import hashlib
from collections.abc import Callable, Iterator, Sequence
from contextlib import ExitStack, contextmanager, suppress
from pathlib import Path
from uuid import uuid4

from bitewright.errors import BitewrightError
from bitewright.keeping.locks import is_locked_for_us
from bitewright.keeping.turns import alone_with
from bitewright.keeping.whole_files import FileUnwritableError, make_folder, write_file
from bitewright.log.field_forms import DIGEST
from bitewright.store.location import StoreLocation

IsNamed = Callable[[str], bool]
NOTE = ".keeping"
FILMS = "films"


class FileNotKeptError(BitewrightError):
    """A film or assessment could not be put beside the store."""

    def __init__(self, folder: Path, reason: str) -> None:
        self.folder = folder
        super().__init__(
            f"The film or assessment could not be kept in {folder} ({reason}), so nothing was "
            "recorded: make room there, or ask for the right to write."
        )


class KeptFileGoneError(BitewrightError):
    """A film or assessment is not beside the store, or is no longer what it was."""

    def __init__(self, digest: str, problem: str) -> None:
        self.digest = digest
        super().__init__(
            f"The file {digest[:12]}... kept beside the store {problem}: restore it from a backup."
        )


def keep_file(location: StoreLocation, content: bytes) -> str:
    """Keep a content; its SHA-256. The same content is kept once.

    Raises
    ------
    FileNotKeptError
    """
    digest = content_digest(content)
    target = _path(location, digest)
    try:
        if target.exists() and content_digest(target.read_bytes()) == digest:
            return digest
        make_folder(target.parent)
        write_file(target, content)
    except OSError as error:
        raise FileNotKeptError(location.folder, error.strerror or str(error)) from error
    except FileUnwritableError as error:
        raise FileNotKeptError(location.folder, error.reason) from error
    return digest


def content_digest(content: bytes) -> str:
    """The digest that a content is kept under."""
    return hashlib.sha256(content).hexdigest()


@contextmanager
def kept_for_entries(
    location: StoreLocation, digests: Sequence[str], is_named: IsNamed
) -> Iterator[None]:
    """Files of these digests may be kept inside the ``with``, and entries appended that name them.

    A note tells which they are until the ``with`` ends. Where it ends badly, or its process was
    killed and the store is opened again, those that no entry names are removed.

    Parameters
    ----------
    location : StoreLocation
    digests : sequence of str
    is_named : callable
        Whether an entry names a digest.

    Raises
    ------
    FileNotKeptError
    """
    if not digests:
        yield
        return
    note = location.folder / f".{uuid4().hex}{NOTE}"
    with ExitStack() as until_the_end:
        try:
            with alone_with(location.folder / FILMS):
                file = until_the_end.enter_context(note.open("x"))
                is_locked_for_us(file)
                file.write("\n".join(digests))
                file.flush()
        except OSError as error:
            raise FileNotKeptError(location.folder, error.strerror or str(error)) from error
        except FileUnwritableError as error:
            raise FileNotKeptError(location.folder, error.reason) from error
        try:
            yield
        except BaseException:
            with suppress(OSError, BitewrightError), alone_with(location.folder / FILMS):
                _remove_unnamed(location, note, is_named)
            raise
        with suppress(OSError):
            note.unlink(missing_ok=True)


def sweep_kept_files(location: StoreLocation, is_named: IsNamed) -> None:
    """Remove what was kept for entries by who was killed before writing any."""
    for note in sorted(location.folder.glob(f".*{NOTE}")):
        with (
            suppress(OSError, BitewrightError),
            alone_with(location.folder / FILMS),
            note.open() as file,
        ):
            if is_locked_for_us(file):
                _remove_unnamed(location, note, is_named)


def _remove_unnamed(location: StoreLocation, note: Path, is_named: IsNamed) -> None:
    """Remove the files of a note that no entry and no other note names, and the note."""
    others = {digest for other in _notes(location, but=note) for digest in _noted(other)}
    for digest in _noted(note) - others:
        if not is_named(digest):
            _path(location, digest).unlink(missing_ok=True)
    note.unlink(missing_ok=True)


def _notes(location: StoreLocation, *, but: Path) -> list[Path]:
    return [note for note in location.folder.glob(f".*{NOTE}") if note != but]


def _noted(note: Path) -> set[str]:
    with suppress(OSError, ValueError):
        return {line for line in note.read_text("ascii").split() if DIGEST.fullmatch(line)}
    return set()


def kept_file(location: StoreLocation, digest: str) -> bytes:
    """The content of a digest, checked against it.

    Raises
    ------
    KeptFileGoneError
    """
    try:
        content = _path(location, digest).read_bytes()
    except OSError as error:
        raise KeptFileGoneError(digest, "cannot be read") from error
    if content_digest(content) != digest:
        raise KeptFileGoneError(digest, "has another content than when it was kept")
    return content


def kept_digests(location: StoreLocation) -> Iterator[str]:
    """Digests of all files kept beside a store."""
    for path in sorted(location.folder.glob("??/*")):
        if len(path.name) == 64:
            yield path.name


def _path(location: StoreLocation, digest: str) -> Path:
    return location.folder / digest[:2] / digest


__all__ = [
    "FileNotKeptError",
    "KeptFileGoneError",
    "content_digest",
    "keep_file",
    "kept_digests",
    "kept_file",
    "kept_for_entries",
    "sweep_kept_files",
]
