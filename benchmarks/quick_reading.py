"""How far a film's first marks tell what all of them do, and how long the reading takes.

    python -m benchmarks.quick_reading --films 500 --run 65 --processes 2 --out FILE
    python -m builders.quick_reading FILE

Films of known exposures in mouths not known, as in ``benchmarks.explain``: read after six marks,
eight, and so on to both edges at every contact, then further. Each is set beside the whole
explanation of all marks and beside the truth. Each film is kept as a line of JSON as soon as it is
read; started again with the same file, a run that was stopped goes on. ``--films 0`` times alone.
"""

import argparse
import statistics
import time
from pathlib import Path

import numpy as np

from bitewright.explanation.quick_reading import quick_reading
from trials.explained_films import Case, film_of
from trials.judged import estimated
from trials.kept_lines import run_cases
from trials.quick_readings import (
    assessed,
    edge_names,
    key,
    key_of,
    middle_plan,
    quick_film,
    with_marks,
)
from trials.quick_tables import agreement_table, settled_table

TIMED = 12


def main() -> None:
    """Run what is left to do, print the tables, and time a few."""
    parser = argparse.ArgumentParser(
        description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter
    )
    parser.add_argument("--films", type=int, default=100)
    parser.add_argument("--processes", type=int, default=1)
    parser.add_argument("--run", type=int, default=61, help="number of the run: other mouths")
    parser.add_argument("--out", type=Path, help="where lines are kept, and read from if there")
    given = parser.parse_args()
    cases = [Case(run=given.run, number=number) for number in range(given.films)]
    lines = run_cases(
        given.out, cases, quick_film, key=key, key_of=key_of, processes=given.processes, told=print
    )
    if lines:
        print(agreement_table(lines), settled_table(lines), sep="\n\n", end="\n\n")
    print(timed())


def timed() -> str:
    """How long measuring and reading the contacts' marks take, nothing else running."""
    taken = []
    for number in range(TIMED + 1):
        _, film, *_ = film_of(Case(run=5, number=4 * (number // 2) + number % 2))
        few = with_marks(film, edge_names(film))
        plan = middle_plan(estimated(few).films[0].station, few)
        start = time.perf_counter()
        assessed(few)
        quick_reading(estimated(few), plan, generator=np.random.default_rng(0))
        taken.append(time.perf_counter() - start)
    return (
        f"One quick reading {statistics.median(taken[1:]):.2f} s, the slowest "
        f"{max(taken[1:]):.2f} s, of {TIMED}."
    )


if __name__ == "__main__":
    main()
