"""Give every door what nobody would give: files, command lines, requests, messages.

    python -m benchmarks.fuzz                                       some hundreds, a minute
    python -m benchmarks.fuzz --inputs 100000 --workers 8 --out run   goes on where it was

Each input follows from its number and ``--seed``: one that found something comes again with
``--only command:1234``. A fault is whatever is no refusal in one sentence: a traceback, more than
a minute of processor time, something left behind, a sentence that cannot be printed or has no end.
Memory is the highest of any worker, with Python, our libraries and a server's own in it.
"""

import argparse
import faulthandler
import json
import os
import resource
import signal
import subprocess
import sys
import tempfile
import time
import traceback
from collections import Counter
from collections.abc import Callable, Iterator
from pathlib import Path
from random import Random
from types import FrameType
from typing import Any

SHARES = {
    **dict.fromkeys(("film",), 20),
    **dict.fromkeys(("marks", "belief", "scatter", "assessment"), 4),
    **dict.fromkeys(("mouth", "equipment", "plan", "scheme", "mapping", "table"), 3),
    **dict.fromkeys(("ratings", "school"), 2),
    **dict.fromkeys(("entries.jsonl", "entries.csv", "entries.parquet", "entries.zip"), 2),
    "command": 12,
    "page": 16,
    "socket": 4,
}
"""Of a hundred inputs, how many of each."""

Tries = Callable[[Random, Path], str]
BLOCK = 50
LONGEST_S = 60
"""Of processor time, so that a busy machine makes no fault."""

GIVEN_UP_S = 300
"""By the clock: what waits for ever uses no processor."""


class TooLongError(BaseException):
    """One input took longer than is allowed."""


def main() -> int:
    """Run, tell what was found; status 1 if anything was."""
    asked = argparse.ArgumentParser(description=__doc__)
    asked.add_argument("--inputs", type=int, default=400)
    asked.add_argument("--workers", type=int, default=1)
    asked.add_argument("--seed", type=int, default=1)
    asked.add_argument("--out", type=Path, help="folder of what is done and found; kept")
    asked.add_argument("--only", help="one kind of input, or one input such as film:17")
    asked.add_argument(
        "--seconds", type=float, default=1e9, help="stop after so long, to go on later"
    )
    asked.add_argument("--worker", type=int, help=argparse.SUPPRESS)
    given = asked.parse_args()
    with tempfile.TemporaryDirectory() as made:
        out = given.out or Path(made)
        out.mkdir(parents=True, exist_ok=True)
        given.out = out
        if given.worker is not None:
            work(given)
            return 0
        run_workers(given)
        return report(out)


def run_workers(given: argparse.Namespace) -> None:
    """Start the workers, and any again that ended in the middle of an input."""
    began = time.monotonic()
    command = [sys.executable, "-m", "benchmarks.fuzz", *_told(given)]
    running = {number: _started(command, number, given.out) for number in range(given.workers)}
    while running:
        time.sleep(0.5)
        for number, process in list(running.items()):
            if process.poll() is None:
                continue
            del running[number]
            if process.returncode and time.monotonic() - began < given.seconds:
                _note_end(given.out, number, process.returncode)
                running[number] = _started(command, number, given.out)


def _told(given: argparse.Namespace) -> list[str]:
    told = ["--inputs", str(given.inputs), "--workers", str(given.workers)]
    told += ["--seed", str(given.seed), "--out", str(given.out), "--seconds", str(given.seconds)]
    return [*told, "--only", given.only] if given.only else told


def _started(command: list[str], number: int, out: Path) -> "subprocess.Popen[bytes]":
    with (out / f"screen-{number}.txt").open("ab") as screen:
        return subprocess.Popen(  # noqa: S603  ourselves
            [*command, "--worker", str(number)], stdout=screen, stderr=screen
        )


def _note_end(out: Path, number: int, status: int) -> None:
    """A worker that ended by itself was killed by its input, or given up on it."""
    now = out / f"now-{number}.txt"
    if not now.exists():
        raise SystemExit(f"a worker cannot start: see {out}/screen-{number}.txt")
    kind, _, count = now.read_text().rpartition(":")
    what = f"the worker ended with status {status}: see screen-{number}.txt"
    _note(out, number, {"kind": kind, "input": int(count), "fault": what})


def work(given: argparse.Namespace) -> None:
    """One worker's share of the inputs."""
    sys.path.insert(0, str(Path(__file__).resolve().parents[1] / "src"))
    home = tempfile.TemporaryDirectory()
    for name in ("XDG_DATA_HOME", "XDG_CONFIG_HOME", "XDG_CACHE_HOME", "HOME"):
        os.environ[name] = str(Path(home.name) / "home" / name.lower())
    os.environ.setdefault("OPENBLAS_NUM_THREADS", "1")
    os.environ.pop("BITEWRIGHT_STORE", None)
    trials = all_trials(Path(home.name))
    signal.signal(signal.SIGPROF, _too_long)
    ends = time.monotonic() + given.seconds
    for kind, first, last in blocks(given):
        _try_block(given, trials[kind], (kind, first, last), home.name)
        if time.monotonic() > ends:
            break
    (given.out / f"now-{given.worker}.txt").unlink(missing_ok=True)
    home.cleanup()


def all_trials(folder: Path) -> dict[str, Any]:
    """Every kind of input with what tries it."""
    from benchmarks.fuzzing.commands import command_trial  # noqa: PLC0415
    from benchmarks.fuzzing.formats import format_trials  # noqa: PLC0415
    from benchmarks.fuzzing.pages import Pages, socket_trial  # noqa: PLC0415
    from benchmarks.fuzzing.sound import sound_content  # noqa: PLC0415

    sound = sound_content(folder)
    pages = Pages(sound, folder)
    more = {"command": command_trial(sound), "page": pages.trial, "socket": socket_trial(pages)}
    return format_trials(sound) | more


def blocks(given: argparse.Namespace) -> Iterator[tuple[str, int, int]]:
    """This worker's blocks that are not done yet."""
    if given.only and ":" in given.only:
        kind, _, count = given.only.rpartition(":")
        yield kind, int(count), int(count) + 1
        return
    done = {(row["kind"], row["first"]) for row in _rows(given.out, "done")}
    number = 0
    for kind, share in SHARES.items():
        wanted = given.inputs * share // sum(SHARES.values()) + 1
        for first in range(0, wanted, BLOCK):
            number += 1
            if given.only not in {None, kind} or number % given.workers != given.worker:
                continue
            if (kind, first) not in done:
                yield kind, first, min(first + BLOCK, wanted)


def _try_block(
    given: argparse.Namespace, trial: Tries, block: tuple[str, int, int], home: str
) -> None:
    kind, first, last = block
    outcomes: Counter[str] = Counter()
    began, slowest = time.monotonic(), 0.0
    for count in range(first, last):
        if any(row["kind"] == kind and row["input"] == count for row in _rows(given.out, "found")):
            outcomes["fault"] += 1
            continue
        (given.out / f"now-{given.worker}.txt").write_text(f"{kind}:{count}")
        started = time.monotonic()
        with tempfile.TemporaryDirectory(dir=home) as folder:
            outcomes[_tried(given, trial, (kind, count), Path(folder))] += 1
        slowest = max(slowest, time.monotonic() - started)
    peak_mb = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss // 1024
    row = {"kind": kind, "first": first, "inputs": last - first, "outcomes": dict(outcomes)}
    row |= {"s": round(time.monotonic() - began, 2), "slowest_s": round(slowest, 2)}
    _append(given.out / f"done-{given.worker}.jsonl", row | {"peak_mb": peak_mb})


def _tried(given: argparse.Namespace, trial: Tries, which: tuple[str, int], folder: Path) -> str:
    kind, count = which
    faulthandler.dump_traceback_later(GIVEN_UP_S, exit=True)
    signal.setitimer(signal.ITIMER_PROF, LONGEST_S)
    try:
        return str(trial(Random(f"{given.seed} {kind} {count}"), folder))  # noqa: S311
    except TooLongError:
        fault = f"longer than {LONGEST_S} s\n{traceback.format_exc()[-1500:]}"
    except Exception:  # noqa: BLE001  that is what is looked for
        fault = traceback.format_exc()[-3000:]
    finally:
        signal.setitimer(signal.ITIMER_PROF, 0)
        faulthandler.cancel_dump_traceback_later()
    _note(given.out, given.worker, {"kind": kind, "input": count, "fault": fault})
    return "fault"


def _too_long(_number: int, _frame: FrameType | None) -> None:
    raise TooLongError


def _note(out: Path, worker: int, row: dict[str, Any]) -> None:
    _append(out / f"found-{worker}.jsonl", row)


def _append(path: Path, row: dict[str, Any]) -> None:
    with path.open("a", encoding="utf-8") as file:
        file.write(json.dumps(row) + "\n")


def _rows(out: Path, name: str) -> list[dict[str, Any]]:
    rows = []
    for path in sorted(out.glob(f"{name}-*.jsonl")):
        lines = path.read_text(encoding="utf-8").splitlines(keepends=True)
        rows += [json.loads(line) for line in lines if line.endswith("\n")]
    return rows


def report(out: Path) -> int:
    """Print what was tried and found."""
    done, found = _rows(out, "done"), _rows(out, "found")
    print(f"{'input':16} {'tried':>7} {'refused':>8} {'taken':>7} {'slowest':>8}")
    for kind in SHARES:
        rows = [row for row in done if row["kind"] == kind]
        if not rows:
            continue
        outcomes = sum((Counter(row["outcomes"]) for row in rows), Counter[str]())
        slowest = max(row["slowest_s"] for row in rows)
        print(
            f"{kind:16} {sum(row['inputs'] for row in rows):7} {outcomes['refused']:8} "
            f"{outcomes['taken'] + outcomes['same']:7} {slowest:6.1f} s"
        )
    peak = max((row["peak_mb"] for row in done), default=0)
    total = sum(row["inputs"] for row in done)
    print(f"{total} inputs, {len(found)} faults, highest memory of a worker {peak} MB")
    for row in found[:20]:
        print(f"\n{row['kind']}:{row['input']}\n{row['fault']}")
    return 1 if found else 0


if __name__ == "__main__":
    sys.exit(main())
