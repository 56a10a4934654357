"""Which test files reach which functions, and how long each takes: found once by running them."""

import hashlib
import json
import os
import shutil
import subprocess
import sys
import tempfile
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


class UnclearError(Exception):
    """pytest failed by itself, which says nothing of any bug."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Reach:
    """One test file.

    Parameters
    ----------
    digest : str
        Of its text.
    seconds : float
        It took.
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
    known = kept_reach()
    files = test_files()
    missing = [each for each in files if each not in known or known[each].digest != digest(each)]
    print(f"running {len(missing)} test files without any bug, to see what they reach", flush=True)
    shares = [share for share in (missing[k::workers] for k in range(workers)) if share]
    with ThreadPoolExecutor(workers) as pool:
        for found in pool.map(_measured, shares):
            known |= found
            REACH.parent.mkdir(exist_ok=True)
            REACH.write_text(json.dumps({k: asdict(v) for k, v in known.items()}), "utf-8")
    failed = [name for name in files if not known[name].passed]
    if failed:
        print(f"left out, for they fail without any bug: {', '.join(failed)}", flush=True)
    return {name: known[name] for name in files}


def kept_reach() -> dict[str, Reach]:
    """What was found before, of files as they were then."""
    if not REACH.exists():
        return {}
    rows = json.loads(REACH.read_text("utf-8")).items()
    return {name: Reach(**{**row, "functions": tuple(row["functions"])}) for name, row in rows}


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
    """Exit status of pytest on these files, None after so many seconds, and what it printed.

    It stops at the first failure; not if what is called is to be written to a file.
    """
    options = ["-q", "--no-header", "-rfE", "--tb=line", "-p", "no:cacheprovider"]
    options += ["-p", "no:xdist", "--hypothesis-seed=0"]
    options += ["-p", "trials.mutants.called"] if called else ["-x"]
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


def _measured(files: Sequence[str]) -> dict[str, Reach]:
    digests = {name: digest(name) for name in files}
    with tempfile.TemporaryDirectory(prefix="mutant-") as own:
        called = Path(own) / "called.json"
        _, output = run_tests(files, BASE, called=called)
        if not called.exists():
            raise UnclearError(output[-2000:])
        found = json.loads(called.read_text("utf-8"))
    none = {"seconds": 0.0, "passed": True, "functions": []}
    return {
        name: Reach(
            digest=digests[name],
            seconds=found.get(name, none)["seconds"],
            passed=found.get(name, none)["passed"],
            functions=tuple(found.get(name, none)["functions"]),
        )
        for name in files
    }


__all__ = ["BASE", "WORK", "Reach", "UnclearError", "in_order", "reach_of_tests", "refresh_base"]
