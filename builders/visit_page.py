"""Write what docs/visit.md says of how often a visit's ledger is right, and what the gate won.

Run in the top folder of the project, with the files that the benchmarks made, either or both:

    python -m benchmarks.visits --visits 500 --run 1 --out visits.jsonl
    python -m benchmarks.gates --visits 2160 --run 6 --out gates.jsonl
    python -m builders.visit_page --visits visits.jsonl --gates gates.jsonl

It writes the tables between the comments that mark them, and keeps the first visits of each run: a
test makes these again and fails when the code has changed since.
"""

import argparse
import json
from pathlib import Path
from typing import Any

from builders.tables_in_pages import write_tables
from trials.gate_tables import by_chance, by_hand, by_way
from trials.kept_lines import read_lines
from trials.visit_tables import chances_table, hard_table, right_table

TOP = Path(__file__).resolve().parents[1]
PAGE = TOP / "docs" / "visit.md"
FIRST = TOP / "trials" / "first_visits.json"
FIRST_GATES = TOP / "trials" / "first_gates.json"
RUN, KEPT = 1, 3
GATES_RUN = 6


def main() -> None:
    """Write the tables and the first visits, and say where."""
    asked = argparse.ArgumentParser(description=__doc__.partition("\n")[0])
    asked.add_argument("--visits", type=Path)
    asked.add_argument("--gates", type=Path)
    asked.add_argument("--again", type=Path, help="the first visits of the gates' run, made again")
    given = asked.parse_args()
    if given.visits:
        visits = _of_run(given.visits, RUN)
        tables = {
            "right": right_table(visits),
            "hard": hard_table(visits),
            "chances": chances_table(visits),
        }
        _keep(tables, FIRST, visits[:KEPT])
    if given.gates:
        visits = _of_run(given.gates, GATES_RUN)
        tables = {
            "gates by hand": by_hand(visits),
            "gates by chance": by_chance(visits),
            "gates by way": by_way(visits),
        }
        _keep(tables, FIRST_GATES, _asked(visits)[:KEPT])
    if given.again:
        visits = _of_run(given.again, GATES_RUN)
        _keep({"gates made again": by_hand(visits)}, FIRST_GATES, _asked(visits)[:KEPT])


def _asked(visits: list[dict[str, Any]]) -> list[dict[str, Any]]:
    """Those at which a further exposure was planned."""
    return [each for each in visits if each["decisions"]]


def _of_run(path: Path, run: int) -> list[dict[str, Any]]:
    """The visits of a run in their order."""
    some = [each for each in read_lines(path) if each["run"] == run]
    return sorted(some, key=lambda each: int(each["number"]))


def _keep(tables: dict[str, str], first: Path, visits: list[dict[str, Any]]) -> None:
    """Write tables into the page, and the first visits beside the trials."""
    write_tables(PAGE, tables, said="written by builders/visit_page.py")
    first.write_text(json.dumps(visits, indent=1) + "\n", encoding="utf-8")
    print(f"wrote {PAGE} and {first}")


if __name__ == "__main__":
    main()
