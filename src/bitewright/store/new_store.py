"""A new store that is there whole or not at all."""

import os
from collections.abc import Iterator
from contextlib import ExitStack, contextmanager, suppress
from dataclasses import replace
from pathlib import Path

from bitewright.errors import BitewrightError
from bitewright.keeping.leftovers import noted, part_beside
from bitewright.keeping.whole_files import make_folder, whole_folder
from bitewright.store.failures import StoreWriteFailedError
from bitewright.store.location import StoreLocation, store_location


class StoreMadeMeanwhileError(BitewrightError):
    """Somebody else made a store where a new one was to be put."""

    def __init__(self, where: object) -> None:
        super().__init__(
            f"The store {where} was made by somebody else meanwhile, so nothing of this was kept: "
            "name another place with --store."
        )


BESIDE = ("", "-wal", "-shm", "-journal")
"""What SQLite keeps beside a file of its own."""


@contextmanager
def new_store_whole(location: StoreLocation) -> Iterator[StoreLocation]:
    """Where to build a store that is not there yet; it takes its place when the ``with`` ends well.

    Where a store is there already, or a server keeps it, that is the place. Otherwise it is built
    beside its place; on any failure nothing of it is left, and what a kill leaves is swept at the
    next start.

    Raises
    ------
    FileUnwritableError, StoreMadeMeanwhileError, StoreWriteFailedError
    """
    file = location.file
    if file is None or os.path.exists(file):  # noqa: PTH110 - opening tells what is wrong with it
        yield location
        return
    make_folder(file.parent)
    part = part_beside(file)
    parts = [part.with_name(f"{part.name}{ending}") for ending in BESIDE]
    with ExitStack() as notes:
        for each in parts:
            notes.enter_context(noted(each, with_names=True))
        try:
            with _new_films(location) as folder:
                yield replace(store_location(str(part)), folder=folder)
            _take_place(part, location, file)
        finally:
            for each in parts:
                with suppress(OSError):
                    each.unlink(missing_ok=True)


def _take_place(part: Path, location: StoreLocation, file: Path) -> None:
    """Give the part the store's name, unless somebody else made a store there meanwhile."""
    with suppress(OSError):
        location.folder.rmdir()  # only where it is empty
    try:
        try:
            os.link(part, file)
        except FileExistsError:
            raise
        except OSError as error:  # a file system without links
            if file.exists():
                raise FileExistsError from error
            part.replace(file)
    except FileExistsError as error:
        raise StoreMadeMeanwhileError(location) from error
    except OSError as error:
        raise StoreWriteFailedError(str(location), error.strerror or str(error)) from error


@contextmanager
def _new_films(location: StoreLocation) -> Iterator[Path]:
    """Where its films are put meanwhile; beside those that lie there already, if some do."""
    if location.folder.exists():
        yield location.folder
        return
    with ExitStack() as until_full:
        try:
            folder = until_full.enter_context(whole_folder(location.folder))
        except OSError as error:
            raise StoreWriteFailedError(str(location), error.strerror or str(error)) from error
        yield folder


__all__ = ["StoreMadeMeanwhileError", "new_store_whole"]
