"""A thousand drawn mouths: are they valid, are their teeth closed, and what do they cost?

``python -m benchmarks.drawn_mouths`` draws a few dozen of the population and prints a minute or two
later how many are valid and closed, how far solid teeth's overlaps lie from the outlines', and how
long outlines and a side of solid teeth take (processor time). With ``--out FILE`` each mouth is
kept as a line of JSON as soon as it is done; started again with the same file, a run that was
stopped goes on. The run behind what the docs say, and what writes it there, are

    python -m benchmarks.drawn_mouths --mouths 1000 --processes 32 --out FILE
    python -m builders.drawn_solids_page FILE
"""

import argparse
import tempfile
from pathlib import Path

from bitewright.mouth.population_mouth import Regularity
from trials.drawn_solids import agreement_table, cases, judged_mouth, key_of, mouths_table
from trials.kept_lines import run_cases


def main() -> None:
    """Run what is left to do, and print the tables of all."""
    parser = argparse.ArgumentParser(
        description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter
    )
    parser.add_argument("--mouths", type=int, default=24)
    parser.add_argument("--processes", type=int, default=1)
    parser.add_argument("--calm", action="store_true", help="calm mouths in their place")
    parser.add_argument("--out", type=Path, help="where lines are kept, and read from if there")
    given = parser.parse_args()
    regularity = Regularity.CALM if given.calm else Regularity.POPULATION
    with tempfile.TemporaryDirectory() as folder:
        lines = run_cases(
            given.out or Path(folder) / "mouths.jsonl",
            cases(given.mouths, regularity),
            judged_mouth,
            key=lambda case: case,
            key_of=key_of,
            processes=given.processes,
            told=lambda text: print(text, flush=True),
        )
    for text in (mouths_table(lines), agreement_table(lines)):
        print(f"{text}\n")


if __name__ == "__main__":
    main()
