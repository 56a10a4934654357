"""Write what docs/recall.md says of how often a recall is right.

Run in the top folder of the project, with the file that the benchmark made:

    python -m benchmarks.recalls --pairs 300 --run 1 --out recalls.jsonl
    python -m builders.recall_page recalls.jsonl

It writes the tables between the comments that mark them, and keeps the first pairs of the run: a
test makes these again and fails when the code has changed since.
"""

import argparse
import json
from pathlib import Path

from builders.tables_in_pages import write_tables
from trials.kept_lines import read_lines
from trials.recall_tables import angulation_table, from_later_table, repeated_table

TOP = Path(__file__).resolve().parents[1]
PAGE = TOP / "docs" / "recall.md"
FIRST = TOP / "trials" / "first_recalls.json"
RUN, KEPT = 1, 2


def main() -> None:
    """Write the tables and the first pairs, and say where."""
    asked = argparse.ArgumentParser(description=__doc__.partition("\n")[0])
    asked.add_argument("pairs", type=Path)
    pairs = [each for each in read_lines(asked.parse_args().pairs) if each["run"] == RUN]
    pairs.sort(key=lambda each: int(each["number"]))
    tables = {
        "angulation": angulation_table(pairs),
        "repeated": repeated_table(pairs),
        "from later": from_later_table(pairs),
    }
    write_tables(PAGE, tables, said="written by builders/recall_page.py")
    FIRST.write_text(json.dumps(pairs[:KEPT], indent=1) + "\n", encoding="utf-8")
    print(f"wrote {PAGE} and {FIRST}")


if __name__ == "__main__":
    main()
