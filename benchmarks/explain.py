r"""How well films of known exposures in unknown mouths are explained, and what that costs in time.

``python -m benchmarks.explain --films 48`` prints the tables of docs/explain-accuracy.md for a few
dozen films, a minute or two on one core. With ``--out FILE`` each film is kept as a line of JSON as
soon as it is explained; started again with the same file, a run that was stopped goes on. The whole
run behind that page is

    python -m benchmarks.explain --films 1008 --crowns 1008 --beyond 288 --faults 240 --run 78 \
        --processes 16 --out FILE
    python -m builders.explain_accuracy FILE

``--crowns`` films real crowns of a population, which needs the shared data.

Reference for the estimate: the plain answer "the tube is where this operator's tube always is",
that is no movement at all.
"""

import argparse
import statistics
import tempfile
import time
from collections.abc import Iterator, Sequence
from concurrent.futures import ProcessPoolExecutor, ThreadPoolExecutor, as_completed
from pathlib import Path

from bitewright.row_bands import Threads
from trials.explained_films import (
    Case,
    ExplainedFilm,
    Kind,
    append_films,
    cases,
    explained_film,
    film_of,
    left_to_do,
    of_kind,
    read_films,
    with_one_fault,
)
from trials.explained_tables import (
    confusion_table,
    direction_sentences,
    errors_table,
    failures_table,
    faults_table,
    held_table,
    kinds_table,
    marks_table,
    told_table,
)
from trials.judged import estimated, explained
from trials.kept_lines import Failed, attempted
from trials.next_film_tables import every_next_film_table, next_film_table

TIMED, TOLD_EVERY = 12, 20
OF_A_KIND = (errors_table, held_table, told_table, direction_sentences, failures_table)


def main() -> None:
    """Run what is left to do, and print the tables of all."""
    parser = argparse.ArgumentParser(
        description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter
    )
    parser.add_argument("--films", type=int, default=48)
    parser.add_argument("--crowns", type=int, default=0)
    parser.add_argument("--beyond", type=int, default=0)
    parser.add_argument("--faults", type=int, default=24)
    parser.add_argument("--processes", type=int, default=1)
    parser.add_argument("--run", type=int, default=1, help="number of the run: other mouths")
    parser.add_argument("--out", type=Path, help="where lines are kept, and read from if there")
    given = parser.parse_args()
    films = {Kind.OUTLINES: given.films, Kind.CROWNS: given.crowns, Kind.BEYOND: given.beyond}
    wanted = cases(given.run, films=films, faults=given.faults)
    with tempfile.TemporaryDirectory() as folder:
        path = given.out or Path(folder) / "explained.jsonl"
        left = left_to_do(wanted, read_films(path))
        with (
            ProcessPoolExecutor(given.processes) as pool,
            path.open("a", encoding="utf-8") as file,
        ):
            append_films(file, _as_they_come(pool, left))
        every = read_films(path)
    print(kinds_table(every), end="\n\n")
    for kind in (Kind.OUTLINES, Kind.CROWNS):
        own = of_kind(every, kind)
        for make in (*OF_A_KIND, next_film_table, every_next_film_table):
            if own:
                print(f"{kind.value}\n{make(own)}\n")
    print(marks_table(every), end="\n\n")
    if with_one_fault(every):
        print(faults_table(with_one_fault(every)), end="\n\n")
        print(confusion_table(with_one_fault(every)), end="\n\n")
    _print_times()


def _as_they_come(pool: ProcessPoolExecutor, left: Sequence[Case]) -> Iterator[ExplainedFilm]:
    """Films as soon as they are explained; one that fails is told, and the others go on."""
    of = {pool.submit(attempted, explained_film, case): case for case in left}
    for done, future in enumerate(as_completed(of), start=1):
        made = future.result()
        if isinstance(made, Failed):
            print(
                f"{of[future]} failed: {made.reason}; started again, it is tried anew", flush=True
            )
        else:
            yield made
        if done % TOLD_EVERY == 0:
            print(f"{done} of {len(left)} films done", flush=True)


def _print_times() -> None:
    """Time estimates alone and whole explanations, nothing else running."""
    estimates, wholes = [], []
    with ThreadPoolExecutor(2) as pool:
        threads = Threads(count=2, map=pool.map)
        for number in range(TIMED + 1):
            _, film, _, generator = film_of(Case(run=5, number=number))
            start = time.perf_counter()
            estimated(film)
            middle = time.perf_counter()
            explained(film, generator, threads=threads)
            estimates.append(middle - start)
            wholes.append(time.perf_counter() - middle)
    # The first makes the population's directions, which are kept.
    alone, whole = (statistics.median(each[1:]) for each in (estimates, wholes))
    print(
        f"One estimate {alone:.2f} s, one explanation {whole:.2f} s, medians of {TIMED} on 2 "
        f"threads; the first in a process {estimates[0]:.1f} s."
    )


if __name__ == "__main__":
    main()
