"""Some thousand inputs that nobody would give, of every format and at every door."""

import re
import subprocess
import sys
from pathlib import Path

import pytest

TOP = Path(__file__).resolve().parents[2]
INPUTS = 3000
MOST_MB = 1536


@pytest.mark.slow
def test_every_odd_input_is_taken_or_refused_in_a_sentence(tmp_path: Path) -> None:
    command = ["benchmarks.fuzz", "--inputs", str(INPUTS), "--seed", "7", "--out", str(tmp_path)]
    told = subprocess.run(
        [sys.executable, "-m", *command], cwd=TOP, capture_output=True, text=True, check=False
    )
    counted = re.search(r"(\d+) inputs, (\d+) faults, .* (\d+) MB", told.stdout)
    assert counted is not None, told.stdout + told.stderr
    assert int(counted[1]) >= INPUTS
    assert int(counted[2]) == 0, told.stdout
    assert int(counted[3]) <= MOST_MB
    assert told.returncode == 0
