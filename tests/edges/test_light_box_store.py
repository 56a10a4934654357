"""The light box's file: opened and written by several at once, whole or not at all, damaged."""

import sqlite3
from concurrent.futures import ThreadPoolExecutor
from contextlib import closing
from datetime import UTC, datetime
from pathlib import Path
from threading import Barrier

import pytest

from bitewright.equipment.catalogue import packaged_catalogue
from bitewright.keeping.whole_files import FileUnwritableError
from bitewright.store.light_box import (
    DamagedLightBoxError,
    LightBoxStore,
    MarksChangedError,
    open_light_box,
)
from bitewright.store.light_box_films import KeptFilm
from bitewright.tasks.light_box.light_box import PictureGoneError, film_document, film_of
from bitewright.words.kept_films import NOT_AS_WRITTEN


def test_a_new_file_can_be_opened_by_several_at_once(tmp_path: Path) -> None:
    for turn in range(5):
        file, together = tmp_path / f"{turn}.sqlite", Barrier(3)

        def opened(_: int, *, file: Path = file, together: Barrier = together) -> int:
            together.wait()
            return len(open_light_box(file).films())

        with ThreadPoolExecutor(3) as pool:
            assert list(pool.map(opened, range(3))) == [0, 0, 0]


@pytest.fixture
def box(own_folders: Path) -> LightBoxStore:
    return open_light_box(own_folders / "box.sqlite")


def add(box: LightBoxStore, label: str = "a") -> KeptFilm:
    return box.add(
        b"a picture",
        now=datetime.now(UTC),
        attributes={},
        sha256="0" * 64,
        label=label,
        visit="v",
        columns=2,
        rows=2,
        bits=16,
        pixel_mm=0.1,
        source="PNG",
        caveats=(),
    )


def test_a_film_whose_picture_cannot_be_written_is_not_there(
    box: LightBoxStore, monkeypatch: pytest.MonkeyPatch
) -> None:
    def full(_: int) -> None:
        raise OSError(28, "No space left on device")

    with monkeypatch.context() as patched:
        patched.setattr("os.fsync", full)
        with pytest.raises(FileUnwritableError, match="No space left"):
            add(box)
    assert box.films() == ()
    assert not list(box.pixel_folder.iterdir())
    assert box.pixel_file(add(box)).read_bytes() == b"a picture"


def test_what_a_killed_upload_or_removal_left_is_swept(box: LightBoxStore) -> None:
    film = add(box)
    stray = box.pixel_folder / "77.png"
    stray.write_bytes(b"of a film that never came to be")
    other = box.pixel_folder / "mine.png"
    other.write_bytes(b"not ours")
    open_light_box(box.file)
    assert sorted(box.pixel_folder.iterdir()) == sorted([box.pixel_file(film), other])


def test_two_who_save_marks_of_one_version_do_not_overwrite_one_another(box: LightBoxStore) -> None:
    film, together = add(box), Barrier(4)

    def save(writer: int, version: int) -> bool:
        together.wait()
        try:
            box.change_marks(film.id, {"note": f"of {writer}"}, version=version)
        except MarksChangedError:
            return False
        return True

    with ThreadPoolExecutor(4) as pool:
        for version in range(8):
            assert sum(pool.map(save, range(4), [version] * 4)) == 1
    assert box.film(film.id).marks_version == 8


def changed(box: LightBoxStore, sql: str) -> None:
    """Change the file behind the program's back."""
    with closing(sqlite3.connect(box.file)) as raw, raw:
        raw.execute(sql)


def test_a_film_that_is_not_as_it_was_written_is_told(box: LightBoxStore) -> None:
    film = add(box)
    box.change_marks(film.id, {"note": "12"}, version=0)
    assert box.film(film.id).is_as_written
    changed(box, "UPDATE films SET marks = replace(marks, '12', '72')")
    assert not box.film(film.id).is_as_written
    box.change_label(film.id, label="other", visit="v")
    (shown,) = box.films()
    assert not shown.is_as_written
    assert NOT_AS_WRITTEN in film_document(shown, packaged_catalogue())["caveats"]


def test_a_light_box_from_before_there_were_seals_is_brought_up(box: LightBoxStore) -> None:
    film = add(box)
    changed(box, "ALTER TABLE films DROP COLUMN seal")
    changed(box, "PRAGMA user_version = 1")
    again = open_light_box(box.file)
    assert again.film(film.id) == film
    changed(box, "UPDATE films SET visit = 'w'")
    assert not again.film(film.id).is_as_written


def test_a_damaged_file_is_told(box: LightBoxStore) -> None:
    for number in range(40):
        add(box, f"film {number}")
    data = bytearray(box.file.read_bytes())
    data[4096:8192] = b"\xff" * 4096
    box.file.write_bytes(data)
    with pytest.raises(DamagedLightBoxError, match="keep both"):
        open_light_box(box.file).films()


def test_a_picture_that_is_gone_is_told(box: LightBoxStore) -> None:
    film = add(box)
    with pytest.raises(PictureGoneError, match="bring it in again"):
        film_of(box, film)
