"""A damaged store: every damaged entry is named, the rest is shown, and the sound can be saved."""

import os
import shutil
import sqlite3
import sys
import zipfile
from collections.abc import Iterator
from pathlib import Path
from types import NoneType

import pytest
from typer.testing import CliRunner

from bitewright.cli.main import app
from bitewright.errors import BitewrightError
from bitewright.store import columns as columns_module
from bitewright.store.appending import append
from bitewright.store.checking import check_store
from bitewright.store.columns import log_columns
from bitewright.store.entries import DamagedEntryError, NoSuchEntryError, entries_after, history
from bitewright.store.kept_files import keep_file, kept_for_entries
from bitewright.store.location import StoreLocation, store_location
from bitewright.store.names import DamagedNameError, NoNameError, forget_name, names, set_name
from bitewright.store.opening import opened_store
from bitewright.store.sealed_rows import Soundness
from bitewright.tasks.log.back_up_store import back_up_store
from tests.damaged_copies import (
    KINDS,
    Outcome,
    SoundStore,
    damaged_copy,
    made_sound,
    outcome,
    use_folders,
)
from tests.stores import exposure, later

pytestmark = pytest.mark.skipif(sys.platform == "win32", reason="platform: paths as POSIX")
run = CliRunner()
COPIES = 6


@pytest.fixture(scope="module")
def sound(tmp_path_factory: pytest.TempPathFactory) -> Iterator[SoundStore]:
    """A sound store; the environment is put back afterwards."""
    before = {name: os.environ.get(name) for name in os.environ}
    pending = columns_module.PENDING_BEFORE_SNAPSHOT
    yield made_sound(tmp_path_factory.mktemp("sound"))
    columns_module.PENDING_BEFORE_SNAPSHOT = pending
    for name in ("XDG_DATA_HOME", "XDG_CONFIG_HOME", "XDG_CACHE_HOME"):
        os.environ.pop(name, None)
        if before.get(name) is not None:
            os.environ[name] = str(before[name])


@pytest.mark.parametrize("kind", KINDS)
@pytest.mark.parametrize("copies", [COPIES, pytest.param(100, marks=pytest.mark.slow)])
def test_flipped_bytes_are_noticed_or_harmless(
    sound: SoundStore, kind: str, copies: int, tmp_path: Path
) -> None:
    found = []
    for seed in range(copies):
        copy = damaged_copy(sound, kind, seed, tmp_path / str(seed))
        found.append(outcome(copy, kind))
        shutil.rmtree(copy.folder)
    use_folders(sound.folder)
    bad = [each for each in found if each[0] in {Outcome.WRONG, Outcome.TRACEBACK}]
    assert not bad
    assert any(each[0] in {Outcome.NOTICED, Outcome.TOLD} for each in found)


@pytest.fixture
def place(own_folders: Path) -> Path:
    """A store of twelve exposures, the fourth corrected by the thirteenth entry."""
    file = own_folders / "log.sqlite"
    with opened_store(store_location(str(file)), make=True) as store, store.writing() as connection:
        append(connection, [exposure(f"e-{n}", decision="accepted") for n in range(1, 13)])
        append(connection, [later("c-1", "e-4", room="R9"), exposure("e-14")])
    return file


def change(file: Path, *statements: str) -> None:
    """Change the database behind the program's back."""
    with sqlite3.connect(file) as raw:
        raw.execute("DROP TRIGGER IF EXISTS entry_stays_UPDATE")
        raw.execute("DROP TRIGGER IF EXISTS entry_stays_DELETE")
        for sql in statements:
            raw.execute(sql)
    raw.close()


@pytest.mark.parametrize(
    ("sql", "damaged"),
    [
        ("UPDATE entry SET body = '{half' WHERE number = 5", [(5, 5, Soundness.UNREADABLE)]),
        (
            "UPDATE entry SET body = replace(body, 'molar', 'moler') WHERE number IN (5, 6, 9)",
            [(5, 6, Soundness.NOT_AS_WRITTEN), (9, 9, Soundness.NOT_AS_WRITTEN)],
        ),
        (
            "UPDATE entry SET digest = 'x' || substr(digest, 2) WHERE number = 7",
            [(7, 7, Soundness.SEAL_DAMAGED)],
        ),
        (
            "DELETE FROM entry WHERE number IN (6, 7)",
            [(6, 7, Soundness.MISSING), (8, 8, Soundness.UNPROVEN)],
        ),
        ("UPDATE entry SET act = 'expasure' WHERE number = 2", [(2, 2, Soundness.UNREADABLE)]),
        ("UPDATE entry SET number = 900 WHERE number = 14", [(14, 14, Soundness.SEAL_DAMAGED)]),
        (
            "UPDATE entry SET body = CAST(X'7BFF7D' AS TEXT) WHERE number = 3",
            [(3, 3, Soundness.UNREADABLE), (4, 4, Soundness.UNPROVEN)],
        ),
    ],
    ids=["half", "changed", "digest", "gone", "act", "number", "no text"],
)
def test_the_check_names_each_damaged_entry_and_what_can_be_saved(
    place: Path, sql: str, damaged: list[tuple[int, int, Soundness]]
) -> None:
    change(place, sql)
    with opened_store(store_location(str(place))) as store:
        found = check_store(store)
    assert [(each.first, each.last, each.soundness) for each in found.damaged] == damaged
    lost = sum(
        each.last - each.first + 1
        for each in found.damaged
        if each.soundness is not Soundness.SEAL_DAMAGED
    )
    assert found.sound == 14 - lost
    answer = run.invoke(app, ["store", "check", "--store", str(place)])
    assert answer.exit_code == 1
    assert not lost or f"{found.sound} of 14 entries can be saved" in answer.output


def test_one_bad_row_hides_no_other_and_figures_are_refused(place: Path) -> None:
    change(place, "UPDATE entry SET body = replace(body, 'accepted', 'rejected') WHERE number = 5")
    listed = run.invoke(app, ["log", "list", "--store", str(place), "--last", "99"])
    assert listed.exit_code == 0
    assert "damaged are left out (5)" in " ".join(listed.output.split())
    assert "12 exposures" in listed.output
    for command in (
        ["audit", "rates", "--store", str(place)],
        ["log", "show", "5", "--store", str(place)],
        ["store", "backup", str(place.with_name("b.zip")), "--store", str(place)],
        ["store", "export", str(place.with_name("e.jsonl")), "--store", str(place)],
    ):
        answer = run.invoke(app, command)
        assert isinstance(answer.exception, DamagedEntryError), command
    assert run.invoke(app, ["log", "show", "6", "--store", str(place)]).exit_code == 0
    assert not place.with_name("b.zip").exists()


@pytest.mark.parametrize("given", ["\ud83d", "a\0b", "x" * 70_000])
def test_what_can_be_no_key_names_no_exposure(place: Path, given: str) -> None:
    answer = run.invoke(app, ["log", "show", given, "--store", str(place)])
    assert isinstance(answer.exception, NoSuchEntryError)


def test_what_is_sound_can_be_saved(place: Path) -> None:
    location = store_location(str(place))
    film = keep_file(location, b"a film")
    with opened_store(location) as store, store.writing() as connection:
        set_name(connection, "S1", "Invented Person")
        append(connection, [later("c-2", "e-9", film=film), later("c-3", "e-5", room="R3")])
    change(place, "UPDATE entry SET body = '{half' WHERE number = 5")
    before = place.read_bytes()
    new = place.with_name("new.sqlite")
    answer = run.invoke(app, ["store", "rescue", str(new), "--store", str(place)])
    assert answer.exit_code == 0, answer.output
    assert "14 entries and 1 film or assessment saved; left out: 5, 16" in " ".join(
        answer.output.split()
    )
    assert place.read_bytes() == before
    with opened_store(store_location(str(new))) as store:
        assert not check_store(store).problems
        with store.reading() as connection:
            assert names(connection) == {"S1": "Invented Person"}
            assert history(connection, "e-4")[-1].entry.body == {"room": "R9"}
            assert "e-5" not in {each.entry.key for each in entries_after(connection)}
    again = run.invoke(app, ["store", "rescue", str(new), "--store", str(place)])
    assert "already holds" in str(again.exception)


def test_what_nothing_proves_is_saved_only_when_asked_for(place: Path) -> None:
    change(place, "DELETE FROM entry WHERE number = 6")
    told = run.invoke(app, ["store", "check", "--store", str(place)])
    assert "--unproven it takes 1 more" in " ".join(told.output.split())
    for options, taken in ([], 12), (["--unproven"], 13):
        new = place.with_name(f"{taken}.sqlite")
        answer = run.invoke(app, ["store", "rescue", str(new), *options, "--store", str(place)])
        assert f"{taken} entries saved" in answer.output


@pytest.mark.parametrize("content", [b"", b"no database" * 400])
def test_what_is_no_store_any_more_is_told(own_folders: Path, content: bytes) -> None:
    file = own_folders / "log.sqlite"
    file.write_bytes(content)
    answer = run.invoke(app, ["store", "check", "--store", str(file)])
    assert answer.exit_code == 1
    answer = run.invoke(app, ["store", "rescue", str(file) + ".new", "--store", str(file)])
    assert answer.exit_code == 1
    assert not list(own_folders.glob("*.new*"))


def test_whichever_page_is_damaged_the_sentence_names_the_damaged_store(place: Path) -> None:
    whole, size = place.read_bytes(), 4096
    for at in range(0, len(whole), size):
        place.write_bytes(whole[:at] + b"\xff" * size + whole[at + size :])
        new = place.with_name("new.sqlite")
        answer = run.invoke(app, ["store", "rescue", str(new), "--store", str(place)])
        assert isinstance(answer.exception, BitewrightError | NoneType), at
        assert ".part" not in str(answer.exception), at
        for left in place.parent.glob("new.sqlite*"):
            left.unlink()


def test_damaged_pages_are_told_and_the_other_entries_saved(own_folders: Path) -> None:
    file = own_folders / "log.sqlite"
    with opened_store(store_location(str(file)), make=True) as store, store.writing() as connection:
        append(connection, [exposure(f"e-{n}", note="n" * 200) for n in range(600)])
    size = 4096
    data = bytearray(file.read_bytes())
    at = data.index(b"e-300") // size * size
    data[at : at + size] = b"\xff" * size
    file.write_bytes(data)
    with opened_store(store_location(str(file))) as store:
        found = check_store(store)
    assert 500 < found.sound < 600
    assert found.damaged
    new = own_folders / "new.sqlite"
    answer = run.invoke(app, ["store", "rescue", str(new), "--store", str(file)])
    assert answer.exit_code == 0, answer.output
    with opened_store(store_location(str(new))) as store:
        assert check_store(store).entries == found.sound


@pytest.mark.parametrize("damage", ["flip", "labels", "shorter", "gone"])
def test_damaged_columns_are_noticed_and_made_afresh(
    own_folders: Path, monkeypatch: pytest.MonkeyPatch, damage: str
) -> None:
    monkeypatch.setattr(columns_module, "PENDING_BEFORE_SNAPSHOT", 0)
    file = own_folders / "log.sqlite"
    with opened_store(store_location(str(file)), make=True) as store:
        with store.writing() as connection:
            append(connection, [exposure(f"e-{n}", decision="accepted") for n in range(50)])
        log_columns(store)
    (folder,) = columns_module.columns_folder().glob("*/*-*")
    column = folder / ("operator.labels" if damage == "labels" else "decision.npy")
    data = bytearray(column.read_bytes())
    data[-1] ^= 1
    column.write_bytes(data[:-4] if damage == "shorter" else data)
    if damage == "gone":
        column.unlink()
    answer = run.invoke(app, ["store", "check", "--store", str(file)])
    assert answer.exit_code == 1
    assert "store check --rebuild" in " ".join(answer.output.split())
    with opened_store(store_location(str(file))) as store:
        assert int((log_columns(store).decision == 1).sum()) == 0
    column.write_bytes(data)
    answer = run.invoke(app, ["store", "check", "--rebuild", "--store", str(file)])
    assert answer.exit_code == 0, answer.output
    assert "made afresh" in answer.output
    assert run.invoke(app, ["store", "check", "--store", str(file)]).exit_code == 0


def damaged_backups(folder: Path) -> Iterator[Path]:
    """A whole backup, damaged in every way an archive can be."""
    whole = (folder / "b.zip").read_bytes()
    with zipfile.ZipFile(folder / "b.zip") as packed:
        places = {info.filename: info.header_offset for info in packed.infolist()}
    for name, place in places.items():
        for offset in (10, 32, 60, 120):
            data = bytearray(whole)
            data[place + offset] ^= 0xFF
            file = folder / f"{name.replace('/', '-')}-{offset}.zip"
            file.write_bytes(data)
            yield file
    for name, content in {
        "empty.zip": b"",
        "text.zip": b"no archive",
        "half.zip": whole[: len(whole) // 2],
    }.items():
        (folder / name).write_bytes(content)
        yield folder / name
    for name, about in {
        "list": "[]",
        "deep": "[" * 100_000,
        "films": '{"format": "bitewright.backup/1", "films": 9}',
        "format": '{"format": 7, "films": 1}',
        "no names": None,
    }.items():
        with (
            zipfile.ZipFile(folder / "b.zip") as packed,
            zipfile.ZipFile(folder / f"{name}.zip", "w") as made,
        ):
            for info in packed.infolist():
                if info.filename == "backup.json" and about is not None:
                    made.writestr(info.filename, about)
                elif info.filename != "names.json" or about is not None:
                    made.writestr(info.filename, packed.read(info))
        yield folder / f"{name}.zip"


@pytest.mark.skipif(not Path("/dev/zero").exists(), reason="platform: no /dev/zero here")
def test_a_backup_without_end_is_not_read(place: Path) -> None:
    new = place.with_name("new.sqlite")
    answer = run.invoke(app, ["store", "restore", "/dev/zero", "--store", str(new)])
    assert "a pipe or a device" in str(answer.exception)
    assert not list(place.parent.glob("new.sqlite*"))


def test_a_bad_backup_is_one_sentence_and_leaves_nothing(place: Path) -> None:
    folder = place.parent
    keep_file(store_location(str(place)), b"a film")
    back_up_store(folder / "b.zip", str(place))
    target = folder / "into"
    restored = 0
    for file in damaged_backups(folder):
        answer = run.invoke(
            app, ["store", "restore", str(file), "--store", str(target / "n.sqlite")]
        )
        if answer.exit_code == 0:  # what was damaged means nothing
            restored += 1
            assert (
                run.invoke(app, ["store", "check", "--store", str(target / "n.sqlite")]).exit_code
                == 0
            )
            shutil.rmtree(target)
            continue
        assert isinstance(answer.exception, Exception)
        assert type(answer.exception).__module__.startswith("bitewright."), repr(answer.exception)
        assert "\n" not in str(answer.exception)
        assert not target.exists() or not list(target.iterdir()), file.name
    assert restored < 10


def test_a_bad_backup_leaves_nothing_in_a_store_that_was_there(
    location: StoreLocation, own_folders: Path
) -> None:
    with opened_store(store_location(str(own_folders / "a.sqlite")), make=True) as store:
        with store.writing() as connection:
            append(connection, [exposure("e-1")])
        keep_file(store.location, b"a film")
    back_up_store(own_folders / "b.zip", str(own_folders / "a.sqlite"))
    with (
        zipfile.ZipFile(own_folders / "b.zip") as packed,
        zipfile.ZipFile(own_folders / "c.zip", "w") as made,
    ):
        for info in packed.infolist():
            data = packed.read(info)
            made.writestr(info.filename, data[:-20] if info.filename == "entries.jsonl" else data)
    with opened_store(location, make=True):
        pass
    address = location.url.render_as_string(hide_password=False)
    answer = run.invoke(app, ["store", "restore", str(own_folders / "c.zip"), "--store", address])
    assert answer.exit_code == 1
    assert not list(location.folder.glob("??/*"))
    with opened_store(location) as store:
        assert check_store(store).entries == 0
    answer = run.invoke(app, ["store", "restore", str(own_folders / "b.zip"), "--store", address])
    assert answer.exit_code == 0, answer.output


def test_films_of_who_was_killed_before_the_entry_are_swept(location: StoreLocation) -> None:
    with opened_store(location, make=True) as store:
        kept = keep_file(location, b"named by an entry")
        with store.writing() as connection:
            append(connection, [exposure("e-1", film=kept)])
    digests = [kept, "ab" * 32]
    reading, writing = os.pipe()
    child = os.fork()
    if child == 0:
        with kept_for_entries(location, digests, lambda _: False):
            keep_file(location, b"named by none")
            os.write(writing, b"r")
            os._exit(9)
    assert os.read(reading, 1) == b"r"
    os.waitpid(child, 0)
    note = next(iter(location.folder.glob(".*.keeping")))
    unnamed = next(p.name for p in location.folder.glob("??/*") if p.name != kept)
    note.write_text(f"{kept}\n{unnamed}")
    with opened_store(location):
        pass
    assert [path.name for path in location.folder.glob("??/*")] == [kept]
    assert not list(location.folder.glob(".*.keeping"))


def test_a_name_that_a_reader_still_holds_is_told(own_folders: Path) -> None:
    location = store_location(str(own_folders / "log.sqlite"))
    with opened_store(location, make=True) as store, store.writing() as connection:
        append(connection, [exposure("e-1")])
        set_name(connection, "S1", "Invented Somebody")
    with opened_store(location) as reader, reader.reading() as connection:
        assert names(connection) == {"S1": "Invented Somebody"}
        answer = run.invoke(app, ["log", "name", "forget", "S1", "--store", str(location)])
        assert answer.exit_code == 1
        assert "log.sqlite may still hold it" in " ".join(answer.output.split())
    with opened_store(location) as store, pytest.raises(NoNameError):
        forget_name(store, "S1")
    files = [path for path in own_folders.glob("log.sqlite*") if path.is_file()]
    assert not any(b"Somebody" in path.read_bytes() for path in files)


def test_a_damaged_name_is_not_shown_as_somebodys(place: Path) -> None:
    with opened_store(store_location(str(place))) as store, store.writing() as connection:
        set_name(connection, "S1", "Invented Nobody")
        set_name(connection, "T1", "Invented Teacher")
    change(place, "UPDATE person SET name = replace(name, 'Nobody', 'Nobady')")
    listed = run.invoke(app, ["log", "name", "list", "--store", str(place)])
    assert "Nobady" not in listed.output
    assert "Invented Teacher" in listed.output
    assert "S1 is not as it was kept" in listed.output
    assert run.invoke(app, ["store", "check", "--store", str(place)]).exit_code == 1
    backed = run.invoke(app, ["store", "backup", str(place) + ".zip", "--store", str(place)])
    assert isinstance(backed.exception, DamagedNameError)
    run.invoke(app, ["log", "name", "set", "S1", "Invented Nobody", "--store", str(place)])
    assert run.invoke(app, ["store", "check", "--store", str(place)]).exit_code == 0
