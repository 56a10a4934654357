"""What proposing marks costs: the first film of a process, each further one, and their memory.

    python benchmarks/proposing.py
    python benchmarks/proposing.py FILM --receptor plate-2 --beside ../another-checkout/src

The film, the light box's sample if none is named, is copied and proposed on by `bitewright propose`
in processes of their own, once alone and once several times over, in turn with the other checkout's
if one is named; the least of each counts, for a busy machine only ever adds. Prints figures and
judges nothing; says whether both gave the same marks. Aims on two quiet cores: a first film 4 s and
600 MB, each further one 1.5 s.
"""

import argparse
import json
import os
import shutil
import subprocess
import sys
import tempfile
import time
from pathlib import Path
from typing import Any

import bitewright

ROUNDS = 3
FILMS = 6
SAMPLE = Path(bitewright.__file__).parent / "web/static/light_box/sample.png"
COMMAND = (sys.executable, "-m", "bitewright", "propose", "--json")
Used = tuple[float, float, float]


def main() -> None:
    """Run both, in turn, and tell."""
    asked = argparse.ArgumentParser(
        description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter
    )
    asked.add_argument("film", type=Path, nargs="?", default=SAMPLE)
    asked.add_argument("--receptor", help="where the film does not tell its pixel size")
    asked.add_argument("--beside", type=Path, help="the src folder of another checkout")
    asked.add_argument("--rounds", type=int, default=ROUNDS)
    asked.add_argument("--films", type=int, default=FILMS)
    given = asked.parse_args()
    sources = [Path(bitewright.__file__).parents[1]]
    sources += [given.beside.resolve()] if given.beside else []
    used: dict[tuple[Path, int], list[Used]] = {}
    marks = {}
    for _ in range(given.rounds):
        for source in sources:
            for films in (1, given.films):
                told, marks[source] = run(source, given.film, films, given.receptor)
                used.setdefault((source, films), []).append(told)
    for source in sources:
        first, all_of_them = (
            [min(each[k] for each in used[source, films]) for k in range(3)]
            for films in (1, given.films)
        )
        more = given.films - 1
        print(source)
        print(
            f"  first film  {first[0]:5.2f} s by the clock, {first[1]:5.2f} s of processor time, "
            f"{first[2]:.0f} MB"
        )
        print(
            f"  each further {(all_of_them[0] - first[0]) / more:4.2f} s by the clock, "
            f"{(all_of_them[1] - first[1]) / more:5.2f} s of processor time, "
            f"{all_of_them[2]:.0f} MB after {given.films}"
        )
    if given.beside:
        here, there = (marks[source] for source in sources)
        print(f"marks of both: {'the same' if here == there else 'not the same'}")


def run(source: Path, film: Path, films: int, receptor: str | None) -> tuple[Used, Any]:
    """Seconds by the clock and of processor time, megabytes at most; and the marks."""
    with tempfile.TemporaryDirectory() as folder:
        for number in range(films):
            shutil.copy(film, Path(folder) / f"film-{number}{film.suffix}")
        out = Path(folder) / "said.json"
        began = time.perf_counter()
        with out.open("wb") as file:
            process = subprocess.Popen(  # noqa: S603 - our own command
                (*COMMAND, folder, *(("--receptor", receptor) if receptor else ())),
                stdout=file,
                env=os.environ | {"PYTHONPATH": str(source)},
            )
            _, status, told = os.wait4(process.pid, 0)
        took = time.perf_counter() - began
        if status:
            sys.exit(f"{source} failed")
        kilobytes = told.ru_maxrss / (1024 if sys.platform == "darwin" else 1)
        document = json.loads(out.read_text("utf-8"))
        marks = document["films"][0]["proposal"]["marks"]["marks"]
        return (took, told.ru_utime + told.ru_stime, kilobytes / 1000), marks


if __name__ == "__main__":
    main()
