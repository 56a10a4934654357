"""The pages' own code that needs no page: queues and guards, run by a JavaScript engine alone."""

import shutil
import subprocess
from pathlib import Path

import pytest

TESTS = Path(__file__).parents[1] / "browser_code"


def test_queues_and_guards_of_the_pages(repository: Path, tmp_path: Path) -> None:
    node = shutil.which("node")
    if node is None:
        pytest.skip("no JavaScript engine: install Node.js 20 or newer")
    shutil.copytree(repository / "src/bitewright/web/static", tmp_path / "static")
    shutil.copytree(TESTS, tmp_path / "tests")
    (tmp_path / "package.json").write_text('{"type": "module"}', encoding="utf-8")
    files = sorted(str(path) for path in (tmp_path / "tests").glob("*.test.js"))
    assert files
    answer = subprocess.run(
        [node, "--test", *files], cwd=tmp_path, capture_output=True, text=True, check=False
    )
    assert answer.returncode == 0, answer.stdout + answer.stderr
