"""The running server killed while pages upload, save and remove, and commands write beside it.

Pages are three threads that ask over HTTP; a child process runs commands. Server and commands are
killed at the same moment. Then comes the next start, and everything is looked at.
"""

import json
import os
import signal
import socket
import threading
import time
from collections import Counter
from contextlib import suppress
from dataclasses import dataclass, field
from http.client import HTTPConnection, HTTPException
from io import BytesIO
from pathlib import Path
from typing import Any

import numpy as np
import uvicorn
from PIL import Image

from bitewright.equipment.catalogue import packaged_catalogue
from bitewright.equipment.entries import entry_to_mapping
from bitewright.tasks.catalogue.own_equipment import own_equipment
from bitewright.tasks.light_box.light_box import film_of, open_own_light_box
from bitewright.web.application import create_app
from bitewright.web.pages.light_box import opened_box
from tests.killed_commands import ACTS, Acted, Kills, Place, look_over

PAGES = 3
MOST_WAIT_S = 0.8
HOST = "127.0.0.1"
READY_S = 30.0
VIEW = "right-molar"


@dataclass(kw_only=True)
class Pages:
    """What pages were answered, over all kills.

    Parameters
    ----------
    labels : dict of str to int
        Films that were acknowledged, by label, with their number.
    notes : dict of int to (int, str)
        By film, the newest acknowledged version of its marks and its note.
    removed, maybe_removed : set of str
        Films acknowledged as gone, and those asked to be removed.
    own, gone : set of str
        Entries of own equipment acknowledged as kept, and as removed.
    asked : Counter
        Acknowledged requests by kind.
    open : int
        Requests that were not answered when the server was killed last.
    """

    labels: dict[str, int] = field(default_factory=dict)
    notes: dict[int, tuple[int, str]] = field(default_factory=dict)
    removed: set[str] = field(default_factory=set)
    maybe_removed: set[str] = field(default_factory=set)
    own: set[str] = field(default_factory=set)
    gone: set[str] = field(default_factory=set)
    asked: Counter[str] = field(default_factory=Counter)
    open: int = 0


def killed_server(place: Place, *, times: int, seed: int) -> Kills:
    """Kill server and commands, look at everything after each kill, and sum up."""
    draw, count, pages = np.random.default_rng(seed), Kills(), Pages()
    acknowledged: list[Acted] = []
    for kill in range(times):
        before = pages.asked.copy()
        begun, done = _killed_once(place, pages, draw, f"s{seed}-{kill}")
        acknowledged += done
        count.acknowledged.update(pages.asked - before)
        count.acknowledged.update(name for name, _ in done)
        count.kills += 1
        count.in_work += pages.open > 0 or bool(begun)
        count.wrong += look_over(place, acknowledged, begun) + look_over_pages(place, pages)
    return count


def _killed_once(
    place: Place, pages: Pages, draw: np.random.Generator, prefix: str
) -> tuple[list[Acted], list[Acted]]:
    """Acts of commands that had begun when all was killed, and those acknowledged before."""
    listening = socket.create_server((HOST, 0))
    port = int(listening.getsockname()[1])
    server = forked_server(listening)
    listening.close()
    wait_for(port)
    acts = [("add", f"{prefix}-1"), ("import", f"{prefix}-2"), ("backup", f"{prefix}-3")]
    commands, said = _forked_commands(place, acts)
    pages.open = 0
    threads = [
        threading.Thread(
            target=use, args=(port, pages, f"{prefix}-{page}", int(draw.integers(1 << 30)))
        )
        for page in range(PAGES)
    ]
    for thread in threads:
        thread.start()
    time.sleep(float(draw.uniform(0.02, MOST_WAIT_S)))
    for child in (server, commands):
        os.kill(child, signal.SIGKILL)
    for child in (server, commands):
        os.waitpid(child, 0)
    for thread in threads:
        thread.join()
    told = b"".join(iter(lambda: os.read(said, 1 << 16), b""))
    os.close(said)
    begun, done = told.count(b"b"), told.count(b"d")
    return acts[done:begun], acts[:done]


def forked_server(listening: socket.socket) -> int:
    child = os.fork()
    if child == 0:
        try:
            opened_box.cache_clear()
            config = uvicorn.Config(create_app(), log_level="critical", ws="none")
            uvicorn.Server(config).run(sockets=[listening])
        finally:
            os._exit(1)
    return child


def _forked_commands(place: Place, acts: list[Acted]) -> tuple[int, int]:
    reading, writing = os.pipe()
    child = os.fork()
    if child == 0:
        try:
            os.close(reading)
            for name, what in acts:
                os.write(writing, b"b")
                ACTS[name](place, what)
                os.write(writing, b"d")
            signal.pause()
        finally:
            os._exit(1)
    os.close(writing)
    return child, reading


def wait_for(port: int) -> None:
    ends = time.monotonic() + READY_S
    while time.monotonic() < ends:
        with suppress(OSError, HTTPException):
            if _asked(port, "GET", "/light-box/films")[0] == 200:
                return
        time.sleep(0.02)
    raise TimeoutError(port)


def _asked(port: int, method: str, path: str, body: bytes | None = None) -> tuple[int, Any]:
    connection = HTTPConnection(HOST, port, timeout=20)
    try:
        headers = {"origin": f"http://{HOST}:{port}", "content-type": "application/json"}
        connection.request(method, path, body, headers)
        answer = connection.getresponse()
        data = answer.read()
        return answer.status, json.loads(data) if data else None
    finally:
        connection.close()


def use(port: int, pages: Pages, prefix: str, seed: int) -> None:
    """What one page does until the server is gone."""
    draw, mine = np.random.default_rng(seed), []
    with suppress(OSError, HTTPException, ValueError):
        for turn in range(10_000):
            kind = int(draw.integers(6))
            pages.open += 1
            if kind < 2 or not mine:
                mine += _upload(port, pages, f"{prefix}-{turn}")
            elif kind < 4:
                _save_marks(port, pages, mine[int(draw.integers(len(mine)))], f"{prefix}-{turn}")
            elif kind == 4:
                _put_equipment(port, pages, f"{prefix}-{turn}", remove=turn % 2 == 0)
            elif len(mine) > 2:
                _remove(port, pages, mine.pop(0))
            pages.open -= 1


def _picture() -> bytes:
    grey = np.random.default_rng(1).integers(0, 65535, (150, 200)).astype(np.uint16)
    file = BytesIO()
    Image.fromarray(grey).save(file, "PNG")
    return file.getvalue()


PICTURE = _picture()


def _upload(port: int, pages: Pages, label: str) -> list[str]:
    """The film's label, if it was acknowledged."""
    status, film = _asked(port, "PUT", f"/light-box/films?label={label}&visit=v", PICTURE)
    if status != 201:
        return []
    pages.labels[label] = film["id"]
    pages.asked["upload"] += 1
    return [label]


def _save_marks(port: int, pages: Pages, label: str, note: str) -> None:
    number = pages.labels[label]
    version, _ = pages.notes.get(number, (0, ""))
    body = json.dumps({"version": version, "marks": {"view": VIEW, "note": note}}).encode()
    status, film = _asked(port, "PUT", f"/light-box/films/{number}/marks", body)
    if status == 200:
        pages.notes[number] = (film["marks_version"], note)
        pages.asked["save"] += 1


def _put_equipment(port: int, pages: Pages, name: str, *, remove: bool) -> None:
    entry = entry_to_mapping(packaged_catalogue().receptor("sensor-2"))
    own = {"source": "measured by us", "confidence": "measured", "name": name}
    path = f"/catalogue/receptors/{name}"
    if _asked(port, "PUT", path, json.dumps(entry | own).encode())[0] == 204:
        pages.asked["own entry"] += 1
        if not remove:
            pages.own.add(name)
        elif _asked(port, "DELETE", path)[0] == 204:
            pages.gone.add(name)


def _remove(port: int, pages: Pages, label: str) -> None:
    pages.maybe_removed.add(label)
    if _asked(port, "DELETE", f"/light-box/films/{pages.labels[label]}")[0] == 204:
        pages.removed.add(label)
        pages.asked["removal"] += 1


def look_over_pages(place: Place, pages: Pages) -> list[str]:
    """What is wrong with light box and own equipment after the next start."""
    wrong: list[str] = []
    box = open_own_light_box()
    films = {film.id: film for film in box.films()}
    labels = Counter(film.label for film in films.values())
    wrong += [f"doubled film: {label}" for label, times in labels.items() if times > 1]
    wrong += [
        f"lost film: {label}"
        for label in pages.labels.keys() - pages.maybe_removed
        if labels[label] != 1
    ]
    wrong += [f"film is back: {label}" for label in pages.removed if labels[label]]
    for film in films.values():
        version, note = pages.notes.get(film.id, (0, ""))
        if film.marks_version < version:
            wrong.append(f"lost marks: {film.label}")
        elif film.marks_version == version and film.marks.get("note", "") != note:
            wrong.append(f"other marks: {film.label}")
        if not film.is_as_written:
            wrong.append(f"not as written: {film.label}")
    for film in list(films.values())[-8:]:
        if film_of(box, film).image.columns != film.columns:
            wrong.append(f"picture: {film.label}")
    pictures = {int(path.stem) for path in box.pixel_folder.glob("*.png")}
    if pictures != films.keys():
        wrong.append(f"pictures without films or films without: {pictures ^ films.keys()}")
    own = set(own_equipment().receptors)
    wrong += [f"lost own entry: {name}" for name in pages.own - own]
    wrong += [f"own entry is back: {name}" for name in pages.gone & own]
    wrong += [f"left over: {path}" for path in _parts(place.folder)]
    return wrong


def _parts(folder: Path) -> list[Path]:
    return [path for path in folder.rglob("*.part") if path.exists()]


__all__ = ["Pages", "forked_server", "killed_server", "look_over_pages", "use", "wait_for"]
