"""Own equipment changed by several at once: what was acknowledged is there."""

import multiprocessing
import sys
from concurrent.futures import ThreadPoolExecutor
from pathlib import Path

import pytest

from bitewright.equipment.catalogue import packaged_catalogue
from bitewright.equipment.entries import entry_to_mapping
from bitewright.files.own_folder import own_equipment_file
from bitewright.keeping import turns
from bitewright.keeping.turns import FileInUseError, alone_with
from bitewright.tasks.catalogue.own_equipment import own_equipment, put_entry, remove_entry

pytestmark = pytest.mark.skipif(sys.platform == "win32", reason="platform: forks as POSIX does")


def put(writer: int, each: int) -> None:
    """Put entries one after another, and take every third away again."""
    entry = entry_to_mapping(packaged_catalogue().receptor("sensor-2"))
    own = {"source": "measured by us", "confidence": "measured"}
    for number in range(each):
        name = f"own-{writer}-{number}"
        put_entry("receptors", entry | own | {"name": name})
        if number % 3 == 0:
            remove_entry("receptors", name)


def names(writers: int, each: int) -> set[str]:
    """What must be left of that."""
    return {f"own-{w}-{n}" for w in range(writers) for n in range(each) if n % 3}


def test_threads_lose_nothing(own_folders: Path) -> None:
    assert own_folders.is_dir()
    with ThreadPoolExecutor(4) as pool:
        list(pool.map(lambda writer: put(writer, 6), range(4)))
    assert set(own_equipment().receptors) == names(4, 6)


def test_processes_lose_nothing(own_folders: Path) -> None:
    assert own_folders.is_dir()
    fork = multiprocessing.get_context("fork")
    writers = [fork.Process(target=put, args=(writer, 10)) for writer in range(2)]
    for writer in writers:
        writer.start()
    for writer in writers:
        writer.join(60)
    assert [writer.exitcode for writer in writers] == [0, 0]
    assert set(own_equipment().receptors) == names(2, 10)


def test_who_waits_too_long_is_told_so(own_folders: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    assert own_folders.is_dir()
    monkeypatch.setattr(turns, "WAIT_S", 0.05)
    with alone_with(own_equipment_file()), pytest.raises(FileInUseError, match="try again"):
        put(0, 1)
    put(0, 2)
    assert set(own_equipment().receptors) == names(1, 2)
