"""Write what docs/visit.md says of how often the ledger of a visit is right.

Run in the top folder of the project, with the file that the benchmark made:

    python -m benchmarks.visits --visits 500 --run 1 --out visits.jsonl
    python -m builders.visit_page visits.jsonl

It writes the tables between the comments that mark them, and keeps the first visits of the run: a
test makes these again and fails when the code has changed since.
"""

import argparse
import json
from pathlib import Path

from benchmarks.visits import read_visits
from builders.tables_in_pages import write_tables
from trials.visit_tables import chances_table, hard_table, right_table

TOP = Path(__file__).resolve().parents[1]
PAGE = TOP / "docs" / "visit.md"
FIRST = TOP / "trials" / "first_visits.json"
RUN, KEPT = 1, 3


def main() -> None:
    """Write the tables and the first visits, and say where."""
    asked = argparse.ArgumentParser(description=__doc__.partition("\n")[0])
    asked.add_argument("visits", type=Path)
    visits = [each for each in read_visits(asked.parse_args().visits) if each["run"] == RUN]
    visits.sort(key=lambda each: int(each["number"]))
    tables = {
        "right": right_table(visits),
        "hard": hard_table(visits),
        "chances": chances_table(visits),
    }
    write_tables(PAGE, tables, said="written by builders/visit_page.py")
    FIRST.write_text(json.dumps(visits[:KEPT], indent=1) + "\n", encoding="utf-8")
    print(f"wrote {PAGE} and {FIRST}")


if __name__ == "__main__":
    main()
