"""Write what docs/ratings.md says of best films and of marked ones, from the runs that told it.

Run ``python -m builders.ratings_page best FILE`` in the top folder of the project with the file of
``python -m benchmarks.films_for_questions --out FILE``, ``python -m builders.ratings_page marked
FILE`` with that of ``python -m benchmarks.marked_films --out FILE``, and ``noise FILE`` if that run
had ``--mark-sd 0.1 0.2``. It writes the tables between the comments that mark them, and keeps the
runs' first lines in `trials/rated_films.json`: a test makes these again and fails when the code has
changed since.
"""

import argparse
import json
from collections.abc import Sequence
from pathlib import Path

from builders.tables_in_pages import write_tables
from trials.best_films import KINDS, reasons_table, shares_table
from trials.best_films import key_of as best_key
from trials.kept_lines import Line, read_lines
from trials.marked_films import calibration_table, grades_table, noise_table, open_sentences
from trials.marked_films import key_of as marked_key

TOP = Path(__file__).resolve().parents[1]
PAGE = TOP / "docs" / "ratings.md"
RECORD = TOP / "trials" / "rated_films.json"
SAID = "written by builders/ratings_page.py"


def main() -> None:
    """Write the tables of one run and its first lines, and say where."""
    parser = argparse.ArgumentParser(description=__doc__.partition("\n")[0])
    parser.add_argument("run", choices=("best", "marked", "noise"))
    parser.add_argument("file", type=Path, help="lines of the run's --out")
    given = parser.parse_args()
    lines = read_lines(given.file)
    if given.run == "best":
        lines.sort(key=best_key)
        tables = {"shares": shares_table(lines), "reasons": reasons_table(lines)}
        first = first_of_each_kind(lines)
    elif given.run == "noise":
        lines.sort(key=marked_key)
        tables = {"noise": noise_table(lines)}
        first = [line for line in lines if line["number"] == lines[0]["number"]]
    else:
        lines.sort(key=marked_key)
        tables = {
            "calibration": calibration_table(lines),
            "grades": grades_table(lines),
            "open": open_sentences(lines),
        }
        first = lines[:1]
    write_tables(PAGE, tables, said=SAID)
    kept = json.loads(RECORD.read_text(encoding="utf-8")) if RECORD.exists() else {}
    text = json.dumps(kept | {given.run: first}, indent=1, sort_keys=True)
    RECORD.write_text(text + "\n", encoding="utf-8")
    print(f"wrote {PAGE} and {RECORD}")


def first_of_each_kind(lines: Sequence[Line]) -> list[Line]:
    """The first line of each kind of mouth."""
    return [next(line for line in lines if line["kind"] == kind) for kind in KINDS]


if __name__ == "__main__":
    main()
