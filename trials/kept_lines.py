"""Long work kept line by line, so that a run that was stopped goes on with the same file."""

import json
import math
import time
from collections.abc import Callable, Hashable, Iterator, Sequence
from concurrent.futures import FIRST_COMPLETED, Future, ProcessPoolExecutor, wait
from itertools import islice
from pathlib import Path
from typing import Any, TypeVar

Case = TypeVar("Case")
Line = dict[str, Any]


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
        failed = done.exception()
        if failed is not None:
            told(f"{number} of {len(left)}: {key(case)} failed: {type(failed).__name__}: {failed}")
            continue
        line = done.result()
        found.append(line)
        if path is not None:
            with path.open("a", encoding="utf-8") as file:
                file.write(json.dumps(line) + "\n")
        told(f"{number} of {len(left)}")
    return sorted(found, key=lambda line: wanted[key_of(line)])


def _done(
    left: Sequence[Case], done_by: Callable[[Case], Line], processes: int, until: float
) -> Iterator[tuple[Case, "Future[Line]"]]:
    """Each case as it ends; none is begun after a moment of the monotonic clock. [s]"""
    waiting = iter(left)
    with ProcessPoolExecutor(processes) as pool:
        running: dict[Future[Line], Case] = {}
        while True:
            if time.monotonic() < until:
                for case in islice(waiting, max(2 * processes - len(running), 0)):
                    running[pool.submit(done_by, case)] = case
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


__all__ = ["Line", "read_lines", "run_cases"]
