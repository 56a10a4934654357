"""How often the first cause is right once questions from the chairside were answered.

``python -m benchmarks.chairside --run 986 --films 80 --out FILE`` explains films of known single
faults with none, one and two simulated answers, once set up by the best set-up of their mouths and
once by the general plan, a few seconds a film on one core, and prints the table. Each film is kept
as a line of JSON; started again, a run goes on. Then

    python -m builders.chairside_page FILE

writes the table into docs/explain-accuracy.md.
"""

import argparse
import tempfile
from itertools import starmap
from pathlib import Path

from trials.chairside_answers import (
    Meant,
    answered_film,
    answers_table,
    fault_cases,
    of_run,
    read_answered,
    write_answered,
)


def main() -> None:
    """Run what is left to do, and print the table of all."""
    parser = argparse.ArgumentParser(
        description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter
    )
    parser.add_argument("--films", type=int, default=40)
    parser.add_argument("--run", type=int, default=1, help="number of the run: other mouths")
    parser.add_argument("--out", type=Path, help="where lines are kept, and read from if there")
    given = parser.parse_args()
    with tempfile.TemporaryDirectory() as folder:
        path = given.out or Path(folder) / "answered.jsonl"
        done = {(each.run, each.number, each.meant) for each in read_answered(path)}
        left = [
            (case, meant)
            for meant in Meant
            for case in fault_cases(given.run, given.films)
            if (case.run, case.number, meant) not in done
        ]
        write_answered(path, starmap(answered_film, left))
        print(answers_table(of_run(read_answered(path), given.run)))


if __name__ == "__main__":
    main()
