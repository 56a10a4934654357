"""Folders that are missing, or may only be read: one sentence everywhere, and reading goes on."""

import sys
from collections.abc import Callable
from datetime import UTC, datetime
from pathlib import Path

import pytest

from bitewright.equipment.catalogue import packaged_catalogue
from bitewright.equipment.entries import entry_to_mapping
from bitewright.files.film_cache import clear_films
from bitewright.store.appending import append
from bitewright.store.light_box import open_light_box
from bitewright.store.location import store_location
from bitewright.store.opening import opened_store
from bitewright.tasks.catalogue.named_mouths import add_mouth, mouth_names, mouth_text, remove_mouth
from bitewright.tasks.catalogue.own_equipment import own_equipment, put_entry, remove_entry
from bitewright.tasks.log.back_up_store import back_up_store, restore_store
from bitewright.tasks.log.keep_store import export_store, look_over_store
from bitewright.tasks.log.name_people import forget_person
from bitewright.tasks.log.read_log import ListRequest, list_log
from bitewright.tasks.log.record_exposure import AddRequest, record_exposure
from bitewright.tasks.log.store_place import store_place
from bitewright.tasks.run_demo import run_demo
from tests.as_nobody import said_as_nobody
from tests.stores import PLAIN, exposure

pytestmark = pytest.mark.skipif(sys.platform == "win32", reason="platform: modes as POSIX")
DATA = "xdg_data_home/bitewright"
SENTENCE = "bitewright."
PICTURE = {"sha256": "0" * 64, "label": "a", "visit": "v", "columns": 2, "rows": 2, "bits": 16}
MORE = {"pixel_mm": None, "source": "PNG", "caveats": ()}


def receptor(name: str) -> dict[str, object]:
    entry = entry_to_mapping(packaged_catalogue().receptor("sensor-2"))
    return entry | {"name": name, "source": "measured by us", "confidence": "measured"}


@pytest.fixture
def data(own_folders: Path) -> Path:
    """A data folder with something of everything in it."""
    folder = own_folders / DATA
    put_entry("receptors", receptor("our-sensor"))
    add_mouth("our-mouth", mouth_text("standard"))
    box = open_light_box(folder / "light-box.sqlite")
    box.add(b"a picture", now=datetime.now(UTC), attributes={}, **PICTURE, **MORE)
    location = store_location(str(folder / "log.sqlite"))
    with opened_store(location, make=True) as store, store.writing() as connection:
        append(connection, [exposure("e-1", decision="accepted")])
    back_up_store(folder / "b.zip", str(location))
    return folder


def writing_acts(folder: Path) -> dict[str, Callable[[], object]]:
    """Everything that writes into the data folder."""
    log = str(folder / "log.sqlite")
    film = folder / "light-box.sqlite"
    return {
        "equipment": lambda: put_entry("receptors", receptor("other")),
        "equipment away": lambda: remove_entry("receptors", "our-sensor"),
        "mouth": lambda: add_mouth("other", mouth_text("standard")),
        "mouth away": lambda: remove_mouth("our-mouth"),
        "light box": lambda: open_light_box(film).add(
            b"x", now=datetime.now(UTC), attributes={}, **PICTURE, **MORE
        ),
        "marks": lambda: open_light_box(film).change_marks(1, {}, version=0),
        "entry": lambda: record_exposure(AddRequest(fields=PLAIN, store=log)),
        "film": lambda: record_exposure(AddRequest(fields=PLAIN, film=folder / "b.zip", store=log)),
        "name": lambda: forget_person("S1", log),
        "export": lambda: export_store(folder / "e.csv", log),
        "backup": lambda: back_up_store(folder / "c.zip", log),
        "restore": lambda: restore_store(folder / "b.zip", str(folder / "new.sqlite")),
    }


def reading_acts(folder: Path) -> dict[str, Callable[[], object]]:
    """What needs no right to write."""
    log = str(folder / "log.sqlite")
    return {
        "equipment": lambda: sorted(own_equipment().receptors),
        "mouths": lambda: "our-mouth" in mouth_names(),
        "list": lambda: list_log(ListRequest(only={}, store=log)).found,
        "check": lambda: look_over_store(log)[0].problems,
    }


def test_who_may_only_read_is_told_so_and_reading_goes_on(data: Path) -> None:
    before = sorted(path for path in data.rglob("*") if path.is_file())
    for name, act in writing_acts(data).items():
        said = said_as_nobody(data, act)
        assert said.startswith(SENTENCE), f"{name}: {said}"
        assert "\n" not in said
    assert sorted(path for path in data.rglob("*") if path.is_file()) == before
    answers = {name: said_as_nobody(data, act) for name, act in reading_acts(data).items()}
    assert answers == {
        "equipment": "answered ['our-sensor']",
        "mouths": "answered True",
        "list": "answered 1",
        "check": "answered ()",
    }


def test_a_folder_that_cannot_be_made_is_told(
    data: Path, own_folders: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    assert data.is_dir()
    (own_folders / "no-folder").write_bytes(b"")
    monkeypatch.setenv("XDG_DATA_HOME", str(own_folders / "no-folder"))
    acts = writing_acts(own_folders / "no-folder")
    for name in ("equipment", "mouth", "light box", "entry", "restore"):
        said = said_as_nobody(own_folders, acts[name])
        assert said.startswith(SENTENCE), f"{name}: {said}"


def test_a_folder_that_may_not_be_entered_is_told(data: Path, own_folders: Path) -> None:
    config = own_folders / "xdg_config_home" / "bitewright"
    config.mkdir(parents=True)
    acts = {
        **writing_acts(data),
        **reading_acts(data),
        "settings": store_place_by_settings,
        "demo": lambda: next(run_demo(data / "x" / "out")),
    }
    for name, act in acts.items():
        said = said_as_nobody(own_folders, act, closed=[data, config])
        assert said.startswith(SENTENCE), f"{name}: {said}"


def store_place_by_settings() -> object:
    return store_place(None)


def test_a_cache_that_may_only_be_read_is_told(own_folders: Path, no_films_kept: Path) -> None:
    films = no_films_kept / "films"
    films.mkdir(parents=True)
    (films / "a.film.npz").write_bytes(b"x")
    assert said_as_nobody(own_folders, clear_films).startswith(SENTENCE)


def test_what_is_not_there_yet_is_empty_and_makes_no_folder(own_folders: Path) -> None:
    assert not own_equipment().receptors
    assert "standard" in mouth_names()
    assert not (own_folders / DATA).exists()
