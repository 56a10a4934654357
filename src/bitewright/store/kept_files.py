"""Films and assessments kept beside a store under the SHA-256 of their content."""

import hashlib
import os
from collections.abc import Iterator
from pathlib import Path
from uuid import uuid4

from bitewright.errors import BitewrightError
from bitewright.store.location import StoreLocation


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
    digest = hashlib.sha256(content).hexdigest()
    target = _path(location, digest)
    try:
        if target.exists() and hashlib.sha256(target.read_bytes()).hexdigest() == digest:
            return digest
        target.parent.mkdir(parents=True, exist_ok=True)
        part = target.with_name(f".{uuid4().hex}.part")
        try:
            with part.open("xb") as file:
                file.write(content)
                file.flush()
                os.fsync(file.fileno())
            part.replace(target)
        finally:
            part.unlink(missing_ok=True)
    except OSError as error:
        raise FileNotKeptError(location.folder, error.strerror or str(error)) from error
    return digest


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
    if hashlib.sha256(content).hexdigest() != digest:
        raise KeptFileGoneError(digest, "has another content than when it was kept")
    return content


def kept_digests(location: StoreLocation) -> Iterator[str]:
    """Digests of all files kept beside a store."""
    for path in sorted(location.folder.glob("??/*")):
        if len(path.name) == 64:
            yield path.name


def _path(location: StoreLocation, digest: str) -> Path:
    return location.folder / digest[:2] / digest


__all__ = ["FileNotKeptError", "KeptFileGoneError", "keep_file", "kept_digests", "kept_file"]
