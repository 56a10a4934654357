"""How often the best possible film answers each question, by kind of mouth, receptor and view.

Mouths of three kinds, seeds that no test uses; for each question the best aim of each view is
planned, and rated by UK 2020. Each line is kept as soon as it is done, and a run that was stopped
goes on with the same file; an hour or two of one core:

    python -m benchmarks.films_for_questions --mouths 200 --processes 2 --out FILE
    python -m builders.ratings_page best FILE

"""

import argparse
from pathlib import Path

from trials.best_films import best_films, cases, key_of, reasons_table, shares_table
from trials.kept_lines import run_cases


def main() -> None:
    """Run what is left to do, and print the shares."""
    parser = argparse.ArgumentParser(
        description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter
    )
    parser.add_argument("--mouths", type=int, default=3, help="of each kind")
    parser.add_argument("--processes", type=int, default=1)
    parser.add_argument("--out", type=Path, help="where lines are kept, and read from if there")
    given = parser.parse_args()
    lines = run_cases(
        given.out,
        cases(given.mouths),
        best_films,
        key=lambda case: case.key,
        key_of=key_of,
        processes=given.processes,
        told=lambda text: print(text, flush=True),
    )
    print(f"{shares_table(lines)}\n\n{reasons_table(lines)}")


if __name__ == "__main__":
    main()
