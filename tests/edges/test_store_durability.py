"""What a store does when it goes wrong: killed, crowded, full, not to be written to, damaged."""

import multiprocessing
import resource
import shutil
import sqlite3
import subprocess
import sys
from pathlib import Path

import pytest
from sqlalchemy import text

from bitewright.errors import BitewrightError
from bitewright.store import opening
from bitewright.store.appending import append
from bitewright.store.checking import check_store
from bitewright.store.entries import entries_after
from bitewright.store.failures import (
    StoreBusyError,
    StoreDamagedError,
    StoreFullError,
    StoreReadOnlyError,
    StoreUnreachableError,
)
from bitewright.store.location import StoreLocation, store_location
from bitewright.store.names import damaged_names
from bitewright.store.opening import Store, opened_store
from tests.as_nobody import answer_of_nobody, open_the_way_to, said_as_nobody
from tests.killed_writer import killed_again_and_again
from tests.stores import exposure, some_entries

pytestmark = pytest.mark.skipif(sys.platform == "win32", reason="platform: kills as POSIX does")


@pytest.mark.parametrize("times", [4, pytest.param(20, marks=pytest.mark.slow)])
def test_killed_in_mid_write_nothing_is_lost_or_doubled(
    location: StoreLocation, times: int
) -> None:
    count = killed_again_and_again(location, times=times, seed=5)
    assert count.in_mid_write >= times // 4, "the kills came too seldom in mid-write to tell"
    assert count.acknowledged > times, "the writer wrote too little to tell"
    assert (count.lost, count.doubled, count.half_written, count.problems) == (0, 0, 0, ())


def write_many(location: StoreLocation, writer: int, each: int) -> None:
    """Append one entry at a time, as several people would."""
    with opened_store(location) as store:
        for number in range(each):
            with store.writing() as connection:
                append(connection, [exposure(f"w{writer}-{number}")])


def test_two_writers_at_once_both_get_everything_in(location: StoreLocation) -> None:
    with opened_store(location, make=True):
        pass
    fork = multiprocessing.get_context("fork")
    writers = [fork.Process(target=write_many, args=(location, each, 60)) for each in range(2)]
    for writer in writers:
        writer.start()
    for writer in writers:
        writer.join(60)
    assert [writer.exitcode for writer in writers] == [0, 0]
    with opened_store(location) as store:
        with store.reading() as connection:
            keys = [each.entry.key for each in entries_after(connection)]
        assert not check_store(store).problems
    assert sorted(keys) == sorted(f"w{each}-{number}" for each in range(2) for number in range(60))


def test_who_waits_too_long_is_told_so(
    location: StoreLocation, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(opening, "WAIT_S", 0.1)
    with opened_store(location, make=True) as one, opened_store(location) as other:
        with one.writing() as connection:
            append(connection, [exposure("a-1")])
            with pytest.raises(StoreBusyError, match="try again"), other.writing():
                pass
        with other.writing() as connection:
            assert append(connection, [exposure("a-2")]).last_number == 2


def test_a_store_without_room_says_so_and_keeps_what_it_had(own_folders: Path) -> None:
    """SQLite's own limit on pages gives the very error of a full disk."""
    with opened_store(store_location(str(own_folders / "log.sqlite")), make=True) as store:
        with store.writing() as connection:
            append(connection, some_entries())
        with pytest.raises(StoreFullError, match="make room"), store.writing() as connection:  # noqa: PT012
            connection.execute(text("PRAGMA max_page_count = 1"))
            append(connection, [exposure(f"x-{n}", note="n" * 400) for n in range(2000)])
        with store.reading() as connection:
            assert len(list(entries_after(connection))) == len(some_entries())
        assert [p for p in check_store(store).problems if "abababab" not in p] == []


def test_an_import_that_would_find_no_room_in_the_file_is_refused(
    own_folders: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """What was written would lie in the write-ahead log for good, and nothing more could be."""
    with opened_store(store_location(str(own_folders / "log.sqlite")), make=True) as store:
        free = shutil.disk_usage(own_folders)._replace(free=1000)
        monkeypatch.setattr(shutil, "disk_usage", lambda _: free)
        with pytest.raises(StoreFullError, match="make room"), store.writing() as connection:  # noqa: PT012
            append(connection, [exposure(f"x-{n}", note="n" * 400) for n in range(9000)])
            store.check_room()
        monkeypatch.undo()
        assert check_store(store).entries == 0


@pytest.mark.parametrize("count", [1, 2000], ids=["one", "many"])
def test_a_refusal_to_write_is_one_sentence_however_much_was_to_be_written(
    location: StoreLocation, count: int
) -> None:
    refuse = "PRAGMA query_only = ON" if location.file else "SET TRANSACTION READ ONLY"
    with opened_store(location, make=True) as store:
        with pytest.raises(StoreReadOnlyError), store.writing() as connection:  # noqa: PT012
            connection.execute(text(refuse))
            append(connection, [exposure(f"x-{number}") for number in range(count)])
        with store.writing() as connection:
            assert append(connection, [exposure("y")]).last_number == 1


def bitewright(*words: str, **more: object) -> subprocess.CompletedProcess[str]:
    command = [sys.executable, "-m", "bitewright", *words]
    return subprocess.run(command, capture_output=True, text=True, check=False, **more)  # type: ignore[call-overload,no-any-return]  # noqa: S603


def test_a_system_that_refuses_to_write_more_is_one_sentence(own_folders: Path) -> None:
    """A process may not write files beyond 200 kB, as under a quota."""
    place = own_folders / "log.sqlite"
    with opened_store(store_location(str(place)), make=True) as store:
        with store.writing() as connection:
            append(connection, some_entries())
        table, mapping = own_folders / "t.csv", own_folders / "m.toml"
        lines = "".join(f"2026-01-01,S1,right-molar,{'n' * 300}{n}\n" for n in range(3000))
        table.write_text("d,o,v,n\n" + lines, encoding="utf-8")
        mapping.write_text(
            'format = "bitewright.csv-mapping/1"\n'
            '[columns]\nday = "d"\noperator = "o"\nview = "v"\nnote = "n"\n',
            encoding="utf-8",
        )
        answer = bitewright(
            *("log", "import", str(table), "--mapping", str(mapping), "--store", str(place)),
            preexec_fn=lambda: resource.setrlimit(resource.RLIMIT_FSIZE, (200_000, 200_000)),
        )
        with store.reading() as connection:
            assert len(list(entries_after(connection))) == len(some_entries())
    assert answer.returncode == 1
    assert answer.stderr.startswith("bitewright: ")
    assert answer.stderr.count("\n") == 1
    assert "written" in answer.stderr


@pytest.mark.parametrize("folder_too", [False, True], ids=["file", "file and folder"])
def test_a_read_only_store_can_be_read_and_says_it_is(own_folders: Path, folder_too: bool) -> None:  # noqa: FBT001
    place = own_folders / "kept" / "log.sqlite"
    with (
        opened_store(store_location(str(place)), make=True) as store,
        store.writing() as connection,
    ):
        append(connection, some_entries())
    for path in place.parent.iterdir():
        path.chmod(0o444)
    place.parent.chmod(0o555 if folder_too else 0o777)
    open_the_way_to(place.parent)
    try:
        answer = answer_of_nobody(lambda: read_then_write(place))
    finally:
        place.parent.chmod(0o777)
    assert answer == f"answered '8 {StoreReadOnlyError.__name__}'"


def read_then_write(place: Path) -> str:
    """How many entries could be read, and how writing failed."""
    try:
        with opened_store(store_location(str(place))) as store:
            with store.reading() as connection:
                count = len(list(entries_after(connection)))
            try:
                with store.writing() as connection:
                    append(connection, [exposure("new")])
            except BitewrightError as error:
                return f"{count} {type(error).__name__}"
            return f"{count} written"
    except Exception as error:  # noqa: BLE001 - what it was is what the test wants to know
        return repr(error)


@pytest.mark.parametrize("journal", ["wal", "journal"])
def test_what_a_cut_off_writer_left_is_told_where_it_may_only_be_read(
    own_folders: Path, journal: str
) -> None:
    """A write-ahead log without its index, or a journal to roll back, needs a hand that writes."""
    place, kept = own_folders / "log.sqlite", own_folders / "kept"
    with (
        opened_store(store_location(str(place)), make=True) as store,
        store.writing() as connection,
    ):
        append(connection, some_entries())
    kept.mkdir()
    raw = sqlite3.connect(place, isolation_level=None)
    raw.execute("PRAGMA journal_mode = " + ("WAL" if journal == "wal" else "TRUNCATE"))
    raw.execute("PRAGMA cache_size = 1")  # so that pages reach the file before the end
    raw.execute("BEGIN IMMEDIATE")
    raw.executemany(
        "INSERT INTO person VALUES (?, ?, '')", [(f"P{n}", "x" * 500) for n in range(99)]
    )
    if journal == "wal":
        raw.execute("COMMIT")
    for path in (place, place.with_name(f"{place.name}-{journal}")):
        shutil.copy(path, kept)
    raw.close()
    in_kept = store_location(str(kept / place.name))

    def opened_and_read() -> None:
        with opened_store(in_kept) as store, store.reading() as connection:
            list(entries_after(connection))

    said = said_as_nobody(kept, opened_and_read)
    assert said.startswith("bitewright.store.opening.StoreLeftOpenError")
    assert f"log.sqlite-{journal} beside it" in said
    for path in kept.iterdir():
        path.chmod(0o666)
    with opened_store(in_kept) as store:
        assert len(names_of(store)) == (99 if journal == "wal" else 0)
    assert said_as_nobody(kept, opened_and_read) == "answered None"


def names_of(store: Store) -> tuple[str, ...]:
    """Codes of the names there are, sealed or not."""
    with store.reading() as connection:
        return damaged_names(connection)


@pytest.mark.parametrize("content", [b"no database at all, only text" * 50, b"SQLite format 3\0x"])
def test_a_file_that_is_no_store_is_refused_and_left_alone(
    own_folders: Path, content: bytes
) -> None:
    place = own_folders / "log.sqlite"
    place.write_bytes(content)
    with (
        pytest.raises(StoreDamagedError, match="restore"),
        opened_store(store_location(str(place))),
    ):
        pass
    assert place.read_bytes() == content


def test_another_programs_database_is_no_store(own_folders: Path) -> None:
    place = own_folders / "log.sqlite"
    with sqlite3.connect(place) as raw:
        raw.execute("CREATE TABLE other (x)")
    raw.close()
    with pytest.raises(BitewrightError, match="no store"), opened_store(store_location(str(place))):
        pass


@pytest.mark.parametrize(
    "given",
    ["/dev/null/log.sqlite", "postgresql://nobody@127.0.0.1:1/none?connect_timeout=2"],
)
def test_a_place_that_cannot_be_is_one_sentence(given: str) -> None:
    with (
        pytest.raises(StoreUnreachableError) as refused,
        opened_store(store_location(given), make=True),
    ):
        pass
    assert "\n" not in str(refused.value)
