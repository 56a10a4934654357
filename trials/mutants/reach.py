"""Which test files reach which functions, and how long each takes: found once by running them."""

import hashlib
import json
import os
import shutil
import subprocess
import sys
import tempfile
import time
from collections.abc import Mapping, Sequence
from concurrent.futures import ThreadPoolExecutor
from dataclasses import asdict, dataclass
from pathlib import Path

from trials.mutants.drawing import SOURCE, TOP, Mutant

WORK = TOP / ".mutants"
BASE = WORK / "base"
REACH = WORK / "reach.json"
DEFAULT_TESTS = "not slow and not realdata and not browser"
NO_TESTS = 5
LEFT_OUT = {"browser", "realdata"}


@dataclass(frozen=True, slots=True, kw_only=True)
class Reach:
    """One test file.

    Parameters
    ----------
    digest : str
        Of its text.
    seconds : float
        It took, alone.
    passed : bool
        Without any bug.
    functions : tuple of str
        Each as module:function.
    """

    digest: str
    seconds: float
    passed: bool
    functions: tuple[str, ...]


def refresh_base() -> None:
    """A copy of the source that keeps its machine code from run to run."""
    for path in [each for each in BASE.rglob("*.*") if "__pycache__" not in each.parts]:
        if path.is_file() and not (SOURCE / path.relative_to(BASE)).exists():
            path.unlink()
    for path in sorted(SOURCE.rglob("*")):
        copy = BASE / path.relative_to(SOURCE)
        if path.is_file() and "__pycache__" not in path.parts and is_other(path, copy):
            copy.parent.mkdir(parents=True, exist_ok=True)
            shutil.copy2(path, copy)


def is_other(path: Path, copy: Path) -> bool:
    """Whether a copy differs from what it was made from."""
    return not copy.exists() or path.read_bytes() != copy.read_bytes()


def reach_of_tests(workers: int) -> dict[str, Reach]:
    """Every default test file; only those new or edited since are run."""
    known = {}
    if REACH.exists():
        rows = json.loads(REACH.read_text("utf-8"))
        known = {name: Reach(**{**row, "functions": tuple(row["functions"])}) for name, row in rows}
    files = test_files()
    missing = [each for each in files if each not in known or known[each].digest != digest(each)]
    with ThreadPoolExecutor(workers) as pool:
        for name, found in zip(missing, pool.map(_measured, missing), strict=True):
            known[name] = found
            print(f"reach: {name} {found.seconds:.1f} s, {len(found.functions)} functions")
            REACH.write_text(json.dumps([(k, asdict(v)) for k, v in known.items()]), "utf-8")
    return {name: known[name] for name in files}


def test_files() -> list[str]:
    """Paths of the test files of `make test`, from the top."""
    every = sorted((TOP / "tests").rglob("test_*.py"))
    return [str(path.relative_to(TOP)) for path in every if not LEFT_OUT & set(path.parts)]


def digest(name: str) -> str:
    """Of a test file's text."""
    return hashlib.sha256((TOP / name).read_bytes()).hexdigest()[:16]


def in_order(mutant: Mutant, reach: Mapping[str, Reach], first: str = "") -> list[str]:
    """Test files for a bug, those first that are likely and quick to catch it.

    The one that caught it before, its module's own, those that run its function, those that run
    its module, the rest.
    """
    stem = mutant.module.rsplit(".", 1)[1]
    function = f"{mutant.module}:{mutant.function}"

    def order(name: str) -> tuple[bool, bool, bool, bool, float]:
        found = reach[name].functions
        runs = function in found
        near = any(each.startswith(f"{mutant.module}:") for each in found)
        own = name.endswith(f"/test_{stem}.py")
        return name != first, not own, not runs, not near, reach[name].seconds

    return sorted((name for name in reach if reach[name].passed), key=order)


def run_tests(
    files: Sequence[str], source: Path, *, seconds: float | None = None, called: Path | None = None
) -> tuple[int | None, str]:
    """Exit status of pytest on these files, stopping at the first failure, and what it printed.

    None for the status where it took longer than ``seconds``.
    """
    options = ["-x", "-q", "--no-header", "-rfE", "--tb=line", "-p", "no:cacheprovider"]
    options += ["-p", "no:xdist", "--hypothesis-seed=0"]
    options += ["-p", "trials.mutants.called"] if called else []
    options += ["-m", DEFAULT_TESTS]
    with tempfile.TemporaryDirectory(prefix="mutant-") as own:
        environment = dict(os.environ) | {
            "PYTHONPATH": str(source),
            "HYPOTHESIS_STORAGE_DIRECTORY": f"{own}/hypothesis",
            **{f"XDG_{name}_HOME": f"{own}/{name}" for name in ("CACHE", "CONFIG", "DATA")},
            **({"BITEWRIGHT_CALLED": str(called)} if called else {}),
            "BITEWRIGHT_CALLED_IN": str(source),
        }
        for name in ("NUMBA_CACHE_DIR", "BITEWRIGHT_STORE", "CI"):
            environment.pop(name, None)
        command = [sys.executable, "-m", "pytest", *options, "--basetemp", f"{own}/tests"]
        process = subprocess.Popen(
            [*command, *files],
            cwd=TOP,
            env=environment,
            stdout=subprocess.PIPE,
            stderr=subprocess.STDOUT,
            text=True,
            start_new_session=True,
        )
        try:
            output, _ = process.communicate(timeout=seconds)
        except subprocess.TimeoutExpired:
            os.killpg(process.pid, 9)
            output, _ = process.communicate()
            return None, output
    return process.returncode, output


def _measured(name: str) -> Reach:
    with tempfile.TemporaryDirectory(prefix="mutant-") as own:
        called = Path(own) / "called.json"
        began = time.monotonic()
        status, output = run_tests([name], BASE, called=called)
        seconds = time.monotonic() - began
        if status not in {0, NO_TESTS}:
            print(output[-2000:])
        functions = json.loads(called.read_text("utf-8")) if called.exists() else []
    return Reach(
        digest=digest(name), seconds=seconds, passed=status == 0, functions=tuple(functions)
    )


__all__ = ["BASE", "WORK", "Reach", "digest", "in_order", "reach_of_tests", "refresh_base"]
