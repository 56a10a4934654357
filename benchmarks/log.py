"""How long a log of many exposures takes to import and to read, and how much memory.

    python -m benchmarks.log --exposures 1000000
    python -m benchmarks.log --exposures 1000000 --store postgresql://postgres@127.0.0.1/empty

Each step runs in a fresh process, as a person's command would. Prints figures and judges nothing.
Aims: import in 120 s with a write-ahead log below 200 MB, a view in 1 s, 500 MB.
"""

import argparse
import os
import resource
import subprocess
import sys
import tempfile
import time
from collections.abc import Iterator
from contextlib import contextmanager, suppress
from pathlib import Path
from threading import Event, Thread

import numpy as np

EXPOSURES = 50_000
MAPPING = """\
format = "bitewright.csv-mapping/1"
separator = ";"
decimal = ","
date = "day.month.year"
key_prefix = "no-"

[columns]
key = "No"
day = "Date"
case = "Case"
operator = "Operator"
supervisor = "Teacher"
room = "Room"
receptor = "Receptor"
view = "View"
level = "Year"
reason = "Why"
faults = "Faults"
fault_size = "Size"
decision = "Kept"
kind = "Kind"
retake_of = "Of"
contact_error_deg = "Aim"
contact_error_sd_deg = "Aim sd"

[values.decision]
yes = "accepted"
no = "rejected"

[constants]
rating = "uk-2020:A"
holder = "ring-holder"
"""
HEADING = (
    "No;Date;Case;Operator;Teacher;Room;Receptor;View;Year;Why;Faults;Size;Kept;Kind;Of;Aim;Aim sd"
)
VIEWS = ("right-premolar", "right-molar", "left-premolar", "left-molar")


def main() -> None:
    """Make a table, import it, and read views, each in a process of its own."""
    asked = argparse.ArgumentParser(description=__doc__)
    asked.add_argument("--exposures", type=int, default=EXPOSURES)
    asked.add_argument("--store", help="an empty PostgreSQL database; a SQLite file if left out")
    asked.add_argument("--step", help=argparse.SUPPRESS)
    given = asked.parse_args()
    if given.step:
        print(STEPS[given.step]())
        return
    with tempfile.TemporaryDirectory() as folder:
        os.environ["XDG_CACHE_HOME"] = str(Path(folder) / "cache")
        os.environ["BITEWRIGHT_STORE"] = given.store or str(Path(folder) / "log.sqlite")
        os.environ["BENCH_FOLDER"] = folder
        write_table(Path(folder), given.exposures)
        kind = "PostgreSQL" if given.store else "SQLite"
        print(f"{given.exposures} exposures, {kind}")
        for step in ("import", "view", "view", "add", "view after a new entry", "import again"):
            in_a_fresh_process(step)


def in_a_fresh_process(step: str) -> None:
    """Time one step; the process prints its own time and the most memory it took."""
    started = time.perf_counter()
    answer = subprocess.run(  # noqa: S603 - this very script
        [sys.executable, __file__, "--step", step], capture_output=True, text=True, check=False
    )
    if answer.returncode:
        sys.exit(answer.stderr)
    print(f"{step}: {answer.stdout.strip()}; whole process {time.perf_counter() - started:.2f} s")


def write_table(folder: Path, exposures: int) -> None:
    """An invented clinic's table, in a clinic's own words."""
    draw = np.random.default_rng(7)
    (folder / "mapping.toml").write_text(MAPPING, encoding="utf-8")
    with (folder / "table.csv").open("w", encoding="utf-8") as table:
        table.write(f"{HEADING}\n")
        for number in range(exposures):
            bad = draw.random() < 0.13
            retake = number > 0 and draw.random() < 0.1
            cells = (
                *(number, f"{1 + number % 28:02d}.{1 + number // 28 % 12:02d}.2025"),
                *(f"C{number // 4}", f"S{draw.integers(90)}", f"T{number % 9}"),
                *(f"room {number % 12}", "plate-2" if number % 3 else "sensor-2"),
                *(VIEWS[number % 4], f"year {3 + number % 3}", "recall, higher risk"),
                *("overlap" if bad else "", "0,62" if bad else "", "no" if bad else "yes"),
                *("retake" if retake else "exposure", number - 1 if retake else ""),
                *(f"{draw.normal(0, 4):.2f}".replace(".", ","), "1,5"),
            )
            table.write(";".join(map(str, cells)) + "\n")


def step_import() -> str:
    """Import the table."""
    from bitewright.tasks.log.import_exposures import ImportRequest, import_exposures  # noqa: PLC0415

    folder = Path(os.environ["BENCH_FOLDER"])
    request = ImportRequest(table=folder / "table.csv", mapping=folder / "mapping.toml")
    started = time.perf_counter()
    with beside_the_store() as most:
        answer = import_exposures(request)
    seconds = time.perf_counter() - started
    beside = ", ".join(f"{name} {size / 1e6:.0f} MB" for name, size in most.items())
    counts = f"{answer.added} added, {answer.already_there} there"
    return f"{counts}, {seconds:.1f} s, {memory()}; beside the store at most: {beside}"


@contextmanager
def beside_the_store() -> Iterator[dict[str, int]]:
    """The most bytes that SQLite's write-ahead log and journal had, seen ten times a second."""
    store, most, ends = os.environ["BITEWRIGHT_STORE"], {"-wal": 0, "-journal": 0}, Event()

    def watch() -> None:
        while not ends.wait(0.1):
            for name, size in list(most.items()):
                with suppress(OSError):
                    most[name] = max(size, Path(f"{store}{name}").stat().st_size)

    watcher = Thread(target=watch)
    watcher.start()
    try:
        yield most
    finally:
        ends.set()
        watcher.join()


def step_add() -> str:
    """Record one more."""
    from bitewright.tasks.log.record_exposure import AddRequest, record_exposure  # noqa: PLC0415

    fields = {"day": "2025-06-01", "operator": "S3", "view": "right-molar", "decision": "accepted"}
    started = time.perf_counter()
    record_exposure(AddRequest(fields={**fields, "supervisor": "T1", "room": "room 5"}))
    return f"{time.perf_counter() - started:.3f} s, {memory()}"


def step_view() -> str:
    """Reject rate by operator and fault counts, under a filter not seen before."""
    from bitewright.audit.counted_by import Dimension  # noqa: PLC0415
    from bitewright.audit.faults import fault_pareto  # noqa: PLC0415
    from bitewright.audit.logged_exposures import Filter  # noqa: PLC0415
    from bitewright.log.days import day_number  # noqa: PLC0415
    from bitewright.tasks.log.logged_exposures import logged_exposures  # noqa: PLC0415

    started = time.perf_counter()
    log = logged_exposures()
    read = time.perf_counter() - started
    wanted = Filter(
        only={
            Dimension.ROOM: ("room 5", "room 6"),
            Dimension.VIEW: ("right-molar", "left-premolar"),
        },
        first_day=day_number("2025-03-01"),
        last_day=day_number("2025-10-31"),
    )
    taken = log.taken(wanted)
    operators = taken.code(Dimension.OPERATOR)
    rates = np.bincount(operators, weights=taken.rejected) / np.bincount(operators)
    fault_pareto(taken)
    seconds = time.perf_counter() - started
    return (
        f"{len(taken)} of {len(log)} exposures, highest rate {rates.max():.2f}, read {read:.3f} s, "
        f"whole view {seconds:.3f} s, {memory()}"
    )


def memory() -> str:
    """Most memory that this process took, and its processor time: a busy machine's clock lies."""
    most = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / 1024
    return f"{most:.0f} MiB, processor {time.process_time():.2f} s"


STEPS = {
    "import": step_import,
    "import again": step_import,
    "add": step_add,
    "view": step_view,
    "view after a new entry": step_view,
}

if __name__ == "__main__":
    main()
