"""How soon the command line answers, and in how much memory, as ratios to importing numpy.

    python benchmarks/start.py
    python benchmarks/start.py --exposures 1000000

Each command runs several times in processes of their own, in turn with ``import numpy``; the
quickest of each counts, for a busy machine only ever adds. Prints figures and judges nothing.
Aims on a quiet machine: help of all commands 0.4 s and 90 MB, `log add` 0.7 s, `audit rates` of a
million exposures 0.8 s; numpy takes about 0.15 s there.
"""

import argparse
import os
import subprocess
import sys
import tempfile
import time
from pathlib import Path

EXPOSURES = 20_000
ROUNDS = 7
LOG = Path(__file__).with_name("log.py")
PYTHON = (sys.executable, "-c")
BITEWRIGHT = (sys.executable, "-m", "bitewright")
ENTRY = (
    "--operator",
    "S1",
    "--view",
    "right-molar",
    "--decision",
    "accepted",
    "--decided-by",
    "T1",
)
COMMANDS = {
    "import numpy": (*PYTHON, "import numpy"),
    "--help": (*BITEWRIGHT, "--help"),
    "--version": (*BITEWRIGHT, "--version"),
    "plan --help": (*BITEWRIGHT, "plan", "--help"),
    "log add": (*BITEWRIGHT, "log", "add", *ENTRY),
    "log list": (*BITEWRIGHT, "log", "list"),
    "audit rates": (*BITEWRIGHT, "audit", "rates"),
    "list receptors": (*BITEWRIGHT, "list", "receptors"),
}


def main() -> None:
    """Make a store, then time every command."""
    asked = argparse.ArgumentParser(description=__doc__)
    asked.add_argument("--exposures", type=int, default=EXPOSURES)
    asked.add_argument("--rounds", type=int, default=ROUNDS)
    given = asked.parse_args()
    with tempfile.TemporaryDirectory() as folder:
        os.environ["XDG_CACHE_HOME"] = str(Path(folder) / "cache")
        os.environ["BITEWRIGHT_STORE"] = str(Path(folder) / "log.sqlite")
        os.environ["BENCH_FOLDER"] = folder
        fill(folder, given.exposures)
        print(f"{given.exposures} exposures in the store, the quickest of {given.rounds} runs")
        tell([{name: run(words) for name, words in COMMANDS.items()} for _ in range(given.rounds)])


def fill(folder: str, exposures: int) -> None:
    """A store of so many exposures, made elsewhere: what is large here seems so in all below."""
    make = f"from pathlib import Path; import log; log.write_table(Path({folder!r}), {exposures})"
    for words in ((*PYTHON, make), (sys.executable, LOG, "--step", "import")):
        subprocess.run(words, cwd=LOG.parent, check=True, capture_output=True)  # noqa: S603 - our own script


def run(words: tuple[str, ...]) -> tuple[float, float, float]:
    """Seconds by the clock, of processor time, and megabytes at most."""
    began = time.perf_counter()
    process = subprocess.Popen(words, stdout=subprocess.DEVNULL)  # noqa: S603 - our own command
    _, status, used = os.wait4(process.pid, 0)
    took = time.perf_counter() - began
    if status:
        sys.exit(f"{' '.join(words)} failed")
    kilobytes = used.ru_maxrss / (1024 if sys.platform == "darwin" else 1)
    return took, used.ru_utime + used.ru_stime, kilobytes / 1000


def tell(rounds: list[dict[str, tuple[float, float, float]]]) -> None:
    """Print each command's figures, and what multiple of numpy's they are."""
    numpy = [min(each["import numpy"][k] for each in rounds) for k in range(3)]
    print(f"{'':16s} {'clock':>16s} {'processor':>16s} {'memory':>16s}")
    for name in COMMANDS:
        least = [min(each[name][k] for each in rounds) for k in range(3)]
        cells = [
            f"{value:6.2f} {unit} ({value / of:4.1f})"
            for value, of, unit in zip(least[:2], numpy[:2], ("s", "s"), strict=True)
        ]
        cells.append(f"{least[2]:5.0f} MB ({least[2] / numpy[2]:4.1f})")
        print(f"{name:16s} {cells[0]:>16s} {cells[1]:>16s} {cells[2]:>16s}")


if __name__ == "__main__":
    main()
