"""The wheel holds what it should and runs where no development tool is."""

import re
import shutil
import subprocess
import sys
import venv
import zipfile
from pathlib import Path

import pytest

import bitewright
from tests.repository.sources import TOP

pytestmark = pytest.mark.slow
NOT_SOURCE = ("*.egg-info", "__pycache__")
HELD = {".csv", ".json", ".py", ".toml", ".typ"}


@pytest.fixture(scope="module")
def wheel(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """Built from a copy, so that nothing left from an earlier build gets in."""
    copy = tmp_path_factory.mktemp("source")
    shutil.copytree(TOP / "src", copy / "src", ignore=shutil.ignore_patterns(*NOT_SOURCE))
    for name in ("pyproject.toml", "README.md", "LICENSE", "NOTICE"):
        shutil.copy(TOP / name, copy)
    run(sys.executable, "-m", "build", "--wheel", "--no-isolation", "--outdir", copy / "dist", copy)
    return next((copy / "dist").glob("bitewright-*.whl"))


@pytest.fixture(scope="module")
def command(wheel: Path, tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The installed command of an environment with the locked libraries and the wheel only."""
    folder = tmp_path_factory.mktemp("clean") / "venv"
    venv.create(folder, with_pip=True)
    pip = [folder / "bin" / "python", "-m", "pip", "install", "--quiet", "--no-compile"]
    run(*pip, "--require-hashes", "-r", TOP / "requirements.lock")
    run(*pip, "--no-deps", wheel)
    return folder / "bin" / "bitewright"


def test_wheel_holds_the_package_its_tables_and_its_notices(wheel: Path) -> None:
    held = set(zipfile.ZipFile(wheel).namelist())
    source = TOP / "src"
    data = [path for path in (source / "bitewright").rglob("*") if path.suffix in HELD]
    wanted = {path.relative_to(source).as_posix() for path in data} | {"bitewright/py.typed"}
    assert not wanted - held
    assert {"LICENSE", "NOTICE"} <= {Path(name).name for name in held}
    assert all(name.startswith(("bitewright/", "bitewright-")) for name in held)


def test_installed_command_tells_its_version(command: Path) -> None:
    assert bitewright.__version__ in run(command, "--version").stdout


def test_installed_without_development_tools(command: Path) -> None:
    python = command.with_name("python")
    for tool in ("pytest", "hypothesis", "mypy"):
        answer = subprocess.run([python, "-c", f"import {tool}"], capture_output=True, check=False)
        assert answer.returncode != 0, f"{tool} comes with the package"


def test_running_takes_little_room(command: Path) -> None:
    """Our choice of how much; what `make setup` adds for the pages and for developing is extra."""
    told = run(command.with_name("python"), "-m", "builders.installed_size", cwd=TOP).stdout
    megabytes = float(re.findall(r"([\d.]+) MB  in \d+ packages", told)[0])
    assert 300.0 < megabytes <= 700.0, told


def test_installed_command_runs_the_demo(command: Path, tmp_path: Path) -> None:
    run(command, "demo", "--out", tmp_path / "demo-out", cwd=tmp_path)
    assert any((tmp_path / "demo-out").iterdir())


def run(*words: object, cwd: Path | None = None) -> subprocess.CompletedProcess[str]:
    """Run a command to its end, showing all it said if it fails."""
    answer = subprocess.run(
        [str(word) for word in words], cwd=cwd, capture_output=True, text=True, check=False
    )
    assert answer.returncode == 0, f"{words}\n{answer.stdout}\n{answer.stderr}"
    return answer
