"""Long work kept line by line, so that a run that was stopped goes on with the same file."""

import json
from collections.abc import Callable, Hashable, Sequence
from concurrent.futures import ProcessPoolExecutor, as_completed
from pathlib import Path
from typing import Any, TypeVar

Case = TypeVar("Case")
Line = dict[str, Any]


def run_cases(
    path: Path,
    cases: Sequence[Case],
    done_by: Callable[[Case], Line],
    *,
    key: Callable[[Case], Hashable],
    key_of: Callable[[Line], Hashable],
    processes: int,
    told: Callable[[str], None] = lambda _: None,
) -> list[Line]:
    """Do the cases that a file holds no line of, keep each as it is done, and give all lines back.

    Parameters
    ----------
    path : Path
    cases : sequence
    done_by : function of a case
        A function of a module, so that other processes find it.
    key, key_of : functions
        What a case, and what a line of it, is known by.
    processes : int
    told : function of a line of text
        Called after each case.
    """
    there = {key_of(line) for line in read_lines(path)}
    left = [case for case in cases if key(case) not in there]
    with ProcessPoolExecutor(processes) as pool, path.open("a", encoding="utf-8") as file:
        running = [pool.submit(done_by, case) for case in left]
        for number, each in enumerate(as_completed(running), start=1):
            file.write(json.dumps(each.result()) + "\n")
            file.flush()
            told(f"{number} of {len(left)}")
    wanted = {key(case): place for place, case in enumerate(cases)}
    found = [line for line in read_lines(path) if key_of(line) in wanted]
    return sorted(found, key=lambda line: wanted[key_of(line)])


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
