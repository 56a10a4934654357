"""Plants bugs one by one into copies of the source and runs the tests until one fails."""

import hashlib
import json
import shutil
import time
from collections.abc import Iterable, Iterator, Mapping
from concurrent.futures import ThreadPoolExecutor, as_completed
from dataclasses import asdict, dataclass
from pathlib import Path
from queue import SimpleQueue

from trials.mutants.drawing import Mutant, path_of
from trials.mutants.reach import BASE, NO_TESTS, WORK, Reach, UnclearError, in_order, run_tests

RESULTS = WORK / "results.jsonl"
FIRST_SECONDS = 10.0
"""The quickest tests are run together up to so long, then up to four times that, then the rest."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Verdict:
    """What became of one bug.

    Parameters
    ----------
    name : str
    by : str
        As `failure` says.
    file : str
        Its file.
    seconds : float
    source, tests : str
        Digests of the module without the bug; and of the file, or of all where all passed.
    """

    name: str
    by: str
    file: str
    seconds: float
    source: str
    tests: str


def tried(
    planted: Iterable[Mutant], reach: Mapping[str, Reach], workers: int
) -> Iterator[tuple[Mutant, Verdict, bool]]:
    """Each bug with its verdict, and whether that was known before this run."""
    known = verdicts()
    waiting = []
    for mutant in planted:
        found = known.get(mutant.name)
        if found and _stands(mutant, found, reach):
            yield mutant, found, True
        else:
            waiting.append((mutant, found.file if found else ""))
    free: SimpleQueue[int] = SimpleQueue()
    for worker in range(workers):
        free.put(worker)

    def one(mutant: Mutant, first: str) -> tuple[Mutant, Verdict]:
        worker = free.get()
        try:
            return mutant, _tried(mutant, reach, first, WORK / f"copy-{worker}")
        finally:
            free.put(worker)

    with ThreadPoolExecutor(workers) as pool:
        for future in as_completed([pool.submit(one, *each) for each in waiting]):
            mutant, verdict = future.result()
            with RESULTS.open("a", encoding="utf-8") as file:
                file.write(json.dumps(asdict(verdict)) + "\n")
            yield mutant, verdict, False


def verdicts() -> dict[str, Verdict]:
    """The last one of each bug tried so far."""
    if not RESULTS.exists():
        return {}
    rows = [json.loads(line) for line in RESULTS.read_text("utf-8").splitlines()]
    return {row["name"]: Verdict(**row) for row in rows}


def _stands(mutant: Mutant, found: Verdict, reach: Mapping[str, Reach]) -> bool:
    """Whether neither the module nor the tests were edited since."""
    return found.source == _source(mutant) and found.tests == _tests(found.file, reach)


def _source(mutant: Mutant) -> str:
    return hashlib.sha256(path_of(mutant.module).read_bytes()).hexdigest()[:16]


def _tests(file: str, reach: Mapping[str, Reach]) -> str:
    if file:
        return reach[file].digest if file in reach else ""
    every = "".join(reach[name].digest for name in sorted(reach))
    return hashlib.sha256(every.encode()).hexdigest()[:16]


def _tried(mutant: Mutant, reach: Mapping[str, Reach], first: str, copy: Path) -> Verdict:
    began = time.monotonic()
    _plant(mutant, copy)
    by, file = "", ""
    for batch in _batches(in_order(mutant, reach, first), reach):
        usual = sum(reach[name].seconds for name in batch)
        status, output = run_tests(batch, copy, seconds=90.0 + 6.0 * usual)
        by = failure(status, output)
        if not by:
            continue
        file = by.split("::")[0] if by.startswith("tests") else batch[0]
        break
    return Verdict(
        name=mutant.name,
        by=by,
        file=file,
        seconds=round(time.monotonic() - began, 1),
        source=_source(mutant),
        tests=_tests(file, reach),
    )


def _plant(mutant: Mutant, copy: Path) -> None:
    """A fresh copy with the bug, and without machine code that could come from before it."""
    shutil.rmtree(copy, ignore_errors=True)
    shutil.copytree(BASE, copy)
    path = copy.joinpath(*mutant.module.split(".")).with_suffix(".py")
    path.write_text(mutant.text, "utf-8")
    of_module = path.parent.glob(f"__pycache__/{path.stem}.*")
    # A figure at a module's top may stand in the machine code of any other.
    for cached in of_module if mutant.function else copy.rglob("__pycache__/*.nb?"):
        cached.unlink()


def _batches(files: list[str], reach: Mapping[str, Reach]) -> Iterator[list[str]]:
    batch: list[str] = []
    seconds, most = 0.0, FIRST_SECONDS
    for name in files:
        batch.append(name)
        seconds += reach[name].seconds
        if seconds >= most:
            yield batch
            batch, seconds, most = [], 0.0, 4.0 * most
    if batch:
        yield batch


def failure(status: int | None, output: str) -> str:
    """The test that failed, or what else stopped the tests; "" where all passed.

    Raises
    ------
    UnclearError
        If pytest failed and no test did.
    """
    if status in {0, NO_TESTS}:
        return ""
    lines = [line.split(" ")[1] for line in output.splitlines() if line.startswith(TELLING)]
    if lines:
        return lines[0]
    if status is None:
        return "too long"
    if status < 0 or "while loading conftest" in output:
        return "no test could end"
    raise UnclearError(output[-2000:])


TELLING = ("FAILED tests", "ERROR tests")


__all__ = ["UnclearError", "Verdict", "failure", "tried", "verdicts"]
