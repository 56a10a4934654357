"""What happens when the clock is set back, the disk is full, and several write at once: a table.

    python -m benchmarks.awkward
    python -m benchmarks.awkward --case disk

Full disks need somebody who may mount a small one (root on Linux) and, for PostgreSQL, its
programs; without either that line says so. docs/keeping.md holds the table of the last run.
"""

import argparse
import os
import shutil
import socket
import subprocess
import sys
import tempfile
import threading
from collections import Counter
from collections.abc import Callable, Iterator
from contextlib import contextmanager, suppress
from pathlib import Path

SMALL_MB, SERVER_MB = 12, 110
SECONDS = 4.0
TABS, PROCESSES, EACH = 4, 2, 40


def main() -> None:
    """Run the cases, or one, and print a table."""
    asked = argparse.ArgumentParser(description=__doc__)
    asked.add_argument("--case", choices=sorted(CASES), action="append")
    given = asked.parse_args()
    sys.path.insert(0, str(Path(__file__).resolve().parents[1]))
    print("| what | what happened |\n| --- | --- |")
    for name in given.case or CASES:
        with tempfile.TemporaryDirectory() as folder:
            use_folders(Path(folder))
            what, case = CASES[name]
            print(f"| {what} | {case(Path(folder))} |", flush=True)


def use_folders(folder: Path) -> None:
    """Let everything of one's own lie under a folder."""
    for name in ("XDG_DATA_HOME", "XDG_CONFIG_HOME", "XDG_CACHE_HOME"):
        os.environ[name] = str(folder / name.lower())


def clock(folder: Path) -> str:
    """Entries written under a clock that goes back by six years."""
    from bitewright.tasks.log import record_exposure as module  # noqa: PLC0415
    from bitewright.tasks.log.keep_store import look_over_store  # noqa: PLC0415
    from bitewright.tasks.log.read_log import show_exposure  # noqa: PLC0415

    place = str(folder / "log.sqlite")
    right = module.now_utc
    add(place, "before")
    module.now_utc = lambda: "2020-01-01T00:00:00Z"
    add(place, "after")
    request = module.ChangeRequest(
        exposure="before", by="T1", why="wrong", fields={"room": "R9"}, store=place
    )
    module.correct_exposure(request)
    module.now_utc = right
    problems = look_over_store(place)[0].problems
    state = show_exposure("before", place).state
    return (
        f"entries keep the order of their numbers, the correction counts (room {state['room']}), "
        f"the check finds {len(problems)} problems; the times written are the clock's"
    )


def add(place: str, key: str) -> None:
    """Record an exposure."""
    from bitewright.tasks.log.record_exposure import AddRequest, record_exposure  # noqa: PLC0415
    from tests.stores import PLAIN  # noqa: PLC0415

    record_exposure(AddRequest(fields={**PLAIN, "note": "n" * 400}, key=key, store=place))


def until_refused(act: Callable[[int], object], most: int = 100_000) -> tuple[int, str]:
    """How often an act was acknowledged before it was refused, and in which words."""
    from bitewright.errors import BitewrightError  # noqa: PLC0415

    for count in range(most):
        try:
            act(count)
        except BitewrightError as error:
            return count, next(said for word, said in REFUSALS.items() if word in str(error))
    return most, "never refused"


@contextmanager
def small_disk(folder: Path, megabytes: int) -> Iterator[Path | None]:
    """A disk of a few megabytes; None where none may be mounted."""
    place = folder / "small"
    place.mkdir()
    command = ["mount", "-t", "tmpfs", "-o", f"size={megabytes}m,mode=777", "tmpfs", str(place)]
    may = shutil.which("mount") is not None
    if not may or subprocess.run(command, check=False, capture_output=True).returncode:  # noqa: S603
        yield None
        return
    try:
        yield place
    finally:
        subprocess.run(["umount", "-l", str(place)], check=False)  # noqa: S603, S607


def disk(folder: Path) -> str:
    """A store, a light box and own equipment on a disk that fills up."""
    from bitewright.tasks.catalogue.own_equipment import own_equipment  # noqa: PLC0415
    from bitewright.tasks.light_box.light_box import open_own_light_box  # noqa: PLC0415
    from bitewright.tasks.log.back_up_store import back_up_store  # noqa: PLC0415
    from bitewright.tasks.log.keep_store import look_over_store  # noqa: PLC0415
    from tests.killed_commands import put_equipment  # noqa: PLC0415

    with small_disk(folder, SMALL_MB) as small:
        if small is None:
            return "not tried: no small disk may be mounted here"
        use_folders(small)
        place = str(small / "log.sqlite")
        add(place, "first")
        box = open_own_light_box()
        put_equipment(None, "own-0")  # type: ignore[arg-type]
        filler = small / "filler"
        entries, said = until_refused(lambda count: add(place, f"e-{count}"), 50)
        with suppress(OSError), filler.open("wb") as file:
            while True:
                file.write(b"x" * 4096)
                file.flush()
        more, said = until_refused(lambda count: add(place, f"m-{count}"))
        films, film_said = until_refused(lambda count: upload(box, f"f-{count}"))
        _, own_said = until_refused(lambda count: put_equipment(None, f"own-{count + 1}"))  # type: ignore[arg-type]
        _, backup_said = until_refused(lambda _: back_up_store(small / "b.zip", place))
        left = [path.name for path in small.rglob("*.part")]
        filler.unlink()
        add(place, "again")
        found = look_over_store(place)[0]
        whole = found.entries == entries + more + 2 and len(box.films()) == films
        whole = whole and "own-0" in own_equipment().receptors
        return (
            f"refused in a sentence: entry ({said}), film ({film_said}), own entry ({own_said}), "
            f"backup ({backup_said}); {len(left)} half files; with room again it goes on, "
            f"{'nothing acknowledged is lost' if whole else 'SOMETHING IS LOST'}, "
            f"{len(found.problems)} problems"
        )


def upload(box: object, label: str) -> object:
    """Put a film on the light box."""
    from datetime import UTC, datetime  # noqa: PLC0415

    from tests.killed_server import PICTURE  # noqa: PLC0415

    return box.add(  # type: ignore[attr-defined]
        PICTURE,
        now=datetime.now(UTC),
        attributes={},
        sha256="0" * 64,
        label=label,
        visit="v",
        columns=200,
        rows=150,
        bits=16,
        pixel_mm=None,
        source="PNG",
        caveats=(),
    )


def server_disk(folder: Path) -> str:
    """A PostgreSQL server whose disk fills up."""
    from bitewright.errors import BitewrightError  # noqa: PLC0415
    from bitewright.tasks.log.keep_store import look_over_store  # noqa: PLC0415

    programs = sorted(Path("/usr/lib/postgresql").glob("*/bin"))
    with small_disk(folder, SERVER_MB) as small:
        if small is None or not programs:
            return "not tried: no small disk may be mounted here, or there is no PostgreSQL"
        folder.chmod(0o755)
        server = Server(programs[-1], small)
        server.make()
        server.start()
        try:
            place = f"postgresql://postgres@127.0.0.1:{server.port}/postgres"
            for count in range(20):
                add(place, f"e-{count}")
            with suppress(OSError), (small / "filler").open("wb") as file:
                while True:
                    file.write(b"x" * 65536)
                    file.flush()
            more, said = until_refused(lambda count: add(place, f"m-{count}"))
            (small / "filler").unlink()
            server.start()
            found = look_over_store(place)[0]
            try:
                add(place, "again")
                goes_on = "with room again it goes on"
            except BitewrightError as error:
                goes_on = f"afterwards: {error}"
            lost = 20 + more - found.entries
            return (
                f"refused in a sentence ({said}) after {20 + more} entries; {goes_on}; "
                f"{max(lost, 0)} acknowledged lost, {len(found.problems)} problems"
            )
        finally:
            server.stop()


class Server:
    """A PostgreSQL server of one's own."""

    def __init__(self, programs: Path, folder: Path) -> None:
        self.programs, self.folder = programs, folder
        with socket.create_server(("127.0.0.1", 0)) as free:
            self.port = free.getsockname()[1]

    def make(self) -> None:
        """Make its files, with a write-ahead log as small as it may be."""
        self._run("initdb", "-A", "trust", "-U", "postgres", "-E", "UTF8", "--wal-segsize=1")

    def start(self) -> None:
        """Start it where it does not run."""
        options = (
            f"-p {self.port} -c listen_addresses=127.0.0.1 -c unix_socket_directories={self.folder}"
            " -c min_wal_size=2MB -c max_wal_size=8MB -c shared_buffers=8MB"
        )
        self._run("pg_ctl", "-w", "-l", "/dev/null", "-o", options, "start", check=False)

    def stop(self) -> None:
        """Stop it at once."""
        self._run("pg_ctl", "-m", "immediate", "stop", check=False)

    def _run(self, program: str, *words: str, check: bool = True) -> None:
        as_server = ["runuser", "-u", "postgres", "--"] if os.geteuid() == 0 else []
        command = [
            *as_server,
            str(self.programs / program),
            "-D",
            str(self.folder / "data"),
            *words,
        ]
        subprocess.run(command, check=check, stdout=subprocess.DEVNULL, stderr=subprocess.DEVNULL)  # noqa: S603


def servers(folder: Path) -> str:
    """Two servers on one data folder, three pages on each."""
    from tests import killed_server as module  # noqa: PLC0415
    from tests.killed_commands import prepared  # noqa: PLC0415

    place, pages = prepared(folder / "in"), module.Pages()
    ports, children = [], []
    for _ in range(2):
        listening = socket.create_server(("127.0.0.1", 0))
        ports.append(int(listening.getsockname()[1]))
        children.append(module.forked_server(listening))
        listening.close()
        module.wait_for(ports[-1])
    threads = [
        threading.Thread(target=module.use, args=(ports[each % 2], pages, f"p-{each}", each))
        for each in range(6)
    ]
    for thread in threads:
        thread.start()
    threading.Event().wait(SECONDS)
    for child in children:
        os.kill(child, 9)
        os.waitpid(child, 0)
    for thread in threads:
        thread.join()
    wrong = module.look_over_pages(place, pages)
    told = ", ".join(f"{count} {name}" for name, count in sorted(pages.asked.items()))
    return f"both work; acknowledged: {told}; {len(wrong)} lost, doubled or left over"


def tabs(folder: Path) -> str:
    """Four tabs that save marks of one film, and put entries of own equipment."""
    from bitewright.store.light_box import MarksChangedError, open_light_box  # noqa: PLC0415
    from bitewright.tasks.catalogue.own_equipment import own_equipment  # noqa: PLC0415
    from tests.killed_commands import put_equipment  # noqa: PLC0415

    box = open_light_box(folder / "box.sqlite")
    film = upload(box, "film")
    count: Counter[str] = Counter()

    def work(tab: int) -> None:
        for turn in range(EACH):
            version = box.film(film.id).marks_version  # type: ignore[attr-defined]
            try:
                box.change_marks(film.id, {"note": f"{tab} {turn}"}, version=version)  # type: ignore[attr-defined]
                count["saved"] += 1
            except MarksChangedError:
                count["told"] += 1
            put_equipment(None, f"own-{tab}-{turn}")  # type: ignore[arg-type]

    threads = [threading.Thread(target=work, args=(tab,)) for tab in range(TABS)]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join()
    kept = box.film(film.id).marks_version  # type: ignore[attr-defined]
    own = len(own_equipment().receptors)
    return (
        f"{TABS * EACH} saves of one film's marks: {count['saved']} kept as {kept} versions, "
        f"{count['told']} told to load the film again; {own} of {TABS * EACH} own entries there"
    )


def processes(folder: Path) -> str:
    """Two processes that record exposures and put entries of own equipment."""
    from bitewright.tasks.catalogue.own_equipment import own_equipment  # noqa: PLC0415
    from bitewright.tasks.log.keep_store import look_over_store  # noqa: PLC0415
    from tests.killed_commands import put_equipment  # noqa: PLC0415

    place = str(folder / "log.sqlite")
    children = []
    for process in range(PROCESSES):
        child = os.fork()
        if child == 0:
            for turn in range(EACH):
                add(place, f"e-{process}-{turn}")
                put_equipment(None, f"own-{process}-{turn}")  # type: ignore[arg-type]
            os._exit(0)
        children.append(child)
    codes = [os.waitstatus_to_exitcode(os.waitpid(child, 0)[1]) for child in children]
    found, own = look_over_store(place)[0], len(own_equipment().receptors)
    asked = PROCESSES * EACH
    return (
        f"{codes.count(0)} of {PROCESSES} ended well; {found.entries} of {asked} entries and {own} "
        f"of {asked} own entries there, {len(found.problems)} problems"
    )


REFUSALS = {
    "no room left": "no room left",
    "No space left": "no room left",
    "disk is full": "no room left",
    "could not be written": "could not be written",
    "cannot be used": "could not be written",
    "cannot be opened": "the server cannot be reached",
    "": "otherwise",
}
"""What a refusal says of the disk, in short."""

CASES: dict[str, tuple[str, Callable[[Path], str]]] = {
    "clock": ("the clock is set back by six years", clock),
    "disk": (f"a disk of {SMALL_MB} MB is full", disk),
    "server disk": (f"the disk of a PostgreSQL server, {SERVER_MB} MB, is full", server_disk),
    "servers": ("two servers on one data folder, three pages on each", servers),
    "tabs": (f"{TABS} tabs at once", tabs),
    "processes": (f"{PROCESSES} processes at once", processes),
}


if __name__ == "__main__":
    main()
