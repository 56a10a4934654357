"""The project's own files, read once: what the other tests here walk over."""

import ast
from collections.abc import Callable, Iterable, Iterator
from functools import cache
from pathlib import Path

TOP = Path(__file__).resolve().parents[2]
PACKAGE = TOP / "src" / "bitewright"
SCIENCE = (
    "words",
    "film",
    "solids",
    "physics",
    "audit",
    "competence",
    "sheets",
    "teaching",
    "log",
    "visit",
    "proposing",
    "explanation",
    "planning",
    "estimation",
    "marking",
    "quality",
    "exposing",
    "equipment",
    "mouth",
    "space",
    "errors",
)
NOT_OURS = {"build", "demo-out", "dist", "node_modules", "out", "venv", "__pycache__"}


@cache
def project_files() -> tuple[Path, ...]:
    """Every file of the project that a person wrote or generated on purpose."""
    return tuple(sorted(files_under(TOP)))


def files_under(folder: Path) -> Iterator[Path]:
    """Files below a folder, without environments, caches and what was built."""
    for path in folder.iterdir():
        if path.is_dir() and is_ours(path):
            yield from files_under(path)
        elif path.is_file() and path.name != ".git":  # a worktree has a file of that name
            yield path


def is_ours(folder: Path) -> bool:
    """Whether a folder belongs to the project."""
    hidden = folder.name.startswith(".") and folder.name != ".ci"
    return not hidden and folder.name not in NOT_OURS and folder.suffix != ".egg-info"


def python_files(*folders: str) -> list[Path]:
    """Our Python files under these folders of the project."""
    tops = [TOP / folder for folder in folders]
    return [
        path
        for path in project_files()
        if path.suffix == ".py" and any(path.is_relative_to(top) for top in tops)
    ]


def science_files() -> list[Path]:
    """The Python files of the science layer."""
    folders = (f"src/bitewright/{name}" for name in SCIENCE[:-1])
    return [*python_files(*folders), PACKAGE / "errors.py"]


def package_of(path: Path) -> str:
    """The name of the package directly under bitewright that a file belongs to."""
    return path.relative_to(PACKAGE).with_suffix("").parts[0]


@cache
def tree(path: Path) -> ast.Module:
    """A file's syntax tree."""
    return ast.parse(path.read_text(encoding="utf-8"), filename=str(path))


def slips(paths: Iterable[Path], slips_of: Callable[[Path], list[str]]) -> dict[str, list[str]]:
    """What is wrong with each file that has something wrong; empty where all is well."""
    return {named(path): found for path in paths if (found := slips_of(path))}


def named(path: Path) -> str:
    """A file as a reader would name it."""
    return path.relative_to(TOP).as_posix()
