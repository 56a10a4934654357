"""The store that holds attempts, opened to read; that there is none is told as competence needs."""

from collections.abc import Iterator
from contextlib import contextmanager

from bitewright.errors import BitewrightError
from bitewright.store.opening import NoStoreError, Store, open_store
from bitewright.tasks.log.store_place import store_place


class NobodyAnsweredError(BitewrightError):
    """There is nothing to tell of a class, or of anybody in it."""

    def __init__(self, where: object) -> None:
        self.on_page = (
            "No attempts are kept yet: they are once exercises are answered under a code on the "
            "page Teach, or a file is kept by `bitewright competence add`."
        )
        super().__init__(
            f"No attempts are kept in {where} yet: answer exercises under a code on the page "
            "Teach, keep a file's with `bitewright competence add`, or name another store with "
            "--store."
        )


@contextmanager
def opened_attempts(store: str | None) -> Iterator[Store]:
    """A store, open inside the ``with``.

    Raises
    ------
    NobodyAnsweredError
        If there is no store.
    """
    location = store_place(store)
    try:
        opened = open_store(location)
    except NoStoreError as error:
        raise NobodyAnsweredError(location) from error
    try:
        yield opened
    finally:
        opened.close()


__all__ = ["NobodyAnsweredError", "opened_attempts"]
