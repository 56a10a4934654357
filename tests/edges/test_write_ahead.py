"""Files that others are about to write are waited for, not refused, when they are opened."""

import sqlite3
from collections.abc import Callable
from contextlib import closing
from pathlib import Path
from threading import Timer

import pytest

from bitewright.errors import BitewrightError
from bitewright.store import light_box, opening
from bitewright.store.failures import StoreBusyError
from bitewright.store.light_box import open_light_box
from bitewright.store.location import store_location
from bitewright.store.opening import open_store


def opened_log(file: Path) -> str:
    """The id of a log, made if there is none."""
    store = open_store(store_location(str(file)), make=True)
    store.close()
    return store.id


OPENERS = {"log": opened_log, "light box": lambda file: open_light_box(file).films()}


def writer(file: Path) -> sqlite3.Connection:
    """Another program that opened the same new file a moment ago and is about to write."""
    connection = sqlite3.connect(file, isolation_level=None, check_same_thread=False)
    connection.execute("BEGIN IMMEDIATE")
    return connection


@pytest.mark.parametrize("name", OPENERS)
def test_a_new_file_that_another_is_about_to_write_is_waited_for(name: str, tmp_path: Path) -> None:
    file = tmp_path / "new.sqlite"
    with closing(writer(file)) as other:
        release = Timer(0.3, other.execute, ("COMMIT",))
        release.start()
        try:
            OPENERS[name](file)
        finally:
            release.join()
    with closing(sqlite3.connect(file)) as connection:
        assert connection.execute("PRAGMA journal_mode").fetchone() == ("wal",)


@pytest.mark.parametrize(
    ("open_it", "module", "failure"),
    [
        (OPENERS["log"], opening, StoreBusyError),
        (OPENERS["light box"], light_box, BitewrightError),
    ],
)
def test_nobody_is_waited_for_for_ever(
    open_it: Callable[[Path], object],
    module: object,
    failure: type[BitewrightError],
    tmp_path: Path,
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    monkeypatch.setattr(module, "WAIT_S", 0.1)
    file = tmp_path / "new.sqlite"
    with closing(writer(file)), pytest.raises(failure):
        open_it(file)
