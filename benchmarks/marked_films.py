"""How often what is said of a film from its marks is true: chances, grades, open contacts.

Films of drawn mouths in hands from steady to a learner's, each marked ten times. Each film is kept
as soon as it is done, and a run that was stopped goes on with the same file; with 500 films some
twenty minutes of one core:

    python -m benchmarks.marked_films --films 500 --sets 10 --processes 2 --out FILE
    python -m builders.ratings_page marked FILE

and for marks set more and less surely:

    python -m benchmarks.marked_films --films 500 --sets 10 --mark-sd 0.1 0.2 --out OTHER
    python -m builders.ratings_page noise OTHER

``--run`` draws other films: what is tuned is tuned on another run than the one that judges it.
"""

import argparse
import tempfile
from pathlib import Path

from trials.kept_lines import run_cases
from trials.marked_films import (
    MARK_SD_MM,
    calibration_table,
    cases,
    grades_table,
    key_of,
    marked_film,
    noise_table,
    open_sentences,
)


def main() -> None:
    """Run what is left to do, and print the tables."""
    parser = argparse.ArgumentParser(
        description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter
    )
    parser.add_argument("--films", type=int, default=24)
    parser.add_argument("--sets", type=int, default=10, help="of marks on each film")
    parser.add_argument(
        "--run",
        type=int,
        default=1,
        help="number of the run: other mouths and slips, of 500 films at most",
    )
    parser.add_argument(
        "--mark-sd",
        type=float,
        nargs="+",
        default=[MARK_SD_MM],
        metavar="MM",
        help="how far off its place a mark is set, standard deviation [mm]; several: their table",
    )
    parser.add_argument("--processes", type=int, default=1)
    parser.add_argument("--out", type=Path, help="where lines are kept, and read from if there")
    given = parser.parse_args()
    with tempfile.TemporaryDirectory() as folder:
        lines = run_cases(
            given.out or Path(folder) / "marked.jsonl",
            cases(given.run, films=given.films, sets=given.sets, marks_sd_mm=given.mark_sd),
            marked_film,
            key=lambda case: case.key,
            key_of=key_of,
            processes=given.processes,
            told=lambda text: print(text, flush=True),
        )
    tables = (calibration_table, grades_table, open_sentences)
    for table in tables if len(given.mark_sd) == 1 else (noise_table,):
        print(f"{table(lines)}\n")


if __name__ == "__main__":
    main()
