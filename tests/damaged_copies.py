"""Copies of a store with flipped bytes: what a check notices, and what commands then answer."""

import json
import os
import shutil
from collections.abc import Callable, Mapping
from dataclasses import dataclass, field
from datetime import UTC, datetime
from enum import StrEnum
from pathlib import Path
from typing import Any

import numpy as np

from bitewright.equipment.catalogue import packaged_catalogue
from bitewright.errors import BitewrightError
from bitewright.log.entry import Act, Entry
from bitewright.marking.raw_image import RawImage
from bitewright.store import columns as columns_module
from bitewright.store.appending import append
from bitewright.store.columns import log_columns
from bitewright.store.kept_files import keep_file
from bitewright.store.light_box import LightBoxStore, open_light_box
from bitewright.store.light_box_films import KeptFilm
from bitewright.store.location import store_location
from bitewright.store.names import set_name
from bitewright.store.opening import opened_store
from bitewright.tasks.assess.decoded_film import DecodedFilm
from bitewright.tasks.light_box.kept_marks import change_marks
from bitewright.tasks.light_box.light_box import enter_film, film_document, film_of
from bitewright.tasks.log.back_up_store import back_up_store, restore_store
from bitewright.tasks.log.keep_store import export_store, look_over_store
from bitewright.tasks.log.logged_exposures import logged_exposures
from bitewright.tasks.log.name_people import damaged_people, list_names, names_document
from bitewright.tasks.log.read_log import ListRequest, list_log, show_exposure
from tests.stores import exposure, later

ENTRIES = 400
KINDS = ("store", "films", "columns", "backup", "light box", "pictures")
MOST_FLIPPED = 4
FILMS = 12
SHOWN = ("3", "121", "399")


class Outcome(StrEnum):
    """What came of one damaged copy, the worst last."""

    HARMLESS = "every answer the same"
    NOTICED = "noticed by the check"
    TOLD = "told by the command itself"
    WRONG = "another answer without a word"
    TRACEBACK = "traceback"


@dataclass(frozen=True, slots=True, kw_only=True)
class SoundStore:
    """A store with what each command answers of it.

    Parameters
    ----------
    folder : Path
        Holds ``log.sqlite`` with its films, ``backup.zip`` and the data and cache folders.
    answers : mapping
        By name of the command.
    """

    folder: Path
    answers: Mapping[str, Any] = field(default_factory=dict)


def made_sound(folder: Path) -> SoundStore:
    """Make a store of four hundred entries with films, names, columns in the cache and a backup."""
    use_folders(folder)
    location = store_location(str(folder / "log.sqlite"))
    draw = np.random.default_rng(7)
    with opened_store(location, make=True) as store:
        films = [keep_file(location, draw.bytes(4000)) for _ in range(6)]
        with store.writing() as connection:
            append(connection, list(_entries(films)))
            for number in range(5):
                set_name(connection, f"S{number}", f"Invented Person {number}")
        snapshot_always()
        log_columns(store)
    _fill_light_box(folder)
    back_up_store(folder / "backup.zip", str(folder / "log.sqlite"))
    made = SoundStore(folder=folder)
    return SoundStore(folder=folder, answers=answers_of(made))


def snapshot_always() -> None:
    """Keep columns of small stores too, as of large ones."""
    columns_module.PENDING_BEFORE_SNAPSHOT = 0


def use_folders(folder: Path) -> None:
    """Let data, settings and caches of this process lie under a folder."""
    for name in ("XDG_DATA_HOME", "XDG_CONFIG_HOME", "XDG_CACHE_HOME"):
        os.environ[name] = str(folder / name.lower())


def _entries(films: list[str]) -> "list[Entry]":
    made = []
    for number in range(ENTRIES):
        if number % 8 == 7:
            about = f"e-{number - 3}"
            made.append(later(f"e-{number}", about, Act.CORRECTION, room=f"R{number % 9}"))
            continue
        decision = "rejected" if number % 3 == 0 else "accepted"
        fields = {"decision": decision, "operator": f"S{number % 5}", "note": f"note {number}"}
        if number % 50 == 0:
            fields["film"] = films[number // 50 % len(films)]
        made.append(exposure(f"e-{number}", **fields))
    return made


def damaged_copy(sound: SoundStore, kind: str, seed: int, folder: Path) -> SoundStore:
    """A copy of which one to four bytes of one file of a kind are flipped."""
    shutil.copytree(sound.folder, folder, dirs_exist_ok=True)
    draw = np.random.default_rng(seed)
    files = files_of(folder, kind)
    file = files[int(draw.integers(len(files)))]
    data = bytearray(file.read_bytes())
    for _ in range(int(draw.integers(1, MOST_FLIPPED + 1))):
        data[int(draw.integers(len(data)))] ^= int(draw.integers(1, 256))
    file.write_bytes(data)
    return SoundStore(folder=folder, answers=sound.answers)


def files_of(folder: Path, kind: str) -> list[Path]:
    """The files of a kind in a copy."""
    patterns = {
        "store": "log.sqlite",
        "films": "log.sqlite.films/??/*",
        "columns": "xdg_cache_home/bitewright/columns/*/*/*",
        "backup": "backup.zip",
        "light box": "box.sqlite",
        "pictures": "box.sqlite.films/*.png",
    }
    found = [path for path in sorted(folder.glob(patterns[kind])) if path.stat().st_size]
    assert found, f"no file of {kind} in {folder}"
    return found


def outcome(copy: SoundStore, kind: str) -> tuple[Outcome, str]:
    """What came of a damaged copy, and what tells of the worst."""
    use_folders(copy.folder)
    if kind == "backup":
        return _restored(copy)
    if kind in {"light box", "pictures"}:
        return _light_box_looked_at(copy)
    checked = _check(copy)  # before commands may make damaged columns afresh
    answered = [_compared(name, copy) for name in COMMANDS]
    for worst in (Outcome.TRACEBACK, Outcome.WRONG):
        for each in (*answered, checked):
            if each[0] is worst:
                return each
    if checked[0] is not Outcome.HARMLESS:
        return checked
    return max(answered, key=lambda each: list(Outcome).index(each[0]))


def _check(copy: SoundStore) -> tuple[Outcome, str]:
    try:
        found, _ = look_over_store(str(copy.folder / "log.sqlite"))
    except BitewrightError as error:
        return Outcome.NOTICED, str(error)
    except Exception as error:  # noqa: BLE001 - whatever it is, it is what is looked for
        return Outcome.TRACEBACK, f"check: {error!r}"
    if found.problems:
        return Outcome.NOTICED, found.problems[0]
    return Outcome.HARMLESS, ""


def _compared(name: str, copy: SoundStore) -> tuple[Outcome, str]:
    try:
        answer = COMMANDS[name](copy)
    except BitewrightError as error:
        return Outcome.TOLD, f"{name}: {error}"
    except Exception as error:  # noqa: BLE001 - as above
        return Outcome.TRACEBACK, f"{name}: {error!r}"
    if answer == copy.answers[name]:
        return Outcome.HARMLESS, ""
    if isinstance(answer, dict) and answer.get("damaged"):
        return Outcome.TOLD, f"{name}: names what is damaged"
    return Outcome.WRONG, f"{name} answers otherwise"


def _restored(copy: SoundStore) -> tuple[Outcome, str]:
    """A damaged backup is refused, and nothing of it is left, or it restores what was backed up."""
    place = copy.folder / "restored"
    place.mkdir()
    store = place / "new.sqlite"
    try:
        restore_store(copy.folder / "backup.zip", str(store))
        found, _ = look_over_store(str(store))
    except BitewrightError as error:
        left = [path.name for path in place.iterdir()]
        if left:
            return Outcome.WRONG, f"restore left {left}"
        return Outcome.NOTICED, str(error)
    except Exception as error:  # noqa: BLE001 - as above
        return Outcome.TRACEBACK, f"restore: {error!r}"
    same = found.digest == copy.answers["digest"] and not found.problems
    if same and list_names(str(store)) == copy.answers["names"]["names"]:
        return Outcome.HARMLESS, ""
    return Outcome.WRONG, f"restore made another store: {found.problems[:1]}"


def _fill_light_box(folder: Path) -> None:
    """Twelve films with marks."""
    box = open_light_box(folder / "box.sqlite")
    draw = np.random.default_rng(8)
    for number in range(FILMS):
        pixels = draw.integers(0, 65535, (40, 50)).astype(np.uint16)
        image = RawImage(pixels=pixels, bits=16, pixel_mm=0.1, source="PNG")
        film = DecodedFilm(name=f"film {number}", sha256="0" * 64, image=image)
        kept = enter_film(box, film, visit="v", now=datetime(2026, 1, 31, tzinfo=UTC))
        marks = {"view": "right-molar", "note": f"note {number}", "absent_teeth": [18, 48]}
        change_marks(box, kept.id, marks, version=0)


def _box(copy: SoundStore) -> LightBoxStore:
    return open_light_box(copy.folder / "box.sqlite")


def _film_shown(copy: SoundStore, film: KeptFilm) -> tuple[dict[str, Any], bytes]:
    """What a page shows of a film."""
    document = film_document(film, packaged_catalogue())
    return json.loads(json.dumps(document)), film_of(_box(copy), film).image.pixels.tobytes()


def _light_box_looked_at(copy: SoundStore) -> tuple[Outcome, str]:
    """Every film of a damaged light box, shown as it was or told to be damaged."""
    told = ""
    try:
        films = _box(copy).films()
    except BitewrightError as error:
        return Outcome.TOLD, str(error)
    except Exception as error:  # noqa: BLE001 - as above
        return Outcome.TRACEBACK, f"light box: {error!r}"
    if len(films) != FILMS:
        return Outcome.WRONG, f"{len(films)} films of {FILMS}"
    for film, before in zip(films, copy.answers["light box"], strict=True):
        try:
            shown = _film_shown(copy, film)
        except BitewrightError as error:
            told = str(error)
            continue
        except Exception as error:  # noqa: BLE001 - as above
            return Outcome.TRACEBACK, f"film {film.id}: {error!r}"
        if shown == before:
            continue
        if shown[0]["caveats"] == before[0]["caveats"]:
            return Outcome.WRONG, f"film {film.id} is shown otherwise"
        told = str(shown[0]["caveats"])
    return (Outcome.TOLD, told) if told else (Outcome.HARMLESS, "")


def answers_of(copy: SoundStore) -> dict[str, Any]:
    """What every command answers, and the digest of the last entry."""
    found, _ = look_over_store(str(copy.folder / "log.sqlite"))
    assert not found.problems, found.problems
    answers = {name: command(copy) for name, command in COMMANDS.items()}
    answers["light box"] = [_film_shown(copy, film) for film in _box(copy).films()]
    return answers | {"digest": found.digest}


def _listed(copy: SoundStore) -> Any:
    request = ListRequest(only={}, last=10_000, store=str(copy.folder / "log.sqlite"))
    return json.loads(json.dumps(list_log(request).document()))


def _shown(copy: SoundStore) -> Any:
    place = str(copy.folder / "log.sqlite")
    return [show_exposure(number, place).document() for number in SHOWN]


def _audited(copy: SoundStore) -> Any:
    log = logged_exposures(str(copy.folder / "log.sqlite"))
    columns = [log.day, log.rejected, log.retake, *log.codes.values(), *log.numbers.values()]
    labels = [log.labels[dimension] for dimension in log.codes]
    return repr([np.asarray(column).tolist() for column in columns]), repr(labels)


def _exported(copy: SoundStore) -> Any:
    file = copy.folder / "export.jsonl"
    export_store(file, str(copy.folder / "log.sqlite"))
    return file.read_bytes()


def _named(copy: SoundStore) -> Any:
    place = str(copy.folder / "log.sqlite")
    return names_document(list_names(place), damaged_people(place))


COMMANDS: Mapping[str, Callable[[SoundStore], Any]] = {
    "list": _listed,
    "show": _shown,
    "audit": _audited,
    "export": _exported,
    "names": _named,
}


__all__ = ["KINDS", "Outcome", "SoundStore", "damaged_copy", "made_sound", "outcome"]
