"""Long work kept line by line, so that a run that was stopped goes on with the same file."""

import json
import math
import time
from collections.abc import Callable, Hashable, Iterator, Sequence
from concurrent.futures import FIRST_COMPLETED, Future, ProcessPoolExecutor, wait
from dataclasses import dataclass
from itertools import islice
from pathlib import Path
from typing import Any, TypeVar

Case = TypeVar("Case")
Done = TypeVar("Done")
Line = dict[str, Any]


@dataclass(frozen=True, slots=True, kw_only=True)
class Failed:
    """Why a case has no line, in words: not every exception comes back from another process."""

    reason: str


def attempted(done_by: Callable[[Case], Done], case: Case) -> Done | Failed:
    """What comes of a case, or why nothing did: caught where it is done.

    An exception that cannot be put together again elsewhere would end every process with it.
    """
    try:
        return done_by(case)
    except Exception as failed:  # noqa: BLE001 - hours of other cases are not lost with it
        return Failed(reason=f"{type(failed).__name__}: {failed}")


def run_cases(
    path: Path | None,
    cases: Sequence[Case],
    done_by: Callable[[Case], Line],
    *,
    key: Callable[[Case], Hashable],
    key_of: Callable[[Line], Hashable],
    processes: int,
    told: Callable[[str], None] = lambda _: None,
    minutes: float = math.inf,
) -> list[Line]:
    """Do the cases that a file holds no line of, keep each as it is done, and give all lines back.

    A case that fails ends no run: it is told, has no line, and is tried again when the run goes on.

    Parameters
    ----------
    path : Path or None
        None keeps nothing.
    cases : sequence
    done_by : function of a case
        A function of a module, so that other processes find it.
    key, key_of : functions
        What a case, and what a line of it, is known by.
    processes : int
    told : function of a line of text
        Called after each case.
    minutes : float
        After so many no case is begun.

    Returns
    -------
    list of dict
        The lines of these cases that are there, in the order of the cases.
    """
    wanted = {key(case): place for place, case in enumerate(cases)}
    found = [line for line in _begun(path) if key_of(line) in wanted] if path else []
    there = {key_of(line) for line in found}
    left = [case for case in cases if key(case) not in there]
    until = time.monotonic() + 60.0 * minutes
    for number, (case, done) in enumerate(_done(left, done_by, processes, until), start=1):
        line = done.result()
        if isinstance(line, Failed):
            told(f"{number} of {len(left)}: {key(case)} failed: {line.reason}")
            continue
        found.append(line)
        if path is not None:
            with path.open("a", encoding="utf-8") as file:
                file.write(json.dumps(line) + "\n")
        told(f"{number} of {len(left)}")
    return sorted(found, key=lambda line: wanted[key_of(line)])


def _done(
    left: Sequence[Case], done_by: Callable[[Case], Line], processes: int, until: float
) -> Iterator[tuple[Case, "Future[Line | Failed]"]]:
    """Each case as it ends; none is begun after a moment of the monotonic clock. [s]"""
    waiting = iter(left)
    with ProcessPoolExecutor(processes) as pool:
        running: dict[Future[Line | Failed], Case] = {}
        while True:
            if time.monotonic() < until:
                for case in islice(waiting, max(2 * processes - len(running), 0)):
                    running[pool.submit(attempted, done_by, case)] = case
            if not running:
                return
            for each in wait(running, return_when=FIRST_COMPLETED).done:
                yield running.pop(each), each


def _begun(path: Path) -> list[Line]:
    """The lines of a file that is to be gone on with; one cut short is taken out of it."""
    found = read_lines(path)
    if path.exists() and not path.read_text(encoding="utf-8").endswith("\n"):
        path.write_text("".join(json.dumps(line) + "\n" for line in found), encoding="utf-8")
    return found


def read_lines(path: Path) -> list[Line]:
    """The lines of a file; one cut short at the end is left out."""
    found = []
    texts = path.read_text(encoding="utf-8").splitlines() if path.exists() else []
    for number, text in enumerate(texts, start=1):
        try:
            found.append(json.loads(text))
        except json.JSONDecodeError:
            if number < len(texts):
                raise
    return found


__all__ = ["Failed", "Line", "attempted", "read_lines", "run_cases"]
