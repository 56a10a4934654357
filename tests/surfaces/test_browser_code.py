"""The pages' own code that needs no page: queues and guards, run by a JavaScript engine alone."""

import os
import re
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
    names = sorted(path.name for path in (tmp_path / "tests").glob("*.test.js"))
    assert names
    # One engine for all files: starting one for each takes longer than all their tests.
    every = "".join(f'import "./tests/{name}";\n' for name in names)
    (tmp_path / "every.test.js").write_text(every, encoding="utf-8")
    answer = subprocess.run(
        [node, "--test", "--test-reporter=tap", "every.test.js"],
        cwd=tmp_path,
        env={**os.environ, "NODE_OPTIONS": "--experimental-vm-modules"},
        capture_output=True,
        text=True,
        check=False,
    )
    assert answer.returncode == 0, answer.stdout + answer.stderr
    (asked,) = re.findall(r"^# tests (\d+)$", answer.stdout, re.MULTILINE)
    written = [path.read_text(encoding="utf-8") for path in TESTS.glob("*.test.js")]
    assert int(asked) >= sum(len(re.findall(r"^test\(", text, re.MULTILINE)) for text in written)
