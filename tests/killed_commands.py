"""Commands killed at any moment, again and again: what they acknowledged is there, nothing is left.

A child process runs commands one after another and tells each that it has finished; it is killed
with SIGKILL. Then comes the next start, and everything is looked at.
"""

import json
import os
import re
import signal
import tempfile
import time
import zipfile
from collections import Counter
from collections.abc import Callable, Iterator
from dataclasses import dataclass, field
from pathlib import Path

import numpy as np
from sqlalchemy import select

from bitewright.equipment.catalogue import packaged_catalogue
from bitewright.equipment.entries import entry_to_mapping
from bitewright.keeping.leftovers import NOTES, sweep_leftovers
from bitewright.store.checking import check_store
from bitewright.store.location import StoreLocation, store_location
from bitewright.store.opening import opened_store
from bitewright.store.tables import ENTRY
from bitewright.tasks.catalogue.own_equipment import own_equipment, put_entry, remove_entry
from bitewright.tasks.log.back_up_store import back_up_store, restore_store
from bitewright.tasks.log.import_exposures import ImportRequest, import_exposures
from bitewright.tasks.log.name_people import forget_person, list_names, name_person
from bitewright.tasks.log.record_exposure import (
    AddRequest,
    ChangeRequest,
    correct_exposure,
    record_exposure,
)
from tests.stores import PLAIN

MOST_WAIT_S = 0.6
ROWS = 300
MAPPING = """\
format = "bitewright.csv-mapping/1"
[columns]
key = "k"
day = "d"
operator = "o"
view = "v"
"""
NAME = "Invented-Nobody-"
SIDE_FILES = ("-wal", "-shm", "-journal")


@dataclass(kw_only=True)
class Kills:
    """What came of kills, summed.

    Parameters
    ----------
    kills, in_work : int
        And of these, how many fell into a command that had begun and not been acknowledged.
    acknowledged : Counter
        Acts by name.
    wrong : list of str
        What was lost, doubled, half there or left over.
    """

    kills: int = 0
    in_work: int = 0
    acknowledged: Counter[str] = field(default_factory=Counter)
    wrong: list[str] = field(default_factory=list)


@dataclass(frozen=True, slots=True, kw_only=True)
class Place:
    """Where commands work: a folder with everything, and the store's address."""

    folder: Path
    store: str

    @property
    def location(self) -> StoreLocation:
        """The store."""
        return store_location(self.store)


Acted = tuple[str, str]
"""Name of an act, and what it was done to."""


def prepared(folder: Path, store: str | None = None) -> Place:
    """A folder with a small store, which holds this process's data and caches too."""
    for name in ("XDG_DATA_HOME", "XDG_CONFIG_HOME", "XDG_CACHE_HOME"):
        os.environ[name] = str(folder / name.lower())
    (folder / "tmp").mkdir(parents=True)
    (folder / "mapping.toml").write_text(MAPPING, encoding="utf-8")
    place = Place(folder=folder, store=store or str(folder / "log.sqlite"))
    with opened_store(place.location, make=True):
        pass
    record_exposure(AddRequest(fields=PLAIN, key="first", store=place.store))
    back_up_store(folder / "whole.zip", place.store)
    return place


def add(place: Place, what: str) -> None:
    """Record an exposure, every other one with a film."""
    film = None
    if int(what.rpartition("-")[2]) % 2:
        film = place.folder / "film.bin"
        film.write_bytes(what.encode() * 2000)
    record_exposure(AddRequest(fields=PLAIN, key=what, film=film, store=place.store))


def correct(place: Place, what: str) -> None:
    """Correct the first exposure."""
    request = ChangeRequest(
        exposure="first", by="T1", why="wrong", fields={"room": what}, key=what, store=place.store
    )
    correct_exposure(request)


def take_table(place: Place, what: str) -> None:
    """Import a table."""
    table = place.folder / "table.csv"
    lines = "".join(f"{what}/{row},2026-01-01,S1,right-molar\n" for row in range(ROWS))
    table.write_text(f"k,d,o,v\n{lines}", encoding="utf-8")
    mapping = place.folder / "mapping.toml"
    import_exposures(ImportRequest(table=table, mapping=mapping, store=place.store))


def back_up(place: Place, what: str) -> None:
    """Write a backup."""
    back_up_store(place.folder / f"{what}.zip", place.store)


def restore(place: Place, what: str) -> None:
    """Restore the small backup into a new store."""
    restore_store(place.folder / "whole.zip", str(place.folder / f"{what}.sqlite"))


def set_a_name(place: Place, what: str) -> None:
    """Keep a name."""
    name_person(what, NAME + what, place.store)


def forget_a_name(place: Place, what: str) -> None:
    """Keep a name and forget it."""
    name_person(what, NAME + what, place.store)
    forget_person(what, place.store)


def put_equipment(_: Place, what: str) -> None:
    """Keep an entry of one's own equipment."""
    entry = entry_to_mapping(packaged_catalogue().receptor("sensor-2"))
    own = {"source": "measured by us", "confidence": "measured"}
    put_entry("receptors", entry | own | {"name": what})


def take_equipment(place: Place, what: str) -> None:
    """Keep an entry of one's own equipment and remove it."""
    put_equipment(place, what)
    remove_entry("receptors", what)


ACTS: dict[str, Callable[[Place, str], None]] = {
    "add": add,
    "correct": correct,
    "import": take_table,
    "backup": back_up,
    "restore": restore,
    "name": set_a_name,
    "forget": forget_a_name,
    "equipment": put_equipment,
    "removal": take_equipment,
}


def killed_commands(place: Place, *, times: int, seed: int) -> Kills:
    """Kill commands, look at everything after each kill, and sum up."""
    draw, count = np.random.default_rng(seed), Kills()
    acknowledged: list[Acted] = []
    for kill in range(times):
        acts = _drawn(draw, f"k{seed}-{kill}")
        begun, done = _killed(place, acts, wait_s=float(draw.uniform(0, MOST_WAIT_S)))
        acknowledged += acts[:done]
        count.acknowledged.update(name for name, _ in acts[:done])
        count.kills += 1
        count.in_work += begun > done
        count.wrong += look_over(place, acknowledged, acts[done:begun])
    return count


def _drawn(draw: np.random.Generator, prefix: str) -> list[Acted]:
    names = list(ACTS)
    return [(names[int(draw.integers(len(names)))], f"{prefix}-{number}") for number in range(60)]


def _killed(place: Place, acts: list[Acted], *, wait_s: float) -> tuple[int, int]:
    """How many acts a child had begun, and how many it had acknowledged, when it was killed."""
    reading, writing = os.pipe()
    child = os.fork()
    if child == 0:
        try:
            os.close(reading)
            tempfile.tempdir = str(place.folder / "tmp")
            for name, what in acts:
                os.write(writing, b"b")
                ACTS[name](place, what)
                os.write(writing, b"d")
            signal.pause()
        finally:
            os._exit(1)
    os.close(writing)
    said = os.read(reading, 1)
    time.sleep(wait_s)
    os.kill(child, signal.SIGKILL)
    said += b"".join(iter(lambda: os.read(reading, 1 << 16), b""))
    os.close(reading)
    os.waitpid(child, 0)
    return said.count(b"b"), said.count(b"d")


def look_over(place: Place, acknowledged: list[Acted], half: list[Acted]) -> list[str]:
    """What is wrong after the next start: lost, doubled, half there, left over."""
    sweep_leftovers()
    wrong: list[str] = []
    with opened_store(place.location) as store:
        wrong += [f"check: {problem}" for problem in check_store(store).problems]
        with store.reading() as connection:
            rows = connection.execute(select(ENTRY.c.key, ENTRY.c.body)).all()
    keys = Counter(row.key for row in rows)
    wrong += [f"doubled: {key}" for key, times in keys.items() if times > 1]
    people, own = list_names(place.store), set(own_equipment().receptors)
    for name, what in acknowledged:
        if not _is_there(place, name, what, keys, people, own):
            wrong.append(f"lost: {name} {what}")
    for name, what in half:
        if name == "import" and 0 < _rows_of(what, keys) < ROWS:
            wrong.append(f"half there: {name} {what}")
        if name == "restore":
            wrong += _half_restored(place, what)
        if name == "backup":
            wrong += _half_backed_up(place, what)
    wrong += [f"left over: {path}" for path in left_over(place, {row.body for row in rows})]
    forgotten = [what for name, what in acknowledged if name == "forget"]
    return wrong + [f"still named: {each}" for each in _still_named(place, forgotten[-6:])]


def _rows_of(what: str, keys: Counter[str]) -> int:
    return sum(f"{what}/{row}" in keys for row in range(ROWS))


def _is_there(
    place: Place, name: str, what: str, keys: Counter[str], people: dict[str, str], own: set[str]
) -> bool:
    """Whether what was acknowledged is as it should be."""
    answers: dict[str, Callable[[], bool]] = {
        "import": lambda: _rows_of(what, keys) == ROWS,
        "backup": lambda: zipfile.is_zipfile(place.folder / f"{what}.zip"),
        "restore": (place.folder / f"{what}.sqlite").exists,
        "name": lambda: people.get(what) == NAME + what,
        "forget": lambda: what not in people,
        "equipment": lambda: what in own,
        "removal": lambda: what not in own,
    }
    return answers.get(name, lambda: keys[what] == 1)()


def _half_restored(place: Place, what: str) -> Iterator[str]:
    file = place.folder / f"{what}.sqlite"
    if not file.exists():
        return
    with opened_store(store_location(str(file))) as store:
        found = check_store(store)
    if found.entries != 1 or found.problems:
        yield f"half there: restore {what}"


def _half_backed_up(place: Place, what: str) -> Iterator[str]:
    file = place.folder / f"{what}.zip"
    if file.exists() and (not zipfile.is_zipfile(file) or zipfile.ZipFile(file).testzip()):
        yield f"half there: backup {what}"


def left_over(place: Place, bodies: set[str]) -> Iterator[Path]:
    """Files that nobody will ever use."""
    yield from (place.folder / "tmp").iterdir()
    yield from place.folder.glob(f"xdg_data_home/bitewright/{NOTES}/*")
    named = {
        value
        for body in bodies
        for value in (json.loads(body).get("film"), json.loads(body).get("assessment"))
    }
    for path in place.location.folder.glob("??/*"):
        if path.name not in named:
            yield path
    for path in place.folder.rglob("*"):
        ending = next((each for each in SIDE_FILES if path.name.endswith(each)), None)
        is_alone = ending and not path.with_name(path.name.removesuffix(ending)).exists()
        if is_alone or path.name.endswith((".part", ".keeping")):
            yield path


def _still_named(place: Place, codes: list[str]) -> Iterator[str]:
    """Names that were forgotten for good and stand in some file of the store all the same.

    Backups made before hold them, as the command says.
    """
    names = [re.compile(re.escape((NAME + code).encode()) + rb"(?!\d)") for code in codes]
    for path in place.folder.rglob("*"):
        if path.is_file() and path.suffix != ".zip":
            held = path.read_bytes()
            yield from (f"{name.pattern!r} in {path.name}" for name in names if name.search(held))


__all__ = ["ACTS", "Kills", "Place", "killed_commands", "left_over", "look_over", "prepared"]
