"""What a database says when it fails, as one sentence a person can act on."""

from collections.abc import Iterator
from contextlib import contextmanager

from sqlalchemy.exc import DatabaseError, InterfaceError, OperationalError, SQLAlchemyError

from bitewright.errors import BitewrightError


class StoreFullError(BitewrightError):
    """There is no room for what was to be written."""

    def __init__(self, where: str) -> None:
        self.where = where
        super().__init__(
            f"The store {where} has no room left, so nothing of this was written: make room on its "
            "disk and try again."
        )


class StoreReadOnlyError(BitewrightError):
    """The store may be read and not written."""

    def __init__(self, where: str) -> None:
        self.where = where
        super().__init__(
            f"The store {where} may only be read, so nothing was written: ask for the right to "
            "write to it and to its folder, or name another with --store."
        )


class StoreBusyError(BitewrightError):
    """Somebody else was writing all the time."""

    def __init__(self, where: str) -> None:
        self.where = where
        super().__init__(
            f"The store {where} is being written to by somebody else, so nothing of this was "
            "written: try again in a moment."
        )


class StoreUnreachableError(BitewrightError):
    """The store cannot be opened."""

    def __init__(self, where: str, reason: str) -> None:
        self.where = where
        self.reason = reason
        super().__init__(
            f"The store {where} cannot be opened ({reason}): check its location, and that its "
            "folder or server is there and may be used."
        )


class StoreDamagedError(BitewrightError):
    """What the file holds is no sound database."""

    def __init__(self, where: str, reason: str) -> None:
        self.where = where
        self.reason = reason
        super().__init__(
            f"The store {where} is damaged or no Bitewright store ({reason}): keep the file as it "
            "is and restore the last backup into a new one with `bitewright store restore`."
        )


class StoreWriteFailedError(BitewrightError):
    """The system refused to write."""

    def __init__(self, where: str, reason: str) -> None:
        self.where = where
        self.reason = reason
        super().__init__(
            f"The store {where} could not be written ({reason}), so nothing of this was kept: "
            "check its disk and any limit on file sizes, then try again."
        )


FULL = ("database or disk is full", "No space left on device", "could not extend file")
READ_ONLY = (
    *("readonly database", "read-only transaction"),
    *("permission denied for", "must be owner of"),
)
BUSY = ("database is locked", "lock timeout", "database table is locked", "deadlock detected")
DAMAGED = ("malformed", "not a database", "file is encrypted")
WRITE_FAILED = ("disk I/O error",)


@contextmanager
def database_failures(where: object) -> Iterator[None]:
    """Turn a database's failures into sentences that name the store.

    Raises
    ------
    StoreFullError, StoreReadOnlyError, StoreBusyError, StoreDamagedError, StoreWriteFailedError,
    StoreUnreachableError
    """
    try:
        yield
    except (OperationalError, InterfaceError, DatabaseError) as error:
        raise _sentence(str(where), error) from error
    except SQLAlchemyError as error:
        raise StoreUnreachableError(str(where), first_line(error)) from error
    except UnicodeDecodeError as error:  # the database's own words about it are damaged
        raise StoreDamagedError(str(where), "what it says is no text") from error


def _sentence(where: str, error: DatabaseError | InterfaceError) -> BitewrightError:
    said = str(error.orig)
    for words, failure in ((FULL, StoreFullError), (READ_ONLY, StoreReadOnlyError)):
        if any(word in said for word in words):
            return failure(where)
    if any(word in said for word in BUSY):
        return StoreBusyError(where)
    if any(word in said for word in DAMAGED):
        return StoreDamagedError(where, first_line(error))
    if any(word in said for word in WRITE_FAILED):
        return StoreWriteFailedError(where, first_line(error))
    return StoreUnreachableError(where, first_line(error))


def first_line(error: SQLAlchemyError | UnicodeDecodeError) -> str:
    """What the database says, without what was asked of it."""
    lines = str(getattr(error, "orig", None) or error).strip().splitlines()
    return lines[0] if lines else type(error).__name__


__all__ = [
    "StoreBusyError",
    "StoreDamagedError",
    "StoreFullError",
    "StoreReadOnlyError",
    "StoreUnreachableError",
    "StoreWriteFailedError",
    "database_failures",
    "first_line",
]
