"""What each package may import from outside, and what keeps the science pure.

The layers themselves are import-linter contracts in pyproject.toml, run by ``make lint``.
"""

import ast
import subprocess
import sys
from pathlib import Path

import grimp
import pytest

from tests.repository.sources import SCIENCE, TOP, science_files, slips, tree

STANDARD = frozenset(sys.stdlib_module_names)
IMPURE = {
    *("asyncio", "concurrent", "multiprocessing", "threading"),  # a task hands over an executor
    *("datetime", "time"),  # dates come in as arguments
    *("glob", "os", "pathlib", "pickle", "shelve", "shutil", "sqlite3", "tempfile"),
    *("http", "socket", "ssl", "subprocess", "signal", "urllib"),
    *("random", "secrets", "uuid"),  # generators come in as arguments
    "logging",
}
PURE = (STANDARD - IMPURE) | {"numpy", "scipy"}
ALLOWED = {
    "bitewright.cli": STANDARD | {"numpy", "typer", "rich", "click"},
    "bitewright.web": STANDARD | {"numpy", "anyio", "fastapi", "jinja2", "starlette", "uvicorn"},
    "bitewright.tasks": STANDARD | {"numpy", "fsrs"},
    "bitewright.files": STANDARD
    | {"numpy", "PIL", "jsonschema", "platformdirs", "pyarrow", "python_calamine", "tomli_w"},
    "bitewright.dicom": STANDARD | {"numpy", "pydicom"},
    "bitewright.network": STANDARD | {"numpy", "onnxruntime"},
    "bitewright.store": STANDARD | {"numpy", "sqlalchemy", "alembic", "platformdirs"},
    "bitewright.keeping": STANDARD | {"platformdirs"},
    "bitewright.report": STANDARD | {"numpy", "scipy", "PIL", "jinja2", "typst"},
    "bitewright.solids": PURE | {"manifold3d", "skimage"},
    "bitewright.compiled": PURE | {"numba"},
    "bitewright.figure_tables": PURE,
    "bitewright.kept_text": PURE,
    "bitewright.nearest_name": PURE,
    "bitewright.row_bands": PURE,
    "bitewright.steps": PURE,
    "bitewright.__main__": STANDARD,
} | {f"bitewright.{name}": PURE for name in SCIENCE if name != "solids"}


@pytest.fixture(scope="module")
def graph() -> grimp.ImportGraph:
    return grimp.build_graph("bitewright", include_external_packages=True, cache_dir=None)


def test_each_package_imports_only_the_outside_libraries_it_may(graph: grimp.ImportGraph) -> None:
    ours = sorted(name for name in graph.modules if name.startswith("bitewright."))
    strangers = [
        f"{module} imports {outside}"
        for module in ours
        for outside in sorted(graph.find_modules_directly_imported_by(module))
        if not outside.startswith("bitewright") and outside not in allowed_in(module)
    ]
    assert not strangers, "\n".join(strangers)


def allowed_in(module: str) -> frozenset[str]:
    package = ".".join(module.split(".")[:2])
    assert package in ALLOWED, f"{package} is in no layer: add it to the contracts and to this test"
    return frozenset(ALLOWED[package])


def test_import_contracts_hold() -> None:
    command = [str(Path(sys.executable).with_name("lint-imports")), "--no-cache"]
    answer = subprocess.run(command, cwd=TOP, capture_output=True, text=True, check=False)
    assert answer.returncode == 0, answer.stdout + answer.stderr


def test_science_opens_no_file_and_keeps_no_global_random_state() -> None:
    found = slips(science_files(), impure_calls)
    assert not found, f"reaches outside itself: {found}"


def impure_calls(path: Path) -> list[str]:
    """Calls of a file that open files or use random numbers nobody seeded, with their lines."""
    return [
        f"line {node.lineno}: {ast.unparse(node.func)}"
        for node in ast.walk(tree(path))
        if isinstance(node, ast.Call) and is_impure(ast.unparse(node.func))
    ]


def is_impure(call: str) -> bool:
    """Files by name, and numpy's module-level random numbers. A seeded Generator is fine."""
    files = {"open", "print", "input", "np.load", "np.save", "np.loadtxt", "np.genfromtxt"}
    generators = {"np.random.Generator", "np.random.default_rng", "np.random.SeedSequence"}
    return call in files or (call.startswith("np.random.") and call not in generators)
